//! The frame of a sheet: trim lines where it meets a neighbour, a cross at each corner, and what is said before trimming.

use super::pens::{HAIR, SMALL_PRINT, THIN};
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::press::scene::{Anchor, Scene, Type};
use kurbo::{Line, Rect, Shape};

/// Chain dash of a trim line, in mm.
const CHAIN: [f64; 4] = [4.0, 1.5, 0.6, 1.5];
/// How far a corner cross reaches each way, in mm.
const CROSS: f64 = 2.6;
/// The thinnest border that holds a line of small print, in mm.
const PRINT_FROM: f64 = 2.6;

/// The frame of a home sheet. `note` is set in the border below the tile, if there is room.
pub fn frame(layout: &Layout, sheet: usize, note: &str, colour: Colour) -> Scene {
    let mut scene = Scene::default();
    let tile = layout.tile.to_kurbo_mm();
    for (side, joined) in sides(tile).into_iter().zip(neighbours(layout, sheet)) {
        if joined {
            let chain = kurbo::Stroke::new(HAIR).with_caps(kurbo::Cap::Butt).with_dashes(0.0, CHAIN);
            scene.stroke(side.to_path(0.1), chain, colour);
        }
    }
    crosses(&mut scene, tile, colour);
    if layout.setup.border.to_mm() >= PRINT_FROM {
        let style = Type::regular(SMALL_PRINT * 0.9).within(tile.width() - 4.0 * CROSS);
        scene.words(note, (tile.x0 + 2.0 * CROSS, tile.y1 + 2.2), style, Anchor::Start, colour);
    }
    scene
}

/// The frame of a wide sheet: a neat line around the tile with a tick every 100 mm, and crosses at the corners.
pub fn wide_frame(layout: &Layout, colour: Colour) -> Scene {
    let mut scene = Scene::default();
    let tile = layout.tile.to_kurbo_mm();
    scene.outline(tile, HAIR, colour);
    crosses(&mut scene, tile, colour);
    for step in 1..(tile.width() / 100.0).ceil() as u32 {
        let x = tile.x0 + f64::from(step) * 100.0;
        scene.line((x, tile.y0), (x, tile.y0 + CROSS), THIN, colour);
        scene.line((x, tile.y1), (x, tile.y1 - CROSS), THIN, colour);
    }
    for step in 1..(tile.height() / 100.0).ceil() as u32 {
        let y = tile.y0 + f64::from(step) * 100.0;
        scene.line((tile.x0, y), (tile.x0 + CROSS, y), THIN, colour);
        scene.line((tile.x1, y), (tile.x1 - CROSS, y), THIN, colour);
    }
    scene
}

/// Top, right, bottom, left.
fn sides(tile: Rect) -> [Line; 4] {
    let corners = [(tile.x0, tile.y0), (tile.x1, tile.y0), (tile.x1, tile.y1), (tile.x0, tile.y1)];
    let [a, b, c, d] = corners;
    [Line::new(a, b), Line::new(b, c), Line::new(d, c), Line::new(a, d)]
}

/// Whether a sheet meets another at its top, right, bottom, left.
fn neighbours(layout: &Layout, sheet: usize) -> [bool; 4] {
    let meets = |level: bool, first: bool| {
        layout.joins.iter().any(|join| join.level == level && sheet == if first { join.first } else { join.second })
    };
    [meets(true, false), meets(false, true), meets(true, true), meets(false, false)]
}

fn crosses(scene: &mut Scene, tile: Rect, colour: Colour) {
    for (x, y) in [(tile.x0, tile.y0), (tile.x1, tile.y0), (tile.x0, tile.y1), (tile.x1, tile.y1)] {
        scene.line((x - CROSS, y), (x + CROSS, y), THIN, colour);
        scene.line((x, y - CROSS), (x, y + CROSS), THIN, colour);
    }
}
