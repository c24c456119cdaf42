//! One axis of the search: where tiles may begin, which lines their edges then lie on, and what those lines cut.

use super::NOISE_MM;
use super::ink::{Ink, Outline};
use super::lines::Lines;
use super::windows::Windows;
use kurbo::Point;
use std::ops::Range;

/// Marks that no join should cut are no larger than this in both directions, in mm: letters, notches, arrow heads.
const SMALL_MM: f64 = 25.0;

/// Control squares are no larger than this, in mm: 100 mm or 4 in, with their line.
const SQUARE_MM: f64 = 110.0;

/// How much the sides of a square may differ, in mm.
const SQUARE_OFF: f64 = 0.5;

/// Tiles along one axis, for every start. All lengths in mm.
#[derive(Debug)]
pub(super) struct Axis {
    starts: Vec<f64>,
    tile: f64,
    from: f64,
    to: f64,
    /// Every line that some tile's edge may lie on, rising.
    pub(super) lines: Lines,
    /// For every start the gaps between lines that its tiles span.
    tiles: Vec<Vec<Range<usize>>>,
    /// The edges of the first start's tiles among the lines; every tile of another start reaches over one of them.
    borders: Vec<usize>,
    /// For every start how many tiles the starts before it have.
    before: Vec<usize>,
}

/// What the joins of one start pass through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Cuts {
    /// Small marks.
    pub(super) marks: u32,
    /// Edges of ink.
    pub(super) edges: u32,
}

impl Axis {
    /// All starts a millimetre apart for ink from one place to another: the first tile begins less than a tile before it.
    pub(super) fn of(from: f64, to: f64, tile: f64) -> Self {
        let steps = tile.ceil().max(1.0) as u32;
        // On a whole hundredth, so that a manifest can name the place that was found.
        let hundredth = |mm: f64| ((mm + NOISE_MM) * 100.0).floor() / 100.0;
        // Where all of it fits one tile, only the middle is worth asking for.
        let starts: Vec<f64> = match to - from <= tile + NOISE_MM {
            true => vec![middle(from, to, tile, hundredth)],
            false => (0..steps).map(|step| hundredth(from) - f64::from(step)).collect(),
        };
        let edges: Vec<Vec<f64>> = starts.iter().map(|start| edges(*start, to, tile)).collect();
        let mut lines: Vec<f64> = edges.iter().flatten().copied().collect();
        lines.sort_by(f64::total_cmp);
        lines.dedup();
        let at = |edge: &f64| lines.partition_point(|line| line < edge);
        let spans = |edges: &Vec<f64>| edges.windows(2).filter_map(|pair| Some(at(pair.first()?)..at(pair.last()?))).collect();
        let tiles: Vec<Vec<Range<usize>>> = edges.iter().map(spans).collect();
        let borders = edges.first().into_iter().flatten().map(at).collect();
        let before = tiles.iter().scan(0, |sum, tiles| Some(std::mem::replace(sum, *sum + tiles.len()))).collect();
        Self { starts, tile, from, to, lines: Lines::of(lines), tiles, borders, before }
    }

    /// How many starts there are.
    pub(super) fn len(&self) -> usize {
        self.starts.len()
    }

    /// Where the first tile of a start begins.
    pub(super) fn start(&self, index: usize) -> f64 {
        self.starts.get(index).copied().unwrap_or(self.from)
    }

    /// The tiles of a start, as gaps between lines.
    pub(super) fn tiles(&self, index: usize) -> &[Range<usize>] {
        self.tiles.get(index).map(Vec::as_slice).unwrap_or_default()
    }

    /// The edges of the first start's tiles, as places among the gaps.
    pub(super) fn borders(&self) -> &[usize] {
        &self.borders
    }

    /// For cells in the gaps between lines, the marks on every tile of every start.
    pub(super) fn gathered(&self, cells: &[u32]) -> Vec<u32> {
        let windows = Windows::over(cells, &self.borders);
        self.tiles.iter().flatten().map(|tile| windows.marks(tile)).collect()
    }

    /// Where the tiles of a start are in what is gathered.
    pub(super) fn columns(&self, index: usize) -> Range<usize> {
        let first = self.before.get(index).copied().unwrap_or_default();
        first..first + self.tiles(index).len()
    }

    /// How far the ink of a start is off the middle of its tiles, in mm.
    pub(super) fn uneven(&self, index: usize) -> f64 {
        let start = self.start(index);
        let end = start + self.tile * self.tiles(index).len() as f64;
        ((self.from - start) - (end - self.to)).abs()
    }

    /// For every start what its joins cut; `along` gives a point's place on this axis.
    pub(super) fn cuts(&self, ink: &Ink, along: impl Fn(Point) -> f64) -> Vec<Cuts> {
        let mut at_line = vec![Cuts::default(); self.lines.gaps() + 1];
        for outline in ink.outlines() {
            if small(outline) {
                let (a, b) = (along(outline.bounds.origin()), along(Point::new(outline.bounds.x1, outline.bounds.y1)));
                self.between(a, b, &mut at_line).iter_mut().for_each(|cuts| cuts.marks += 1);
            }
            for (a, b) in outline.edges() {
                self.between(along(a), along(b), &mut at_line).iter_mut().for_each(|cuts| cuts.edges += 1);
            }
        }
        (0..self.len()).map(|index| self.joins(index, &at_line)).collect()
    }

    /// The lines strictly between two places.
    fn between<'a>(&self, a: f64, b: f64, at_line: &'a mut [Cuts]) -> &'a mut [Cuts] {
        let first = self.lines.up_to(a.min(b) + NOISE_MM);
        let past = self.lines.up_to(a.max(b) - NOISE_MM);
        at_line.get_mut(first..past.max(first)).unwrap_or_default()
    }

    /// The sum over the joins of a start: the edges between two of its tiles.
    fn joins(&self, index: usize, at_line: &[Cuts]) -> Cuts {
        let joins = self.tiles(index).iter().skip(1).filter_map(|tile| at_line.get(tile.start));
        joins.fold(Cuts::default(), |sum, cuts| Cuts { marks: sum.marks + cuts.marks, edges: sum.edges + cuts.edges })
    }
}

/// Letters, notches and the like; and squares, which prove the scale.
fn small(outline: &Outline) -> bool {
    let (width, height) = (outline.bounds.width(), outline.bounds.height());
    let square = (width - height).abs() <= SQUARE_OFF && width <= SQUARE_MM;
    square || (width <= SMALL_MM && height <= SMALL_MM)
}

/// The start of the one tile that holds all the ink in its middle; rounded, unless that would leave some of it out.
fn middle(from: f64, to: f64, tile: f64, rounded: impl Fn(f64) -> f64) -> f64 {
    let exact = from - (tile - (to - from)) / 2.0;
    if rounded(exact) + tile + NOISE_MM < to { exact } else { rounded(exact) }
}

/// Both ends of every tile from a start until the ink ends; noise must not cost a tile.
fn edges(start: f64, to: f64, tile: f64) -> Vec<f64> {
    let count = ((to - start - NOISE_MM) / tile).ceil().max(1.0) as u32;
    (0..=count).map(|edge| start + f64::from(edge) * tile).collect()
}
