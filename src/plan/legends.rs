//! Legends: the free place of each wide sheet that takes a sample of every size's line.

use super::free::Free;
use super::grid::Grid;
use super::layout::{Legend, Sheet};
use super::plates::{FROM_EDGE, FROM_INK};
use crate::manifest::{PaperSetup, Press};
use crate::units::{Length, Margins, Rect, Size};

/// The size of a legend for a number of sizes, air around it included: up to ten lines in one column, more in two.
fn size(sizes: usize) -> Size {
    let rows = if sizes > 10 { sizes.div_ceil(2) } else { sizes };
    Size::mm(54.0, 10.0 + 4.8 * rows as f64)
}

/// A place for the legend of every wide sheet, nearest to the bottom left corner; home sheets leave it to their check page.
pub(super) fn find(setup: &PaperSetup, sheets: &[Sheet], grid: &Grid, free: &Free, sizes: usize) -> Vec<Legend> {
    if sizes == 0 || setup.paper.press == Press::Home {
        return Vec::new();
    }
    let on_sheet = |sheet: &Sheet| {
        let (area, over_ink) = place(sheet.area, free, size(sizes));
        let (dx, dy) = (grid.tile.min.x - sheet.area.min.x, grid.tile.min.y - sheet.area.min.y);
        Legend { area: area.moved(dx, dy), over_ink }
    };
    sheets.iter().map(on_sheet).collect()
}

/// The place in the drawing, and whether ink lies beneath.
fn place(tile: Rect, free: &Free, size: Size) -> (Rect, bool) {
    let room = free.room(tile.inset(Margins::even(FROM_EDGE)));
    let with_air = |air: Length| {
        let aired = Size::new(size.width + air * 2.0, size.height + air * 2.0);
        room.nearest(aired).map(|place| place.inset(Margins::even(air)))
    };
    match FROM_INK.into_iter().find_map(with_air) {
        Some(area) => (area, false),
        None => {
            let emptiest = room.places(size).min_by_key(|place| free.inked(*place));
            (emptiest.unwrap_or(Rect::new(tile.min, size)), true)
        }
    }
}
