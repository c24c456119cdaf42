//! Joins: the shared edges of used tiles, their numbers, and where their registration marks stand free of ink.

use super::free::{FreeMap, around};
use super::grid::Grid;
use super::layout::{Join, JoinMark, Sheet};
use super::mm;
use crate::units::{Length, Point, Rect};

/// How far a mark and its number reach along the join from its middle, in mm.
const HALF_ALONG: f64 = 5.5;

/// How far a mark and its number reach into either sheet, in mm.
const DEPTH: f64 = 9.5;

/// How near a mark may come to a corner of a tile, in mm.
const FROM_CORNER: f64 = 14.0;

/// A shared edge shorter than this carries one mark, in mm; a longer one carries two, so that a turn shows.
const TWO_MARKS_FROM: f64 = 120.0;

/// All joins, row by row, right-hand neighbours before lower ones; their marks are then taken on the map.
pub(super) fn joins(grid: &Grid, sheets: &[Sheet], free: &mut FreeMap) -> Vec<Join> {
    let at = |row: usize, column: usize| sheets.iter().position(|sheet| (sheet.row, sheet.column) == (row, column));
    let mut joins = Vec::new();
    for (first, sheet) in sheets.iter().enumerate() {
        for (level, neighbour) in [(false, at(sheet.row, sheet.column + 1)), (true, at(sheet.row + 1, sheet.column))] {
            let Some(second) = neighbour else { continue };
            let marks = marks(grid.area(sheet.row, sheet.column), level, free);
            joins.push(Join { number: joins.len() + 1, first, second, level, marks });
        }
    }
    let taken: Vec<Rect> = joins.iter().flat_map(|join| join.marks.iter().map(|mark| reach(mark.at, join.level))).collect();
    free.take(taken);
    joins
}

/// The marks of a tile's right-hand (or, if level, lower) edge.
fn marks(tile: Rect, level: bool, free: &FreeMap) -> Vec<JoinMark> {
    let (from, to) = if level { (tile.min.x, tile.max.x) } else { (tile.min.y, tile.max.y) };
    let (from, to) = (from.to_mm(), to.to_mm());
    let middle = (from + to) / 2.0;
    let on_join =
        |along: f64| if level { Point::new(Length::mm(along), tile.max.y) } else { Point::new(tile.max.x, Length::mm(along)) };
    let halves: Vec<(f64, f64)> = match to - from > TWO_MARKS_FROM {
        true => vec![(from + FROM_CORNER, middle - HALF_ALONG), (middle + HALF_ALONG, to - FROM_CORNER)],
        false => vec![((from + FROM_CORNER).min(middle), (to - FROM_CORNER).max(middle))],
    };
    halves.into_iter().map(|(low, high)| slide(low, high, level, &on_join, free)).collect()
}

/// The free place nearest to the middle of a stretch, at steps of a millimetre; the middle itself if none is free.
fn slide(low: f64, high: f64, level: bool, on_join: &dyn Fn(f64) -> Point, free: &FreeMap) -> JoinMark {
    let middle = (low + high) / 2.0;
    let steps = ((high - low) / 2.0).floor().max(0.0) as u32;
    let offsets = (0..=steps).flat_map(|step| [f64::from(step), -f64::from(step)]);
    let place = offsets.map(|offset| on_join(middle + offset)).find(|&at| free.taken_in(reach(at, level)) == 0);
    place.map_or(JoinMark { at: on_join(middle), over_ink: true }, |at| JoinMark { at, over_ink: false })
}

/// What a mark covers on both sheets, in the drawing.
fn reach(at: Point, level: bool) -> Rect {
    let at = mm(at.x.to_mm(), at.y.to_mm());
    if level { around(at, HALF_ALONG, DEPTH) } else { around(at, DEPTH, HALF_ALONG) }
}
