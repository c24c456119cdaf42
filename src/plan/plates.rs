//! Plates: the free place of each sheet that takes its label, rule, map and words.

use super::free::FreeMap;
use super::grid::Grid;
use super::layout::{Plate, PlateForm, Sheet};
use crate::units::{Length, Margins, Rect, Size};

/// How far a plate stays away from the tile's edges.
const FROM_EDGE: Length = Length::mm(4.0);

/// How far a plate stays away from lines: well, if it can, else just.
const FROM_INK: [Length; 2] = [Length::mm(4.0), Length::mm(0.5)];

/// The size of a plate, air around it included.
pub const fn plate_size(form: PlateForm) -> Size {
    match form {
        PlateForm::Full => Size::mm(108.0, 38.0),
        PlateForm::Half => Size::mm(58.0, 38.0),
        PlateForm::Small => Size::mm(56.0, 18.0),
        PlateForm::Narrow => Size::mm(46.0, 18.0),
    }
}

/// A plate that has not found its place yet.
pub(super) fn unset() -> Plate {
    Plate { area: Rect::default(), form: PlateForm::Small, over_ink: true }
}

/// Finds a place for the plate of every sheet: the largest form that has a free place, nearest to the bottom left corner.
///
/// Gives the places, in the drawing.
pub(super) fn set(sheets: &mut [Sheet], grid: &Grid, free: &FreeMap) -> Vec<Rect> {
    let set_one = |sheet: &mut Sheet| {
        let (form, area, over_ink) = place(sheet.area, free, grid.tile.size());
        let (dx, dy) = (grid.tile.min.x - sheet.area.min.x, grid.tile.min.y - sheet.area.min.y);
        sheet.plate = Plate { area: area.moved(dx, dy), form, over_ink };
        area
    };
    sheets.iter_mut().map(set_one).collect()
}

/// Form and place in the drawing, and whether ink lies beneath.
fn place(tile: Rect, free: &FreeMap, widest: Size) -> (PlateForm, Rect, bool) {
    let room = tile.inset(Margins::even(FROM_EDGE));
    let forms = [PlateForm::Full, PlateForm::Half, PlateForm::Small, PlateForm::Narrow];
    let tries = forms.into_iter().flat_map(|form| FROM_INK.map(|air| (form, air)));
    for (form, air) in tries.filter(|(form, _)| plate_size(*form).width <= widest.width) {
        let size = plate_size(form);
        let aired = Size::new(size.width + air * 2.0, size.height + air * 2.0);
        if let Some(window) = free.window(room, aired) {
            return (form, window.inset(Margins::even(air)), false);
        }
    }
    // No free place: the least ink beneath a small plate, or beneath a narrow one where the tile is too narrow for that.
    let crowded = [PlateForm::Small, PlateForm::Narrow].into_iter();
    let found = crowded.filter_map(|form| Some((form, free.emptiest(room, plate_size(form))?, true))).next();
    found.unwrap_or((PlateForm::Narrow, Rect::new(tile.min, plate_size(PlateForm::Narrow)), true))
}
