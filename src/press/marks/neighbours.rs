//! Names of neighbours: beside each registration mark the label of the sheet that lies beyond the join.

use super::join::{Beside, beside};
use super::pens::SMALL_PRINT;
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::press::faces::Faces;
use crate::press::scene::{Anchor, Scene, Type};

/// The names on one sheet, in its mm; they stand in the room that the plan keeps free for the marks.
pub fn neighbour_names(faces: &Faces, layout: &Layout, sheet: usize, colour: Colour) -> Scene {
    let mut scene = Scene::default();
    let Some(area) = layout.sheets.get(sheet).map(|sheet| sheet.area.to_kurbo_mm()) else { return scene };
    let shift = layout.tile.to_kurbo_mm().origin() - area.origin();
    for join in layout.joins.iter().filter(|join| join.first == sheet || join.second == sheet) {
        let other = if join.first == sheet { join.second } else { join.first };
        let Some(label) = layout.sheets.get(other).map(|sheet| sheet.label.as_str()) else { continue };
        for mark in &join.marks {
            let Beside { name: (x, y), room, .. } = beside(faces, join, mark, sheet);
            let style = Type::bold(SMALL_PRINT * mark.scale.max(0.75)).within(room);
            let at = mark.at.to_kurbo_mm() + shift;
            // Letters are about 0.72 of the em high; half of that brings them to the middle.
            scene.words(label, (at.x + x, at.y + y + 0.36 * style.size), style, Anchor::Middle, colour);
        }
    }
    scene
}
