//! Which tiles are used: decided by the ink itself, not by its bounding boxes.

use super::NOISE_MM;
use super::edge::{holds, within};
use super::grid::Grid;
use super::ink::{Ink, Outline};
use kurbo::Rect;
use std::collections::{BTreeMap, BTreeSet};

/// For every tile the pieces that wet it, and how far their ink reaches on it.
#[derive(Debug)]
pub(super) struct Touch {
    columns: usize,
    tiles: Vec<(BTreeSet<usize>, Option<Rect>)>,
}

impl Touch {
    /// Indices of the pieces with ink on a tile, rising.
    pub(super) fn pieces_on(&self, row: usize, column: usize) -> Vec<usize> {
        self.tiles.get(row * self.columns + column).map(|tile| tile.0.iter().copied().collect()).unwrap_or_default()
    }

    /// How many tiles hold ink.
    pub(super) fn used(&self) -> usize {
        self.tiles.iter().filter(|tile| !tile.0.is_empty()).count()
    }

    /// The thinner side of the box around the ink on a tile, in mm.
    pub(super) fn thickness(&self, row: usize, column: usize) -> f64 {
        let reach = self.tiles.get(row * self.columns + column).and_then(|tile| tile.1);
        reach.map_or(0.0, |reach| reach.width().min(reach.height()))
    }
}

/// Finds the pieces on every tile of a grid; the cost is linear in the edges of the ink.
pub(super) fn touch(ink: &Ink, grid: &Grid) -> Touch {
    let mut touch = Touch { columns: grid.columns, tiles: vec![(BTreeSet::new(), None); grid.rows * grid.columns] };
    for (piece, outlines) in ink.pieces.iter().enumerate() {
        for ((row, column), reach) in outlines.iter().flat_map(|outline| tiles_of(outline, grid)) {
            let Some((pieces, all)) = touch.tiles.get_mut(row * grid.columns + column) else { continue };
            pieces.insert(piece);
            *all = Some(all.map_or(reach, |all| all.union(reach)));
        }
    }
    touch
}

/// Tiles that an edge of the outline passes through, and those that lie wholly inside it, with the ink's reach on each.
fn tiles_of(outline: &Outline, grid: &Grid) -> BTreeMap<(usize, usize), Rect> {
    if let Some(tile) = well_inside(outline, grid, outline.bounds) {
        return BTreeMap::from([(tile, outline.bounds)]);
    }
    let mut found: BTreeMap<(usize, usize), Rect> = BTreeMap::new();
    let mut add = |tile, reach: Rect| {
        found.entry(tile).and_modify(|all| *all = all.union(reach)).or_insert(reach);
    };
    for run in outline.runs() {
        // Most runs lie well inside a tile, and then all their edges do.
        match well_inside(outline, grid, run.bounds) {
            Some(tile) => add(tile, run.bounds),
            None => run.edges().for_each(|(a, b)| {
                for (row, column) in cells(grid, Rect::from_points(a, b)) {
                    if let Some((from, to)) = within(a, b, inner(outline, grid, row, column)) {
                        add((row, column), Rect::from_points(a.lerp(b, from), a.lerp(b, to)));
                    }
                }
            }),
        }
    }
    for (&(row, column), reach) in &mut found {
        // The edge of a fill is thin, what lies behind it need not be.
        *reach = outline.corners_of(inked(outline, grid, row, column)).fold(*reach, |all, corner| all.union_pt(corner));
    }
    let missing: Vec<_> = cells(grid, outline.bounds).filter(|cell| !found.contains_key(cell)).collect();
    let parts = missing.into_iter().map(|(row, column)| ((row, column), inked(outline, grid, row, column)));
    let inside = |part: &Rect| part.width() > 0.0 && part.height() > 0.0 && outline.contains(part.center());
    found.extend(parts.filter(|(_, part)| inside(part)));
    found
}

/// The tile, and what clips leave of it, that a box lies well inside of.
fn well_inside(outline: &Outline, grid: &Grid, reach: Rect) -> Option<(usize, usize)> {
    only(cells(grid, reach)).filter(|&(row, column)| holds(inner(outline, grid, row, column), reach))
}

/// The part of a tile that the outline's clips leave.
fn inked(outline: &Outline, grid: &Grid, row: usize, column: usize) -> Rect {
    grid.area(row, column).to_kurbo_mm().intersect(outline.limit)
}

/// The same without its rim, where noise decides.
fn inner(outline: &Outline, grid: &Grid, row: usize, column: usize) -> Rect {
    inked(outline, grid, row, column).inflate(-NOISE_MM, -NOISE_MM)
}

/// The only one of some things.
fn only<T>(mut all: impl Iterator<Item = T>) -> Option<T> {
    all.next().filter(|_| all.next().is_none())
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
