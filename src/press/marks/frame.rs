//! The frame of a sheet: trim lines where it is cut, glue edges where it is not, marks at the corners, and the border's words.

use super::glue::glue_edges;
use super::note::note;
use super::pens::{HAIR, THIN};
use crate::manifest::{Colour, Joins};
use crate::plan::Layout;
use crate::press::Job;
use crate::press::edges::reach;
use crate::press::scene::Scene;
use kurbo::{Line, Rect, Shape};

/// Chain dash of a trim line, in mm.
const CHAIN: [f64; 4] = [4.0, 1.5, 0.6, 1.5];
/// How far a corner's lines run along the tile, in mm.
const CROSS: f64 = 2.6;
/// How far they run on into the border at most, in mm.
const MARGIN_MARK: f64 = 10.0;

/// What happens at a side of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// Nothing: there is no neighbour.
    Open,
    /// It is trimmed at the tile's edge.
    Trimmed,
    /// It keeps its border, on which the neighbour with this index is glued.
    Glued(usize),
}

/// The frame of a home sheet.
pub fn frame(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let (mut scene, colour) = (Scene::default(), job.kit.mark_colour);
    let sides = sides(job.kit.joins, layout, sheet);
    let note = note(job, layout, sheet, sides);
    glue_edges(&mut scene, layout, sides, &note.taken, colour);
    joined_edges(&mut scene, layout.tile.to_kurbo_mm(), reach(layout), sides, colour);
    scene.add(note.scene, kurbo::Vec2::ZERO);
    scene
}

/// Lines along the sides that are joined, and the marks at the corners.
fn joined_edges(scene: &mut Scene, tile: Rect, reach: Rect, sides: [Side; 4], colour: Colour) {
    for (edge, side) in edges(tile).into_iter().zip(sides) {
        match side {
            Side::Open => {}
            Side::Trimmed => {
                let chain = kurbo::Stroke::new(HAIR).with_caps(kurbo::Cap::Butt).with_dashes(0.0, CHAIN);
                scene.stroke(edge.to_path(0.1), chain, colour);
            }
            Side::Glued(_) => scene.stroke(edge.to_path(0.1), kurbo::Stroke::new(HAIR), colour),
        }
    }
    corners(scene, tile, reach, sides, colour);
}

/// The frame of a wide sheet: a neat line where it has no neighbour, a tick every 100 mm; parts are joined as home sheets are.
pub fn wide_frame(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let sides = sides(job.kit.joins, layout, sheet);
    let mut scene = neat_lines(layout, sides, job.kit.mark_colour);
    if is_joined(sides) {
        scene.add(frame(job, layout, sheet), kurbo::Vec2::ZERO);
    }
    scene
}

/// The frame of a wide sheet among all others as they lie when joined: what lies beyond the tile would lie on a neighbour.
pub fn assembled_frame(layout: &Layout, sheet: usize, colour: Colour) -> Scene {
    let sides = sides(Joins::Butt, layout, sheet);
    let mut scene = neat_lines(layout, sides, colour);
    if is_joined(sides) {
        let tile = layout.tile.to_kurbo_mm();
        joined_edges(&mut scene, tile, tile, sides, colour);
    }
    scene
}

fn is_joined(sides: [Side; 4]) -> bool {
    sides.iter().any(|side| *side != Side::Open)
}

/// Lines along the sides without a neighbour, ticks along all of them, and crosses at the corners of a sheet that stands alone.
fn neat_lines(layout: &Layout, sides: [Side; 4], colour: Colour) -> Scene {
    let mut scene = Scene::default();
    let tile = layout.tile.to_kurbo_mm();
    if is_joined(sides) {
        for (edge, _) in edges(tile).into_iter().zip(sides).filter(|(_, side)| *side == Side::Open) {
            scene.stroke(edge.to_path(0.1), kurbo::Stroke::new(HAIR), colour);
        }
    } else {
        scene.outline(tile, HAIR, colour);
        crosses(&mut scene, tile, colour);
    }
    ticks(&mut scene, tile, colour);
    scene
}

/// A tick every 100 mm, inward from every side.
fn ticks(scene: &mut Scene, tile: Rect, colour: Colour) {
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
}

/// Top, right, bottom, left edge of a tile.
fn edges(tile: Rect) -> [Line; 4] {
    let corners = [(tile.x0, tile.y0), (tile.x1, tile.y0), (tile.x1, tile.y1), (tile.x0, tile.y1)];
    let [a, b, c, d] = corners;
    [Line::new(a, b), Line::new(b, c), Line::new(d, c), Line::new(a, d)]
}

/// What happens at the top, right, bottom, left of a sheet.
pub(super) fn sides(joins: Joins, layout: &Layout, sheet: usize) -> [Side; 4] {
    let before = |level: bool| match layout.joins.iter().any(|join| join.level == level && join.second == sheet) {
        true => Side::Trimmed,
        false => Side::Open,
    };
    let after = |level: bool| match (layout.joins.iter().find(|join| join.level == level && join.first == sheet), joins) {
        (None, _) => Side::Open,
        (Some(_), Joins::Butt) => Side::Trimmed,
        (Some(join), Joins::Lapped) => Side::Glued(join.second),
    };
    [before(true), after(false), after(true), before(false)]
}

/// At each corner short lines along the tile, and beyond it where a cut ends: they show on the border where to lay the ruler.
fn corners(scene: &mut Scene, tile: Rect, reach: Rect, sides: [Side; 4], colour: Colour) {
    let [top, right, bottom, left] = sides;
    let cut = |side: Side, room: f64| if side == Side::Trimmed { room.min(MARGIN_MARK) } else { 0.0 };
    for (y, level) in [(tile.y0, top), (tile.y1, bottom)] {
        scene.line((tile.x0 - cut(level, tile.x0 - reach.x0), y), (tile.x0 + CROSS, y), THIN, colour);
        scene.line((tile.x1 - CROSS, y), (tile.x1 + cut(level, reach.x1 - tile.x1), y), THIN, colour);
    }
    for (x, upright) in [(tile.x0, left), (tile.x1, right)] {
        scene.line((x, tile.y0 - cut(upright, tile.y0 - reach.y0)), (x, tile.y0 + CROSS), THIN, colour);
        scene.line((x, tile.y1 - CROSS), (x, tile.y1 + cut(upright, reach.y1 - tile.y1)), THIN, colour);
    }
}

fn crosses(scene: &mut Scene, tile: Rect, colour: Colour) {
    for (x, y) in [(tile.x0, tile.y0), (tile.x1, tile.y0), (tile.x0, tile.y1), (tile.x1, tile.y1)] {
        scene.line((x - CROSS, y), (x + CROSS, y), THIN, colour);
        scene.line((x, y - CROSS), (x, y + CROSS), THIN, colour);
    }
}
