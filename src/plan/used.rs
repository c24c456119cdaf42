//! Which tiles are used: decided by the ink itself, not by its bounding boxes.

use super::grid::Grid;
use super::ink::{Ink, Outline};
use kurbo::{Point, Rect};
use std::collections::BTreeSet;

/// For every tile the pieces that wet it.
#[derive(Debug)]
pub(super) struct Touch {
    columns: usize,
    tiles: Vec<BTreeSet<usize>>,
}

impl Touch {
    /// Indices of the pieces with ink on a tile, rising.
    pub(super) fn pieces_on(&self, row: usize, column: usize) -> Vec<usize> {
        self.tiles.get(row * self.columns + column).map(|pieces| pieces.iter().copied().collect()).unwrap_or_default()
    }
}

/// Finds the pieces on every tile of a grid; the cost is linear in the edges of the ink.
pub(super) fn touch(ink: &Ink, grid: &Grid) -> Touch {
    let mut touch = Touch { columns: grid.columns, tiles: vec![BTreeSet::new(); grid.rows * grid.columns] };
    for (piece, outlines) in ink.pieces.iter().enumerate() {
        for (row, column) in outlines.iter().flat_map(|outline| tiles_of(outline, grid)).collect::<BTreeSet<_>>() {
            touch.tiles.get_mut(row * grid.columns + column).into_iter().for_each(|pieces| {
                pieces.insert(piece);
            });
        }
    }
    touch
}

/// Tiles that an edge of the outline passes through, and those that lie wholly inside it.
fn tiles_of(outline: &Outline, grid: &Grid) -> BTreeSet<(usize, usize)> {
    let mut found: BTreeSet<(usize, usize)> = BTreeSet::new();
    for (a, b) in outline.edges() {
        let passed =
            cells(grid, Rect::from_points(a, b)).filter(|&(row, column)| passes(a, b, inked(outline, grid, row, column)));
        found.extend(passed);
    }
    let inside: Vec<_> = cells(grid, outline.bounds).filter(|cell| !found.contains(cell)).collect();
    found.extend(inside.into_iter().filter(|&(row, column)| {
        let part = inked(outline, grid, row, column);
        part.width() > 0.0 && part.height() > 0.0 && outline.contains(part.center())
    }));
    found
}

/// The part of a tile that the outline's clips leave.
fn inked(outline: &Outline, grid: &Grid, row: usize, column: usize) -> Rect {
    grid.area(row, column).to_kurbo_mm().intersect(outline.limit)
}

/// Rows and columns of the tiles that a box reaches.
fn cells(grid: &Grid, reach: Rect) -> impl Iterator<Item = (usize, usize)> {
    let (origin, tile) = (grid.origin.to_kurbo_mm(), grid.tile.to_kurbo_mm());
    let span = |from: f64, to: f64, start: f64, step: f64, count: usize| {
        let index = |at: f64| ((at - start) / step).floor().clamp(0.0, count.saturating_sub(1) as f64) as usize;
        index(from)..=index(to)
    };
    let columns = span(reach.x0, reach.x1, origin.x, tile.width(), grid.columns);
    span(reach.y0, reach.y1, origin.y, tile.height(), grid.rows)
        .flat_map(move |row| columns.clone().map(move |column| (row, column)))
}

/// Whether an edge passes through the inside of a box (Liang and Barsky's clipping, with open sides).
fn passes(a: Point, b: Point, area: Rect) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in [(a.x, b.x - a.x, area.x0, area.x1), (a.y, b.y - a.y, area.y0, area.y1)] {
        if step == 0.0 {
            if start <= low || start >= high {
                return false;
            }
            continue;
        }
        let (one, other) = ((low - start) / step, (high - start) / step);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from < to
}
