//! Glue edges of lapped joins: lightly hatched, so that the drawing stays readable beneath, and a picture of what lies on top.

use super::frame::Side;
use super::pens::{FIRM, HAIR, SMALL_PRINT, THIN};
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::press::edges::reach;
use crate::press::faces::Faces;
use crate::press::scene::{Anchor, Scene, Type};
use kurbo::Rect;

/// Distance of the hatching's lines along the edge, in mm.
const PITCH: f64 = 2.5;
/// How much of the marks' colour the hatching keeps; the rest is paper.
const TINT: f64 = 0.45;
/// How far hatching stays away from words, in mm.
const AIR: f64 = 0.6;
/// Length of each of the two sheets in the picture, and how far one lies over the other, in mm.
const LEAF: (f64, f64) = (4.6, 2.2);

/// Hatches the borders on which neighbours are glued, in the sheet's mm; `taken` are boxes of words to be spared.
pub(super) fn glue_edges(scene: &mut Scene, layout: &Layout, sides: [Side; 4], taken: &[Rect], colour: Colour) {
    let (tile, reach) = (layout.tile.to_kurbo_mm(), reach(layout));
    let [_, right, bottom, _] = sides.map(|side| matches!(side, Side::Glued(_)));
    let upright = Rect::new(tile.x1, tile.y0, reach.x1, tile.y1);
    let level = Rect::new(tile.x0, tile.y1, if right { reach.x1 } else { tile.x1 }, reach.y1);
    if right {
        hatch(scene, upright, taken, colour);
    }
    if bottom {
        hatch(scene, level, taken, colour);
    }
}

/// Slanted lines from side to side of a narrow strip.
fn hatch(scene: &mut Scene, strip: Rect, taken: &[Rect], colour: Colour) {
    let (depth, length) = (strip.width().min(strip.height()), strip.width().max(strip.height()));
    if depth <= 0.0 {
        return;
    }
    let lies = strip.width() > strip.height();
    let steps = ((length - depth) / PITCH).floor().max(0.0) as u32;
    for step in 0..=steps {
        let along = f64::from(step) * PITCH;
        let (from, to) = match lies {
            true => ((strip.x0 + along, strip.y1), (strip.x0 + along + depth, strip.y0)),
            false => ((strip.x0, strip.y0 + along + depth), (strip.x1, strip.y0 + along)),
        };
        let covered = Rect::from_points(from, to).inflate(AIR, 0.0);
        if taken.iter().all(|words| words.intersect(covered).is_zero_area()) {
            scene.line(from, to, HAIR, paler(colour));
        }
    }
}

fn paler(colour: Colour) -> Colour {
    let part = |value: u8| (255.0 - (255.0 - f64::from(value)) * TINT).round() as u8;
    Colour { red: part(colour.red), green: part(colour.green), blue: part(colour.blue) }
}

/// Two sheets seen from the edge, the next one on top of this one, with their labels; `(x, y)` is the base line's left end.
pub(super) fn lap_picture(scene: &mut Scene, faces: &Faces, (x, y): (f64, f64), (own, next): (&str, &str), colour: Colour) {
    let style = Type::bold(SMALL_PRINT * 0.9);
    scene.words(own, (x, y), style, Anchor::Start, colour);
    let left = x + faces.width(own, style) + 0.6;
    let (lower, upper) = (y - 0.25, y - 0.95);
    scene.line((left, lower), (left + LEAF.0, lower), THIN, colour);
    scene.line((left + LEAF.0 - LEAF.1, upper), (left + 2.0 * LEAF.0 - LEAF.1, upper), FIRM, colour);
    scene.words(next, (left + 2.0 * LEAF.0 - LEAF.1 + 0.6, y), style, Anchor::Start, colour);
}

/// How much room that picture takes along the line, in mm.
pub(super) fn lap_width(faces: &Faces, (own, next): (&str, &str)) -> f64 {
    let style = Type::bold(SMALL_PRINT * 0.9);
    faces.width(own, style) + faces.width(next, style) + 2.0 * LEAF.0 - LEAF.1 + 1.2
}
