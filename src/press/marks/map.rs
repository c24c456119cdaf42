//! The small map on a plate: all used sheets of the layout, this one filled in.

use super::pens::HAIR;
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::press::scene::{Scene, rect};
use kurbo::Rect;

/// Draws the map into the right-hand end of a box; sheets keep their proportions.
pub fn small_map(scene: &mut Scene, layout: &Layout, sheet: usize, place: Rect, colour: Colour) {
    let tile = layout.tile.to_kurbo_mm();
    let (columns, rows) = (layout.columns as f64, layout.rows as f64);
    let scale = (place.width() / (tile.width() * columns)).min(place.height() / (tile.height() * rows));
    let (width, height) = (tile.width() * scale, tile.height() * scale);
    let left = place.x1 - width * columns;
    for (index, other) in layout.sheets.iter().enumerate() {
        let cell = rect(left + width * other.column as f64, place.y0 + height * other.row as f64, width, height);
        if index == sheet {
            scene.fill(cell, colour);
        }
        scene.outline(cell, HAIR, colour);
    }
}
