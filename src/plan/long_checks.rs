//! Long checks: two crosses far apart on the joined paper, where both stand free, so that a drift over many joins shows.

use super::NOISE_MM;
use super::free::Free;
use super::layout::{LongCheck, Sheet};
use crate::units::{Length, Point, Rect, Size};
use std::collections::BTreeMap;

/// Room for a cross with its words, in mm.
const ROOM: (f64, f64) = (34.0, 9.0);
/// The cross's place in its room, from the left and the top, in mm.
const CROSS: (f64, f64) = (4.0, 4.5);
/// Steps of the search over a tile, in mm.
const STEP_MM: f64 = 4.0;

/// One check along the longest row and one along the longest column that have room for it.
pub(super) fn find(sheets: &[Sheet], tile: Size, free: &mut Free) -> Vec<LongCheck> {
    let level = longest(sheets, |sheet| (sheet.row, sheet.column));
    let upright = longest(sheets, |sheet| (sheet.column, sheet.row));
    let mut checks = Vec::new();
    for pairs in [level, upright] {
        let found = pairs.into_iter().find_map(|(first, second)| place(first, second, sheets, tile, free));
        if let Some(check) = found {
            free.take([room(check.from), room(check.to)]);
            checks.push(check);
        }
    }
    checks
}

/// First and last sheet of every line of sheets, longest first; `place` gives a sheet's line and its place along it.
fn longest(sheets: &[Sheet], place: impl Fn(&Sheet) -> (usize, usize)) -> Vec<(usize, usize)> {
    let mut lines: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
    for (index, sheet) in sheets.iter().enumerate() {
        let (line, along) = place(sheet);
        lines.entry(line).or_default().push((along, index));
    }
    let ends = lines.into_values().filter_map(|line| Some((*line.iter().min()?, *line.iter().max()?)));
    let mut ends: Vec<_> = ends.filter(|(first, last)| last.0 > first.0).collect();
    ends.sort_by_key(|(first, last)| (std::cmp::Reverse(last.0 - first.0), first.1));
    ends.into_iter().map(|(first, last)| (first.1, last.1)).collect()
}

/// The same place on both sheets, free on each, nearest to the top left corner.
fn place(first: usize, second: usize, sheets: &[Sheet], tile: Size, free: &Free) -> Option<LongCheck> {
    let (one, other) = (sheets.get(first)?.area.min, sheets.get(second)?.area.min);
    let steps =
        |length: Length, room: f64| ((length.to_mm() - room - 2.0 * STEP_MM + NOISE_MM) / STEP_MM).floor().max(0.0) as u32;
    let (across, down) = (steps(tile.width, ROOM.0), steps(tile.height, ROOM.1));
    let places = (1..=down).flat_map(|j| (1..=across).map(move |i| (f64::from(i) * STEP_MM, f64::from(j) * STEP_MM)));
    let at = |corner: Point, (x, y): (f64, f64)| Point::new(corner.x + Length::mm(x), corner.y + Length::mm(y));
    let mut checks = places.map(|offset| LongCheck { first, second, from: at(one, offset), to: at(other, offset) });
    checks.find(|check| [check.from, check.to].iter().all(|&cross| free.is_free(room(cross))))
}

/// What a cross and its words cover, in the drawing.
fn room(cross: Point) -> Rect {
    Rect::new(Point::new(cross.x - Length::mm(CROSS.0), cross.y - Length::mm(CROSS.1)), Size::mm(ROOM.0, ROOM.1))
}
