//! One axis of the search: where tiles may begin, which lines their edges then lie on, and what those lines cut.

use super::NOISE_MM;
use super::bitmap::{self, Bitmap};
use super::ink::{Ink, Outline};
use super::lines::Lines;
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
    /// The gaps between lines that tiles span, a start after the other.
    tiles: Vec<Range<usize>>,
    /// Gaps between lines that the shortest tile spans.
    shortest: usize,
    /// Which of the tiles are those of each start.
    own: Vec<Range<usize>>,
    /// The edges of the first start's tiles among the lines; every tile of another start reaches over one of them.
    borders: Vec<usize>,
}

/// Stretches without ink: from one line to another.
pub(super) type Gaps = Vec<(usize, usize)>;

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
        let spans = |edges: &Vec<f64>| -> Vec<Range<usize>> {
            edges.windows(2).filter_map(|pair| Some(at(pair.first()?)..at(pair.last()?))).collect()
        };
        let mut tiles = Vec::new();
        let mut of_start = |edges| {
            let first = tiles.len();
            tiles.extend(spans(edges));
            first..tiles.len()
        };
        let own = edges.iter().map(&mut of_start).collect();
        let borders = edges.first().into_iter().flatten().map(at).collect();
        let shortest = tiles.iter().map(ExactSizeIterator::len).min().unwrap_or_default();
        Self { starts, tile, from, to, lines: Lines::of(lines), tiles, shortest, own, borders }
    }

    /// How many starts there are.
    pub(super) fn len(&self) -> usize {
        self.starts.len()
    }

    /// Where the first tile of a start begins.
    pub(super) fn start(&self, index: usize) -> f64 {
        self.starts.get(index).copied().unwrap_or(self.from)
    }

    /// For every tile of some starts the ink of the raster's rows on it.
    pub(super) fn gathered(&self, raster: &Bitmap, starts: &[usize]) -> Bitmap {
        let tiles: Vec<Range<usize>> = starts.iter().flat_map(|&start| self.tiles(start)).cloned().collect();
        raster.gathered(&tiles, &self.borders)
    }

    /// The stretches of a row that a whole tile may lie in without touching ink.
    pub(super) fn gaps(&self, row: &[u64]) -> Gaps {
        bitmap::gaps(row, self.lines.gaps(), self.shortest)
    }

    /// How many tiles of a start touch ink, of a row that has these gaps.
    pub(super) fn inked(&self, index: usize, gaps: &Gaps) -> u32 {
        let tiles = self.tiles(index);
        let inside = |(from, to): &(usize, usize)| tiles.iter().filter(|tile| *from <= tile.start && tile.end <= *to).count();
        (tiles.len() - gaps.iter().map(inside).sum::<usize>()) as u32
    }

    /// The tiles of a start, as gaps between lines.
    pub(super) fn tiles(&self, index: usize) -> &[Range<usize>] {
        self.own.get(index).and_then(|own| self.tiles.get(own.clone())).unwrap_or_default()
    }

    /// How far the ink of a start is off the middle of its tiles, in mm.
    pub(super) fn uneven(&self, index: usize) -> f64 {
        let start = self.start(index);
        let end = start + self.tile * self.tiles(index).len() as f64;
        ((self.from - start) - (end - self.to)).abs()
    }

    /// For every start what its joins cut; `along` gives a point's place on this axis.
    pub(super) fn cuts(&self, ink: &Ink, along: impl Fn(Point) -> f64) -> Vec<Cuts> {
        let (mut marks, mut edges) = (Crossed::none(&self.lines), Crossed::none(&self.lines));
        for outline in ink.outlines() {
            if small(outline) {
                marks.add(along(outline.bounds.origin()), along(Point::new(outline.bounds.x1, outline.bounds.y1)));
            }
            stretches(outline.edges().map(|(a, b)| (along(a), along(b))), |from, to| edges.add(from, to));
        }
        let cuts = marks.counts().into_iter().zip(edges.counts());
        let at_line: Vec<Cuts> = cuts.map(|(marks, edges)| Cuts { marks, edges }).collect();
        (0..self.len()).map(|index| self.joins(index, &at_line)).collect()
    }

    /// The sum over the joins of a start: the edges between two of its tiles.
    fn joins(&self, index: usize, at_line: &[Cuts]) -> Cuts {
        let joins = self.tiles(index).iter().skip(1).filter_map(|tile| at_line.get(tile.start));
        joins.fold(Cuts::default(), |sum, cuts| Cuts { marks: sum.marks + cuts.marks, edges: sum.edges + cuts.edges })
    }
}

/// How often something crosses each line: by how much more often than the line before it.
struct Crossed<'a> {
    lines: &'a Lines,
    more: Vec<u32>,
}

impl<'a> Crossed<'a> {
    fn none(lines: &'a Lines) -> Self {
        Self { lines, more: vec![0; lines.gaps() + 2] }
    }

    /// Adds a stretch from one place to another; it crosses the lines strictly between them.
    fn add(&mut self, a: f64, b: f64) {
        let (first, past) = (self.lines.up_to(a.min(b) + NOISE_MM), self.lines.up_to(a.max(b) - NOISE_MM));
        if let (true, Some(more)) = (first < past, self.more.get_mut(first)) {
            *more = more.wrapping_add(1);
            self.more.get_mut(past).into_iter().for_each(|less| *less = less.wrapping_sub(1));
        }
    }

    /// For every line how often it is crossed.
    fn counts(self) -> Vec<u32> {
        let sum = |sum: &mut u32, more: u32| {
            *sum = sum.wrapping_add(more);
            Some(*sum)
        };
        self.more.into_iter().scan(0, sum).take(self.lines.gaps() + 1).collect()
    }
}

/// Edges that follow each other one way along an axis, as one stretch: curves are drawn in hundreds of edges, and a stretch crosses
/// a line as often as all its edges do.
fn stretches(edges: impl Iterator<Item = (f64, f64)>, mut each: impl FnMut(f64, f64)) {
    let mut open: Option<(f64, f64)> = None;
    for (a, b) in edges {
        open = match open {
            Some((from, to)) if to == a && (to - from) * (b - a) >= 0.0 => Some((from, b)),
            before => {
                before.into_iter().for_each(|(from, to)| each(from, to));
                Some((a, b))
            }
        };
    }
    open.into_iter().for_each(|(from, to)| each(from, to));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::tests::sample::{Drawn, Sample, home};
    use crate::plan::tests::shapes::Mark;
    use kurbo::Vec2;

    #[test]
    fn tiles_begin_at_every_millimetre_of_a_tile_before_the_ink() {
        let axis = Axis::of(7.123, 50.0, 20.0);
        let starts: Vec<f64> = (0..axis.len()).map(|index| axis.start(index)).collect();
        // From a whole hundredth.
        assert_eq!((starts.len(), starts[0], starts[1], starts[19].round()), (20, 7.12, 6.12, -12.0));
        for index in 0..axis.len() {
            let ends = axis.start(index) + 20.0 * axis.tiles(index).len() as f64;
            assert!((50.0..70.0).contains(&ends), "the tiles of start {index} end at {ends}");
            for (number, tile) in axis.tiles(index).iter().enumerate() {
                let begin = axis.start(index) + 20.0 * number as f64;
                assert!(
                    (axis.lines.line(tile.start) - begin).abs() < 1e-9
                        && (axis.lines.line(tile.end) - begin - 20.0).abs() < 1e-9
                );
            }
            // As far before the ink as behind it would be even.
            assert!((axis.uneven(index) - ((7.123 - axis.start(index)) - (ends - 50.0)).abs()).abs() < 1e-9);
        }
        // Noise costs no tile.
        assert_eq!(Axis::of(0.0, 40.000_000_5, 20.0).tiles(0).len(), 2);
        assert_eq!(Axis::of(0.0, 40.000_1, 20.0).tiles(0).len(), 3);
    }

    #[test]
    fn what_fits_one_tile_lies_in_its_middle() {
        // The middle to a hundredth, unless the ink would stick out by that.
        for (from, to, start) in [(7.0, 17.0, 2.0), (7.0, 17.013, 2.0), (0.005, 20.005, 0.005), (0.0, 20.0, 0.0)] {
            let axis = Axis::of(from, to, 20.0);
            assert!(axis.len() == 1 && (axis.start(0) - start).abs() < 1e-9, "{from} to {to}: {}", axis.start(0));
        }
    }

    #[test]
    fn joins_cut_small_marks_and_squares_and_the_edges_of_all_ink() {
        let block = |x: f64, width: f64, height: f64| {
            let corners = [(x, 0.0), (x + width, 0.0), (x + width, height), (x, height)].map(Point::from).to_vec();
            Drawn { mark: Mark::Block(corners), clip: None, layer: 0 }
        };
        let cuts = |width: f64, height: f64| {
            // The first join lies at 100 mm, in the middle of the second block.
            let drawn = vec![block(0.0, 1.0, 1.0), block(100.0 - width / 2.0, width, height), block(199.0, 1.0, 1.0)];
            let sample = Sample { drawn, sizes: 0, setup: home(100.0, 300.0, [0.0; 4], 0.0) };
            let ink = Ink::of(&sample.drawing(Vec2::ZERO));
            let cuts = Axis::of(0.0, 200.0, 100.0).cuts(&ink, |p| p.x)[0];
            (cuts.marks, cuts.edges)
        };
        // Both level sides of a block are edges.
        for (width, height, marks) in [
            (10.0, 10.0, 1),
            (25.0, 24.0, 1),
            (26.0, 24.0, 0),
            (24.0, 26.0, 0),
            (100.0, 100.4, 1),
            (100.0, 100.6, 0),
            (111.0, 111.0, 0),
        ] {
            assert_eq!(cuts(width, height), (marks, 2), "{width} × {height}");
        }
    }
}
