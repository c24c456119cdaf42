//! The search for the placement with the fewest sheets: every one at steps of a millimetre, none left out, none sampled.
//!
//! A raster with lines wherever a tile's edge may come to lie makes each tile of each placement a union of cells, so that
//! one pass over the ink answers for all of them. docs/planning.md explains it with a picture.

use super::NOISE_MM;
use super::axis::{Axis, Gaps};
use super::bitmap::Bitmap;
use super::ink::{Ink, Outline};
use super::raster::Raster;
use crate::units::{Length, Point, Rect, Size};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

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

/// How many placements at steps of a millimetre are no farther apart than that from one, itself included.
const NEAR: usize = 7 * 7;

/// For every start down a number for every start across.
type Counts = Vec<Vec<u32>>;

/// The search for the place of tiles of a size over ink with a bounding box; a placement is a pair of starts.
pub(super) struct Search<'a> {
    ink: &'a Ink,
    across: Axis,
    down: Axis,
    groups: &'a [Vec<bool>],
    kinds: BTreeMap<Vec<bool>, Bitmap>,
    /// The fewest sheets that a placement takes.
    pub(super) sheets: u32,
    /// How many sheets every placement takes.
    counts: Counts,
}

impl<'a> Search<'a> {
    /// Finds the fewest sheets. `groups` flags, a size each, the pieces that its buyers need.
    pub(super) fn of(ink: &'a Ink, bounds: Rect, tile: Size, groups: &'a [Vec<bool>]) -> Self {
        let across = Axis::of(bounds.min.x.to_mm(), bounds.max.x.to_mm(), tile.width.to_mm());
        let down = Axis::of(bounds.min.y.to_mm(), bounds.max.y.to_mm(), tile.height.to_mm());
        let mut search = Self { ink, across, down, groups, kinds: BTreeMap::new(), sheets: 0, counts: Vec::new() };
        search.kinds = search.kinds();
        let (columns, rows): (Vec<usize>, Vec<usize>) = ((0..search.across.len()).collect(), (0..search.down.len()).collect());
        search.counts = search.counts(search.kinds.values(), &columns, &rows);
        search.sheets = search.counts.iter().flatten().min().copied().unwrap_or_default();
        search
    }

    /// The best placements, best first; reading order breaks a last tie. All given take the same number of sheets, for all sizes
    /// together and for single ones.
    pub(super) fn best(&self) -> Vec<Placement> {
        let single = self.of_single_sizes();
        let used = |(i, j): (usize, usize)| single.get(j).and_then(|row| row.get(i)).copied();
        let size_sheets = self.fits().filter_map(used).min().unwrap_or_default();
        let fits = self.fits().filter(|fit| used(*fit) == Some(size_sheets));
        let (cuts_x, cuts_y) = (self.across.cuts(self.ink, |p| p.x), self.down.cuts(self.ink, |p| p.y));
        let cost = |i: usize, j: usize| {
            let (x, y) = (cuts_x.get(i).copied().unwrap_or_default(), cuts_y.get(j).copied().unwrap_or_default());
            let uneven = ((self.across.uneven(i) + self.down.uneven(j)) / NOISE_MM).round() as u64;
            Cost { sheets: self.sheets, size_sheets, cut_marks: x.marks + y.marks, cut_edges: x.edges + y.edges, uneven }
        };
        self.apart(least(fits.map(|(i, j)| (cost(i, j), j, i)), GIVEN * NEAR))
    }

    /// All placements that take no more sheets than the best, as pairs of starts across and down.
    fn fits(&self) -> impl Iterator<Item = (usize, usize)> {
        let of_row = |(j, row): (usize, &'_ Vec<u32>)| -> Vec<(usize, usize)> {
            row.iter().enumerate().filter(|(_, sheets)| **sheets == self.sheets).map(|(i, _)| (i, j)).collect()
        };
        self.counts.iter().enumerate().flat_map(of_row)
    }

    /// The sheets of all single sizes together, for placements that fit; others need not be right.
    fn of_single_sizes(&self) -> Counts {
        let fits = |sheets: &u32| *sheets == self.sheets;
        let has = |i: usize| self.counts.iter().any(|row| row.get(i).is_some_and(fits));
        let columns: Vec<usize> = (0..self.across.len()).filter(|i| has(*i)).collect();
        let rows = self.counts.iter().enumerate().filter(|(_, row)| row.iter().any(fits));
        let rows: Vec<usize> = rows.map(|(j, _)| j).collect();
        let of_group = |group| {
            let kinds = self.kinds.iter().filter(|(kind, _)| kind.get(group) == Some(&true)).map(|(_, cells)| cells);
            self.counts(kinds, &columns, &rows)
        };
        let none: Counts = vec![vec![0; columns.len()]; rows.len()];
        let single = (0..self.groups.len()).map(of_group).fold(none, added);
        let mut all: Counts = vec![vec![0; self.across.len()]; self.down.len()];
        for (&j, counts) in rows.iter().zip(&single) {
            for (&i, &count) in columns.iter().zip(counts) {
                all.get_mut(j).and_then(|row| row.get_mut(i)).into_iter().for_each(|place| *place = count);
            }
        }
        all
    }

    /// The raster of each kind of ink; a kind is told by the groups that need it.
    fn kinds(&self) -> BTreeMap<Vec<bool>, Bitmap> {
        let mut kinds: BTreeMap<Vec<bool>, Vec<&Outline>> = BTreeMap::new();
        for (piece, outlines) in self.ink.pieces.iter().enumerate() {
            let kind = self.groups.iter().map(|group| group.get(piece) == Some(&true)).collect();
            kinds.entry(kind).or_default().extend(outlines);
        }
        let inked = |(kind, outlines): (Vec<bool>, Vec<&Outline>)| {
            let mut raster = Raster::between(self.across.lines.clone(), self.down.lines.clone());
            outlines.into_iter().for_each(|outline| raster.ink(outline));
            (kind, raster.cells())
        };
        kinds.into_par_iter().map(inked).collect()
    }

    /// How many tiles hold ink of some rasters, for every placement of these starts across and down.
    fn counts<'b>(&self, kinds: impl Iterator<Item = &'b Bitmap>, columns: &[usize], rows: &[usize]) -> Counts {
        let mut all = Bitmap::blank(self.down.lines.gaps(), self.across.lines.gaps());
        kinds.for_each(|cells| all.add(cells));
        // Rows of tiles of neighbouring starts differ little, and what counts of them, their gaps, less still.
        let gaps: Vec<_> = self.down.gathered(&all, rows).rows().map(|row| self.across.gaps(row)).collect();
        let inked = |gaps: &Gaps| columns.iter().map(|&i| self.across.inked(i, gaps)).collect();
        let different: BTreeSet<&Gaps> = gaps.iter().collect();
        let inked: BTreeMap<&Gaps, Vec<u32>> = different.into_par_iter().map(|gaps| (gaps, inked(gaps))).collect();
        let mut tiles = gaps.iter().filter_map(|gaps| inked.get(gaps));
        let none = || vec![0; columns.len()];
        let of_start = |&j: &usize| tiles.by_ref().take(self.down.tiles(j).len()).fold(none(), |sum, row| added_row(sum, row));
        rows.iter().map(of_start).collect()
    }

    /// The best of every neighbourhood: a placement a millimetre away has the same faults.
    fn apart(&self, candidates: Vec<(Cost, usize, usize)>) -> Vec<Placement> {
        let near = |a: Point, b: Point| a.x.within(b.x, APART) && a.y.within(b.y, APART);
        let mut kept: Vec<Placement> = Vec::new();
        for (cost, j, i) in candidates {
            let origin = Point::new(Length::mm(self.across.start(i)), Length::mm(self.down.start(j)));
            if kept.len() < GIVEN && !kept.iter().any(|other| near(other.origin, origin)) {
                kept.push(Placement { origin, cost });
            }
        }
        kept
    }
}

/// So many of the least, rising.
fn least<T: Ord>(all: impl Iterator<Item = T>, most: usize) -> Vec<T> {
    let mut kept = BinaryHeap::with_capacity(most + 1);
    for one in all {
        if kept.len() < most || kept.peek().is_some_and(|last| one < *last) {
            kept.push(one);
        }
        if kept.len() > most {
            kept.pop();
        }
    }
    kept.into_sorted_vec()
}

fn added(one: Counts, other: Counts) -> Counts {
    one.into_iter().zip(other).map(|(one, other)| added_row(one, &other)).collect()
}

fn added_row(mut one: Vec<u32>, other: &[u32]) -> Vec<u32> {
    one.iter_mut().zip(other).for_each(|(one, other)| *one += other);
    one
}
