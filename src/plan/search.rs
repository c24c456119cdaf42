//! The search for the placement with the fewest sheets: every one at steps of a millimetre, none left out, none sampled.
//!
//! A raster with lines wherever a tile's edge may come to lie makes each tile of each placement a union of cells, so that
//! one pass over the ink answers for all of them. docs/planning.md explains it with a picture.

use super::NOISE_MM;
use super::axis::Axis;
use super::ink::Ink;
use super::raster::Raster;
use super::windows::Windows;
use crate::units::{Length, Point, Rect, Size};
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// What the search weighs, in this order; the least wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    /// Sheets with ink.
    pub(super) sheets: u32,
    /// Sheets of all single sizes together.
    size_sheets: u32,
    /// Letters, notches and other small marks that joins pass through.
    cut_marks: u32,
    /// How often joins pass an edge of ink.
    cut_edges: u32,
    /// How far the ink is off the middle, both ways together, in whole nanometres: noise in the last digit decides nothing.
    uneven: u64,
}

/// A placement of the grid and what it costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placement {
    /// Top left of tile A1 in the drawing.
    pub(super) origin: Point,
    /// Its weight against other placements, perhaps of turned paper.
    pub(super) cost: Cost,
}

/// How many placements are given, to choose from by what no count can tell.
const GIVEN: usize = 32;

/// How far apart they are, one way or the other: between whole steps, so that noise decides nothing.
const APART: Length = Length::mm(3.5);

/// How many groups one pass over the ink answers for: a bit each, one more for all ink.
const GROUPS_A_PASS: usize = 31;

/// The best placements of tiles of a size over ink with a bounding box, best first; reading order breaks a last tie.
///
/// All given take the same number of sheets, for all sizes together and for single ones.
/// `groups` flags, a size each, the pieces that its buyers need.
pub(super) fn best(ink: &Ink, bounds: Rect, tile: Size, groups: &[Vec<bool>]) -> Vec<Placement> {
    let search = Search {
        across: Axis::of(bounds.min.x.to_mm(), bounds.max.x.to_mm(), tile.width.to_mm()),
        down: Axis::of(bounds.min.y.to_mm(), bounds.max.y.to_mm(), tile.height.to_mm()),
    };
    let counts = search.counts(ink, groups);
    let Some(fewest) = counts.iter().flatten().min().copied() else { return Vec::new() };
    let (cuts_x, cuts_y) = (search.across.cuts(ink, |p| p.x), search.down.cuts(ink, |p| p.y));
    let cost = |i: usize, j: usize| {
        let (x, y) = (cuts_x.get(i).copied().unwrap_or_default(), cuts_y.get(j).copied().unwrap_or_default());
        let uneven = ((search.across.uneven(i) + search.down.uneven(j)) / NOISE_MM).round() as u64;
        let Used { sheets, size_sheets } = fewest;
        Cost { sheets, size_sheets, cut_marks: x.marks + y.marks, cut_edges: x.edges + y.edges, uneven }
    };
    let candidates = counts.iter().enumerate().flat_map(|(i, column)| {
        let fit = column.iter().enumerate().filter(|(_, used)| **used == fewest);
        fit.map(move |(j, _)| Reverse((cost(i, j), j, i)))
    });
    search.apart(candidates.collect())
}

/// Sheets that a placement takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Used {
    sheets: u32,
    size_sheets: u32,
}

/// Both axes of the search; a placement is a pair of starts.
struct Search {
    across: Axis,
    down: Axis,
}

impl Search {
    /// What each start across takes with each start down.
    fn counts(&self, ink: &Ink, groups: &[Vec<bool>]) -> Vec<Vec<Used>> {
        let mut passes = groups.chunks(GROUPS_A_PASS).map(|groups| self.counts_of(ink, groups));
        let Some(mut counts) = passes.next() else { return self.counts_of(ink, &[]) };
        for (one, other) in passes.flat_map(|pass| pass.into_iter().flatten()).zip(counts.iter_mut().flatten()) {
            other.size_sheets += one.size_sheets;
        }
        counts
    }

    /// The same for no more groups than fit one pass.
    fn counts_of(&self, ink: &Ink, groups: &[Vec<bool>]) -> Vec<Vec<Used>> {
        let mut raster = Raster::between(self.across.lines.clone(), self.down.lines.clone());
        for (piece, outlines) in ink.pieces.iter().enumerate() {
            let bit = |(bit, group): (usize, &Vec<bool>)| u32::from(group.get(piece) == Some(&true)) << (bit + 1);
            let mark = groups.iter().enumerate().map(bit).fold(1, |mark, bit| mark | bit);
            outlines.iter().for_each(|outline| raster.ink(outline, mark));
        }
        let rows: Vec<Vec<u32>> = raster.rows().map(|row| self.across.gathered(row)).collect();
        (0..self.across.len()).into_par_iter().map(|i| self.used(i, &rows)).collect()
    }

    /// What one start across takes with every start down, from the marks of every row on its columns of tiles.
    fn used(&self, i: usize, rows: &[Vec<u32>]) -> Vec<Used> {
        let mut used = vec![Used::default(); self.down.len()];
        for column in self.across.columns(i) {
            let cells: Vec<u32> = rows.iter().map(|row| row.get(column).copied().unwrap_or(0)).collect();
            let windows = Windows::over(&cells, self.down.borders());
            for (j, used) in used.iter_mut().enumerate() {
                for marks in self.down.tiles(j).iter().map(|tile| windows.marks(tile)) {
                    used.sheets += marks & 1;
                    used.size_sheets += (marks >> 1).count_ones();
                }
            }
        }
        used
    }

    /// The best of every neighbourhood: a placement a millimetre away has the same faults.
    fn apart(&self, mut candidates: BinaryHeap<Reverse<(Cost, usize, usize)>>) -> Vec<Placement> {
        let near = |a: Point, b: Point| a.x.within(b.x, APART) && a.y.within(b.y, APART);
        let mut kept: Vec<Placement> = Vec::new();
        while kept.len() < GIVEN
            && let Some(Reverse((cost, j, i))) = candidates.pop()
        {
            let origin = Point::new(Length::mm(self.across.start(i)), Length::mm(self.down.start(j)));
            if !kept.iter().any(|other| near(other.origin, origin)) {
                kept.push(Placement { origin, cost });
            }
        }
        kept
    }
}
