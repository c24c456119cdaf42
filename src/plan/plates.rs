//! Plates: the free place of each sheet that takes its label, rule, map and words.

use super::free::Free;
use super::grid::Grid;
use super::layout::{Plate, PlateForm, Sheet};
use super::room::Room;
use crate::units::{Length, Margins, Rect, Size};
use rayon::prelude::*;

/// How far a plate stays away from the tile's edges.
pub(super) const FROM_EDGE: Length = Length::mm(4.0);

/// How far a plate stays away from lines: well, if it can, else just.
pub(super) const FROM_INK: [Length; 2] = [Length::mm(4.0), Length::mm(0.5)];

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
    Plate { area: Rect::default(), form: PlateForm::Small, over_ink: true, largest_free: Size::default() }
}

/// Finds a place for the plate of every sheet: the largest form that has a free place, nearest to the bottom left corner.
///
/// Gives the places, in the drawing.
pub(super) fn set(sheets: &mut [Sheet], grid: &Grid, free: &Free) -> Vec<Rect> {
    let set_one = |sheet: &mut Sheet| {
        let plate = place(sheet.area, free, grid.tile.size());
        let (dx, dy) = (grid.tile.min.x - sheet.area.min.x, grid.tile.min.y - sheet.area.min.y);
        sheet.plate = Plate { area: plate.area.moved(dx, dy), ..plate };
        plate.area
    };
    sheets.par_iter_mut().map(set_one).collect()
}

/// Whether a tile has a free place for a plate of any form.
pub(super) fn fits(tile: Rect, free: &Free, widest: Size) -> bool {
    // Each form holds the next, so that the last one fits if any does.
    let least = tries(widest).last();
    least.is_some_and(|(form, air)| room(tile, free).nearest(aired(form, air)).is_some())
}

/// What is tried, best first: forms that are no wider than a tile, each well away from lines and then just.
fn tries(widest: Size) -> impl Iterator<Item = (PlateForm, Length)> {
    let forms = [PlateForm::Full, PlateForm::Half, PlateForm::Small, PlateForm::Narrow];
    let tries = forms.into_iter().flat_map(|form| FROM_INK.map(|air| (form, air)));
    tries.filter(move |(form, _)| plate_size(*form).width <= widest.width)
}

/// The size of a plate with that much air around it.
fn aired(form: PlateForm, air: Length) -> Size {
    let size = plate_size(form);
    Size::new(size.width + air * 2.0, size.height + air * 2.0)
}

/// What is free of a tile, away from its edges.
fn room(tile: Rect, free: &Free) -> Room {
    free.room(tile.inset(Margins::even(FROM_EDGE)))
}

/// The plate of a tile, in the drawing.
fn place(tile: Rect, free: &Free, widest: Size) -> Plate {
    let room = room(tile, free);
    for (form, air) in tries(widest) {
        if let Some(place) = room.nearest(aired(form, air)) {
            return Plate { area: place.inset(Margins::even(air)), form, over_ink: false, largest_free: Size::default() };
        }
    }
    // No free place: the least ink beneath a small plate, or beneath a narrow one where the tile is too narrow for that.
    let emptiest = |form| room.places(plate_size(form)).min_by_key(|place| free.inked(*place)).map(|area| (form, area));
    let found = emptiest(PlateForm::Small).or_else(|| emptiest(PlateForm::Narrow));
    let (form, area) = found.unwrap_or((PlateForm::Narrow, Rect::new(tile.min, plate_size(PlateForm::Narrow))));
    Plate { area, form, over_ink: true, largest_free: room.largest() }
}
