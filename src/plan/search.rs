//! The search for the placement with the fewest sheets: every one at steps of a millimetre, none left out, none sampled.
//!
//! A raster with lines wherever a tile's edge may come to lie makes each tile of each placement a union of cells, so that
//! one pass over the ink answers for all of them. docs/planning.md explains it with a picture.

use super::axis::Axis;
use super::ink::Ink;
use super::raster::{Raster, Sums};
use crate::units::{Length, Point, Rect, Size};
use rayon::prelude::*;
use std::cmp::Ordering;
use std::ops::Range;

/// What the search weighs, in this order; the least wins.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Cost {
    /// Sheets with ink.
    pub(super) sheets: u32,
    /// Sheets of all single sizes together.
    size_sheets: u32,
    /// Letters, notches and other small marks that joins pass through.
    cut_marks: u32,
    /// How often joins pass an edge of ink.
    cut_edges: u32,
    /// How far the ink is off the middle, in mm, both ways together.
    uneven: f64,
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

/// The best placements of tiles of a size over ink with a bounding box, best first; reading order breaks a last tie.
///
/// All given take the same number of sheets, for all sizes together and for single ones.
/// `step_mm` is the distance of neighbouring placements. `groups` flags, a size each, the pieces that its buyers need.
pub(super) fn best(ink: &Ink, bounds: Rect, tile: Size, step_mm: f64, groups: &[Vec<bool>]) -> Vec<Placement> {
    let search = Search {
        across: Axis::of(bounds.min.x.to_mm(), bounds.max.x.to_mm(), tile.width.to_mm(), step_mm),
        down: Axis::of(bounds.min.y.to_mm(), bounds.max.y.to_mm(), tile.height.to_mm(), step_mm),
    };
    let (sheets, fewest) = search.least(search.every(), &search.used_by(ink, |_| true));
    let (size_sheets, left) = search.least(fewest, &search.used_by_each(ink, groups));
    let (cuts_x, cuts_y) = (search.across.cuts(ink, |p| p.x), search.down.cuts(ink, |p| p.y));
    let cost = |(i, j): (usize, usize)| {
        let (x, y) = (cuts_x.get(i).copied().unwrap_or_default(), cuts_y.get(j).copied().unwrap_or_default());
        let uneven = search.across.uneven(i) + search.down.uneven(j);
        Cost { sheets, size_sheets, cut_marks: x.marks + y.marks, cut_edges: x.edges + y.edges, uneven }
    };
    let placement = |(i, j): (usize, usize)| {
        let origin = Point::new(Length::mm(search.across.start(i)?), Length::mm(search.down.start(j)?));
        Some(Placement { origin, cost: cost((i, j)) })
    };
    let mut placements: Vec<Placement> = left.into_iter().filter_map(placement).collect();
    placements.sort_by(|a, b| a.cost.partial_cmp(&b.cost).unwrap_or(Ordering::Equal));
    apart(placements)
}

/// The first of every neighbourhood: a placement a millimetre away has the same faults.
fn apart(placements: Vec<Placement>) -> Vec<Placement> {
    let near = |a: &Placement, b: &Placement| a.origin.x.within(b.origin.x, APART) && a.origin.y.within(b.origin.y, APART);
    placements.into_iter().fold(Vec::new(), |mut kept: Vec<Placement>, placement| {
        if kept.len() < GIVEN && !kept.iter().any(|other| near(other, &placement)) {
            kept.push(placement);
        }
        kept
    })
}

/// Both axes of the search; a placement is a pair of starts.
struct Search {
    across: Axis,
    down: Axis,
}

impl Search {
    /// All placements, row by row.
    fn every(&self) -> Vec<(usize, usize)> {
        (0..self.down.len()).flat_map(|j| (0..self.across.len()).map(move |i| (i, j))).collect()
    }

    /// For every placement how many tiles hold ink of some pieces.
    fn used_by(&self, ink: &Ink, wanted: impl Fn(usize) -> bool) -> Vec<u32> {
        let mut raster = Raster::between(self.across.lines.clone(), self.down.lines.clone());
        let pieces = ink.pieces.iter().enumerate().filter(|(piece, _)| wanted(*piece));
        pieces.flat_map(|(_, outlines)| outlines).for_each(|outline| raster.ink(outline));
        let sums = raster.sums();
        self.every().into_par_iter().map(|at| self.used(&sums, at)).collect()
    }

    /// The sum of that over several groups of pieces, one after the other to spare memory.
    fn used_by_each(&self, ink: &Ink, groups: &[Vec<bool>]) -> Vec<u32> {
        groups.iter().fold(vec![0; self.across.len() * self.down.len()], |mut sums, group| {
            let used = self.used_by(ink, |piece| group.get(piece) == Some(&true));
            sums.iter_mut().zip(used).for_each(|(sum, used)| *sum += used);
            sums
        })
    }

    /// How many tiles of a placement hold ink.
    fn used(&self, sums: &Sums, (i, j): (usize, usize)) -> u32 {
        let in_row = |row: &Range<usize>| self.across.tiles(i).iter().filter(|column| sums.count(column, row) > 0).count();
        self.down.tiles(j).iter().map(|row| in_row(row) as u32).sum()
    }

    /// All placements with the lowest of their counts, and that count.
    fn least(&self, candidates: Vec<(usize, usize)>, counts: &[u32]) -> (u32, Vec<(usize, usize)>) {
        let count = |&(i, j): &(usize, usize)| counts.get(j * self.across.len() + i).copied().unwrap_or(u32::MAX);
        let lowest = candidates.iter().map(count).min().unwrap_or(0);
        (lowest, candidates.into_iter().filter(|at| count(at) == lowest).collect())
    }
}
