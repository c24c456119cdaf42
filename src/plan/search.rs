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
use std::cmp::Reverse;
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

/// The best placements of tiles of a size over ink with a bounding box, best first; reading order breaks a last tie.
///
/// All given take the same number of sheets, for all sizes together and for single ones.
/// `groups` flags, a size each, the pieces that its buyers need.
pub(super) fn best(ink: &Ink, bounds: Rect, tile: Size, groups: &[Vec<bool>]) -> Vec<Placement> {
    let search = Search {
        across: Axis::of(bounds.min.x.to_mm(), bounds.max.x.to_mm(), tile.width.to_mm()),
        down: Axis::of(bounds.min.y.to_mm(), bounds.max.y.to_mm(), tile.height.to_mm()),
    };
    let (fewest, fits) = search.fewest(ink, groups);
    let (cuts_x, cuts_y) = (search.across.cuts(ink, |p| p.x), search.down.cuts(ink, |p| p.y));
    let cost = |i: usize, j: usize| {
        let (x, y) = (cuts_x.get(i).copied().unwrap_or_default(), cuts_y.get(j).copied().unwrap_or_default());
        let uneven = ((search.across.uneven(i) + search.down.uneven(j)) / NOISE_MM).round() as u64;
        let Used { sheets, size_sheets } = fewest;
        Cost { sheets, size_sheets, cut_marks: x.marks + y.marks, cut_edges: x.edges + y.edges, uneven }
    };
    search.apart(fits.into_iter().map(|(i, j)| Reverse((cost(i, j), j, i))).collect())
}

/// Sheets that a placement takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Used {
    sheets: u32,
    size_sheets: u32,
}

/// For every start down a number for every start across.
type Counts = Vec<Vec<u32>>;

/// Both axes of the search; a placement is a pair of starts.
struct Search {
    across: Axis,
    down: Axis,
}

impl Search {
    /// The fewest sheets, and all placements that take no more, as pairs of starts across and down.
    fn fewest(&self, ink: &Ink, groups: &[Vec<bool>]) -> (Used, Vec<(usize, usize)>) {
        let kinds = self.kinds(ink, groups);
        let of_group =
            |group| self.counts(kinds.iter().filter(|(kind, _)| kind.get(group) == Some(&true)).map(|(_, cells)| cells));
        let sheets = self.counts(kinds.values());
        let none: Counts = sheets.iter().map(|row| vec![0; row.len()]).collect();
        let single = (0..groups.len()).map(of_group).fold(none, added);
        let used = |(&sheets, &size_sheets)| Used { sheets, size_sheets };
        let rows = sheets.iter().zip(&single).enumerate();
        let placements = rows
            .flat_map(|(j, (all, single))| all.iter().zip(single).map(used).enumerate().map(move |(i, used)| (used, (i, j))));
        let fewest = placements.clone().map(|(used, _)| used).min().unwrap_or_default();
        (fewest, placements.filter(|(used, _)| *used == fewest).map(|(_, starts)| starts).collect())
    }

    /// The raster of each kind of ink; a kind is told by the groups that need it.
    fn kinds(&self, ink: &Ink, groups: &[Vec<bool>]) -> BTreeMap<Vec<bool>, Bitmap> {
        let mut kinds: BTreeMap<Vec<bool>, Vec<&Outline>> = BTreeMap::new();
        for (piece, outlines) in ink.pieces.iter().enumerate() {
            let kind = groups.iter().map(|group| group.get(piece) == Some(&true)).collect();
            kinds.entry(kind).or_default().extend(outlines);
        }
        let inked = |(kind, outlines): (Vec<bool>, Vec<&Outline>)| {
            let mut raster = Raster::between(self.across.lines.clone(), self.down.lines.clone());
            outlines.into_iter().for_each(|outline| raster.ink(outline));
            (kind, raster.cells())
        };
        kinds.into_par_iter().map(inked).collect()
    }

    /// How many tiles hold ink of some rasters, for every placement.
    fn counts<'a>(&self, kinds: impl Iterator<Item = &'a Bitmap>) -> Counts {
        let mut all = Bitmap::blank(self.down.lines.gaps(), self.across.lines.gaps());
        kinds.for_each(|cells| all.add(cells));
        // Rows of tiles of neighbouring starts differ little, and what counts of them, their gaps, less still.
        let gaps: Vec<_> = self.down.gathered(&all).rows().map(|row| self.across.gaps(row)).collect();
        let inked = |gaps: &Gaps| (0..self.across.len()).map(|i| self.across.inked(i, gaps)).collect();
        let different: BTreeSet<&Gaps> = gaps.iter().collect();
        let inked: BTreeMap<&Gaps, Vec<u32>> = different.into_par_iter().map(|gaps| (gaps, inked(gaps))).collect();
        let rows: Vec<&Vec<u32>> = gaps.iter().filter_map(|gaps| inked.get(gaps)).collect();
        let none = || vec![0; self.across.len()];
        let of_start =
            |j| rows.get(self.down.tiles_of(j)).unwrap_or_default().iter().fold(none(), |sum, row| added_row(sum, row));
        (0..self.down.len()).map(of_start).collect()
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

fn added(one: Counts, other: Counts) -> Counts {
    one.into_iter().zip(other).map(|(one, other)| added_row(one, &other)).collect()
}

fn added_row(mut one: Vec<u32>, other: &[u32]) -> Vec<u32> {
    one.iter_mut().zip(other).for_each(|(one, other)| *one += other);
    one
}
