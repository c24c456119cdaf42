//! Sections: how much of the cloth's width a piece takes at each place along it.

use super::ring::{bounds, edges};
use kurbo::{Point, Vec2};

/// How long the cells are that a piece is cut into, of each of which the least section is kept; millimetres.
const CELL: f64 = 0.25;

/// Into how many cells a piece is cut at most.
const MOST_CELLS: usize = 4096;

/// Sections are rounded down to this, so that those of mirrored pieces are the same; what sums leave behind is a thousandth of it.
const STEP: f64 = 1e-4;

/// Less than this is no length: what rounding leaves between a corner and a cell's end.
const HAIR: f64 = 1e-9;

/// An edge of an outline.
type Edge = (Point, Point);

/// What a line across the cloth has in common with a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Across {
    /// Its measure.
    pub section: f64,
    /// How far it reaches up from the middle of the piece's box, and down.
    pub up: f64,
    pub down: f64,
}

/// The sections of one piece.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sections {
    /// The piece's length.
    pub length: f64,
    /// The least in each of the cells, which are equally long.
    pub cells: Vec<Across>,
    /// The most at each corner of the outline, by where it is along the piece.
    pub corners: Vec<(f64, Across)>,
    /// Whether no line across the cloth leaves the piece and comes back to it.
    pub single: bool,
}

impl Sections {
    /// The sections of a clean outline.
    pub fn new(outline: &[Point]) -> Self {
        let bounds = bounds(outline);
        let count = ((bounds.width() / CELL) as usize).clamp(1, MOST_CELLS);
        let at = |cell: usize| bounds.width() * cell as f64 / count as f64;
        let cell = |x: f64| (x / bounds.width() * count as f64) as usize;
        // Each cell's edges, and those that end a hair before it; counted from the piece's beginning and its middle.
        let mut crossing: Vec<Vec<Edge>> = vec![Vec::new(); count];
        let origin = Vec2::new(bounds.x0, bounds.center().y);
        for edge in edges(outline).map(|(a, b)| (a - origin, b - origin)) {
            let (first, last) = (cell(span(&edge).0).saturating_sub(1), cell(span(&edge).1) + 1);
            crossing.iter_mut().take(last + 1).skip(first).for_each(|edges| edges.push(edge));
        }
        let slabs: Vec<Slab> = crossing.iter().enumerate().flat_map(|(cell, edges)| slabs(edges, cell, &at)).collect();
        let cells = slabs.chunk_by(|a, b| a.cell == b.cell).map(Slab::least_of).collect();
        let single = slabs.iter().all(|slab| slab.single);
        Self { length: bounds.width(), cells, corners: corners(&slabs), single }
    }

    /// Whether a half turn changes none of them.
    pub fn symmetric(&self) -> bool {
        let turned =
            |(a, b): (&(f64, Across), &(f64, Across))| (a.0 + b.0 - self.length).abs() < HAIR && a.1.section == b.1.section;
        let cells = || self.cells.iter().map(|cell| cell.section);
        cells().eq(cells().rev()) && self.corners.iter().zip(self.corners.iter().rev()).all(turned)
    }

    /// Whether they are the same as another piece's.
    pub fn alike(&self, other: &Self) -> bool {
        let cells = |of: &Self| of.cells.iter().map(|cell| cell.section).collect::<Vec<_>>();
        let corners = |of: &Self| of.corners.iter().map(|corner| (corner.0, corner.1.section)).collect::<Vec<_>>();
        self.length == other.length
            && self.single == other.single
            && cells(self) == cells(other)
            && corners(self) == corners(other)
    }

    /// Whether the piece reaches as far up as down everywhere.
    pub fn level(&self) -> bool {
        self.cells.iter().chain(self.corners.iter().map(|corner| &corner.1)).all(|across| across.up == across.down)
    }
}

/// A part of a cell without a corner inside it: there sections grow or shrink evenly.
struct Slab {
    cell: usize,
    /// Where it begins and ends, what is there, and whether there are corners.
    ends: [(f64, Across, bool); 2],
    /// Whether it has two edges only, and they do not cross.
    single: bool,
}

impl Slab {
    fn new(cell: usize, here: &[&Edge], (from, to): (f64, f64)) -> Self {
        let across: Vec<Edge> =
            here.iter().filter(|edge| span(edge).0 <= from && span(edge).1 >= to).map(|edge| **edge).collect();
        let corner = |x: f64| here.iter().any(|edge| edge.0.x == x || edge.1.x == x);
        let ends = [from, to].map(|x| (x, Across::new(&across, x), corner(x)));
        Self { cell, ends, single: is_between_two(&across, from, to) }
    }

    fn least_of(slabs: &[Self]) -> Across {
        let most = Across { section: f64::INFINITY, up: f64::INFINITY, down: f64::INFINITY };
        slabs.iter().flat_map(|slab| &slab.ends).fold(most, |least, end| least.with(end.1, f64::min)).rounded()
    }
}

/// Whether edges are two that do not cross.
fn is_between_two(across: &[Edge], from: f64, to: f64) -> bool {
    let [one, other] = across else { return false };
    (height(*one, from) - height(*other, from)) * (height(*one, to) - height(*other, to)) >= 0.0
}

impl Across {
    /// What edges have in common with a line, all of which cross it.
    fn new(edges: &[Edge], x: f64) -> Self {
        let heights = || edges.iter().map(|edge| height(*edge, x));
        let signed = edges.iter().zip(heights()).map(|(edge, height)| height * (edge.1.x - edge.0.x).signum());
        let (up, down) = (heights().fold(f64::NEG_INFINITY, f64::max), heights().fold(f64::INFINITY, f64::min));
        Self { section: signed.sum::<f64>().abs(), up, down: -down }
    }

    fn with(self, other: Self, of: fn(f64, f64) -> f64) -> Self {
        let Self { section, up, down } = self;
        Self { section: of(section, other.section), up: of(up, other.up), down: of(down, other.down) }
    }

    fn rounded(self) -> Self {
        let down = |value: f64| (value / STEP + STEP).floor() * STEP;
        Self { section: down(self.section), up: down(self.up), down: down(self.down) }
    }
}

/// The parts of a cell between its corners.
fn slabs(edges: &[Edge], cell: usize, at: &dyn Fn(usize) -> f64) -> Vec<Slab> {
    let (from, to) = (at(cell), at(cell + 1));
    let here: Vec<_> = edges.iter().filter(|edge| span(edge).0 < to && span(edge).1 > from).collect();
    let mut corners: Vec<f64> = here.iter().flat_map(|edge| [edge.0.x, edge.1.x]).filter(|x| (from..to).contains(x)).collect();
    corners.extend([from, to]);
    corners.sort_by(f64::total_cmp);
    let pairs = corners.iter().zip(corners.iter().skip(1)).filter(|(a, b)| *b - *a > HAIR);
    pairs.map(|(&a, &b)| Slab::new(cell, &here, (a, b))).collect()
}

/// All corners, each once, with the most that is there: a piece is closed, so that it takes what it takes just before and just after.
fn corners(slabs: &[Slab]) -> Vec<(f64, Across)> {
    let mut corners: Vec<(f64, Across)> = Vec::new();
    for &(at, across, _) in slabs.iter().flat_map(|slab| &slab.ends).filter(|end| end.2) {
        match corners.last_mut().filter(|last| last.0 == at) {
            Some(last) => last.1 = last.1.with(across.rounded(), f64::max),
            None => corners.push((at, across.rounded())),
        }
    }
    corners
}

/// Where an edge begins and ends along the cloth.
fn span((a, b): &Edge) -> (f64, f64) {
    (a.x.min(b.x), a.x.max(b.x))
}

/// How high an edge is at a place.
fn height((a, b): Edge, x: f64) -> f64 {
    a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sections(points: &[(f64, f64)]) -> Sections {
        Sections::new(&points.iter().map(|&point| point.into()).collect::<Vec<Point>>())
    }

    #[test]
    fn what_a_piece_takes_and_how_far_it_reaches_is_told_at_each_corner() {
        let step = sections(&[(3.0, 0.0), (63.0, 0.0), (63.0, 20.0), (43.0, 20.0), (43.0, 50.0), (3.0, 40.0)]);
        let corners: Vec<_> =
            step.corners.iter().map(|(at, across)| (at.round(), across.section.round(), across.up.round())).collect();
        assert_eq!(corners, [(0.0, 40.0, 15.0), (40.0, 50.0, 25.0), (60.0, 20.0, -5.0)]);
        assert!(step.single && !step.level() && !step.symmetric());
        assert!(step.cells.len() == 240 && step.cells.iter().all(|across| (across.down - 25.0).abs() < 1e-3));
    }

    #[test]
    fn a_bay_that_opens_along_the_cloth_is_not_single() {
        let open = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (30.0, 20.0), (30.0, 40.0), (60.0, 40.0), (60.0, 60.0), (0.0, 60.0)];
        assert!(!sections(&open).single && sections(&open.map(|(x, y)| (y, x))).single);
    }

    #[test]
    fn mirrored_pieces_are_alike_and_even_ones_are_symmetric() {
        let corner = [(0.0, 0.0), (80.0, 0.0), (70.0, 21.0), (0.0, 60.0)];
        let mirrored = corner.map(|(x, y)| (x, -y));
        assert!(
            sections(&corner).alike(&sections(&mirrored)) && !sections(&corner).alike(&sections(&corner.map(|(x, y)| (-x, y))))
        );
        let bar = sections(&[(5.0, 1.0), (83.3, 1.0), (83.3, 8.0), (5.0, 8.0)]);
        assert!(bar.symmetric() && bar.level() && !sections(&corner).symmetric());
    }
}
