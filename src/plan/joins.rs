//! Joins: the shared edges of used tiles, their numbers, and where their registration marks stand free of ink.

use super::NOISE_MM;
use super::free::{Free, around};
use super::grid::Grid;
use super::layout::{Join, JoinMark, Sheet};
use crate::units::{Length, Point, Rect};

/// How far a mark reaches along the join from its middle, in mm.
const HALF_ALONG: f64 = 5.5;

/// How far a mark reaches into either sheet, in mm.
const RING: f64 = 4.2;

/// How far its number reaches behind that, in mm, up to three digits; it stays readable on a smaller mark.
const NUMBER: f64 = 4.5;

/// How far a small mark reaches along the join with its number beside it, in mm.
const FLAT_ALONG: f64 = 6.4;

/// Its line and some air, in mm.
const AIR: f64 = 0.25;

/// Forms that are tried, best first: scale, and whether the number stands beside the mark. Still smaller, a slip of half a
/// millimetre would no longer show.
const FORMS: [(f64, bool); 4] = [(1.0, false), (0.55, false), (0.55, true), (0.4, true)];

/// How near a mark may come to a corner of a tile, in mm.
const FROM_CORNER: f64 = 10.0;

/// A shared edge shorter than this carries one mark, in mm; a longer one carries two, so that a turn shows.
const TWO_MARKS_FROM: f64 = 120.0;

/// All joins, row by row, right-hand neighbours before lower ones; their marks are then taken on the map.
pub(super) fn joins(grid: &Grid, sheets: &[Sheet], free: &mut Free) -> Vec<Join> {
    let at = |row: usize, column: usize| sheets.iter().position(|sheet| (sheet.row, sheet.column) == (row, column));
    let mut joins = Vec::new();
    for (first, sheet) in sheets.iter().enumerate() {
        for (level, neighbour) in [(false, at(sheet.row, sheet.column + 1)), (true, at(sheet.row + 1, sheet.column))] {
            let Some(second) = neighbour else { continue };
            let marks = marks(grid.area(sheet.row, sheet.column), level, free);
            joins.push(Join { number: joins.len() + 1, first, second, level, marks });
        }
    }
    let taken: Vec<Rect> = joins.iter().flat_map(|join| join.marks.iter().map(|mark| mark.area)).collect();
    free.take(taken);
    joins
}

/// The marks of a tile's right-hand (or, if level, lower) edge.
fn marks(tile: Rect, level: bool, free: &Free) -> Vec<JoinMark> {
    let (from, to) = if level { (tile.min.x, tile.max.x) } else { (tile.min.y, tile.max.y) };
    let edge = Edge { level, across: if level { tile.max.y } else { tile.max.x }, free };
    let (from, to) = (from.to_mm() + FROM_CORNER, to.to_mm() - FROM_CORNER);
    let middle = (from + to) / 2.0;
    let halves = match to - from > TWO_MARKS_FROM + NOISE_MM {
        true => vec![(from, middle - HALF_ALONG), (middle + HALF_ALONG, to)],
        false => vec![(from.min(middle), to.max(middle))],
    };
    // One mark in the clear is worth more than two of which one hides lines.
    for form in FORMS {
        let clear: Vec<JoinMark> = halves.iter().filter_map(|&(low, high)| edge.slide(low, high, form)).collect();
        if !clear.is_empty() {
            return clear;
        }
    }
    vec![JoinMark { over_ink: true, ..edge.mark(middle, FORMS[0]) }]
}

/// An edge between two tiles, on which marks slide.
struct Edge<'a> {
    level: bool,
    across: Length,
    free: &'a Free<'a>,
}

impl Edge<'_> {
    fn at(&self, along: f64) -> Point {
        let along = Length::mm(along);
        if self.level { Point::new(along, self.across) } else { Point::new(self.across, along) }
    }

    /// A mark with its middle at a place along the join, and what it covers.
    fn mark(&self, along: f64, (scale, beside): (f64, bool)) -> JoinMark {
        let (half, behind) = if beside { (FLAT_ALONG, AIR) } else { (HALF_ALONG * scale, NUMBER) };
        let (at, deep) = (self.at(along), RING * scale + behind);
        let area = if self.level { around(at, half, deep) } else { around(at, deep, half) };
        JoinMark { at, area, scale, beside, over_ink: false }
    }

    /// The free place nearest to the middle of a stretch, at steps of half a millimetre.
    fn slide(&self, low: f64, high: f64, form: (f64, bool)) -> Option<JoinMark> {
        let middle = (low + high) / 2.0;
        let steps = (high - low + NOISE_MM).floor().max(0.0) as u32;
        let offsets = (0..=steps).flat_map(|step| [f64::from(step) / 2.0, f64::from(step) / -2.0]);
        let mut marks = offsets.map(|offset| self.mark(middle + offset, form));
        marks.find(|mark| self.free.is_free(mark.area))
    }
}
