//! Sections: how much of the cloth's width a piece takes at each place along it.

use super::ring::{bounds, edges};
use kurbo::Point;

/// Cells of equal length, of each of which the least section is kept.
const CELLS: usize = 1024;

/// Sections are rounded down to this, so that those of mirrored pieces are the same; what sums leave behind is a thousandth of it.
const STEP: f64 = 1e-4;

/// An edge of an outline.
type Edge = (Point, Point);

/// The sections of one piece. A section is the measure of what a line across the cloth has in common with the piece.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sections {
    /// The piece's length.
    pub length: f64,
    /// The least section in each of the cells.
    pub cells: Vec<f64>,
}

impl Sections {
    /// The sections of a clean outline.
    pub fn new(outline: &[Point]) -> Self {
        let bounds = bounds(outline);
        let at = |cell: usize| bounds.x0 + bounds.width() * cell as f64 / CELLS as f64;
        let cell = |x: f64| ((x - bounds.x0) / bounds.width() * CELLS as f64) as usize;
        // Each cell's edges, and those that end a hair before it.
        let mut crossing: Vec<Vec<Edge>> = vec![Vec::new(); CELLS];
        for edge in edges(outline) {
            let (first, last) = (cell(span(&edge).0).saturating_sub(1), cell(span(&edge).1) + 1);
            crossing.iter_mut().take(last + 1).skip(first).for_each(|edges| edges.push(edge));
        }
        let cells = crossing.iter().enumerate().map(|(cell, edges)| least_between(edges, at(cell), at(cell + 1))).collect();
        Self { length: bounds.width(), cells }
    }

    /// Whether a half turn changes nothing.
    pub fn symmetric(&self) -> bool {
        self.cells.iter().eq(self.cells.iter().rev())
    }
}

/// Sections, ready to be asked for the least one in any window along the piece.
pub(super) struct Windows<'a> {
    pub sections: &'a Sections,
    /// The least section in each cell; then in each two neighbouring cells, each four, and so on.
    least: Vec<Vec<f64>>,
}

impl<'a> Windows<'a> {
    /// All windows of a piece.
    pub fn new(sections: &'a Sections) -> Self {
        let (mut row, mut least) = (sections.cells.clone(), Vec::new());
        while !row.is_empty() {
            let more = row.iter().zip(row.iter().skip(1 << least.len())).map(|(a, b)| a.min(*b)).collect();
            least.push(std::mem::replace(&mut row, more));
        }
        Self { sections, least }
    }

    /// How much width the piece with half the gap all round takes at least, wherever in a window one looks; the piece begins at 0. Across
    /// the cloth that adds a whole gap to each section, and along it half a gap that takes as much as the piece's end.
    pub fn taken(&self, (from, to): (f64, f64), gap: f64) -> f64 {
        let length = self.sections.length;
        if from < -gap / 2.0 || to > length + gap / 2.0 {
            return 0.0;
        }
        let cell = |at: f64| ((at / length * CELLS as f64) as usize).min(CELLS - 1);
        let within = from >= 0.0 && to <= length;
        self.least(cell(from), cell(to)) + if within { gap } else { 0.0 }
    }

    /// The least section from one cell to another: two windows of the same power of two cover all between them.
    fn least(&self, first: usize, last: usize) -> f64 {
        let level = (last.saturating_sub(first) + 1).ilog2() as usize;
        let both = [first, last + 1 - (1 << level)].map(|cell| self.least.get(level).and_then(|row| row.get(cell)));
        both.into_iter().flatten().copied().fold(f64::INFINITY, f64::min)
    }
}

/// The least section between two places: between two neighbouring corners sections grow or shrink evenly, so that it is at a corner.
fn least_between(edges: &[Edge], from: f64, to: f64) -> f64 {
    let here: Vec<_> = edges.iter().filter(|edge| span(edge).0 < to && span(edge).1 > from).collect();
    let mut corners: Vec<f64> = here.iter().flat_map(|edge| [edge.0.x, edge.1.x]).filter(|x| (from..to).contains(x)).collect();
    corners.extend([from, to]);
    corners.sort_by(f64::total_cmp);
    let slabs = corners.iter().zip(corners.iter().skip(1)).filter(|(a, b)| a < b);
    let least = slabs.map(|(&a, &b)| {
        let across = || here.iter().filter(|edge| span(edge).0 <= a && span(edge).1 >= b);
        let section = |x: f64| across().map(|edge| signed(**edge, x)).sum::<f64>().abs();
        section(a).min(section(b))
    });
    (least.fold(f64::INFINITY, f64::min) / STEP + STEP).floor() * STEP
}

/// Where an edge begins and ends along the cloth.
fn span((a, b): &Edge) -> (f64, f64) {
    (a.x.min(b.x), a.x.max(b.x))
}

/// How high an edge is at a place; counted from above if it comes back, so that the sum over an outline is its section.
fn signed((a, b): Edge, x: f64) -> f64 {
    (a.y + (b.y - a.y) * ((x - a.x) / (b.x - a.x))) * (b.x - a.x).signum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A triangle that stands on a bar with a bay: 30 mm wide but for the bay's 10 mm, then up to 20 mm less.
    fn piece() -> Sections {
        let points = [(0, 0), (40, 0), (40, 10), (50, 10), (50, 0), (100, 0), (150, 20), (100, 30), (0, 30)];
        Sections::new(&points.map(|(x, y)| Point::new(f64::from(x) + 7.0, f64::from(y) - 3.0)))
    }

    #[test]
    fn the_least_section_in_a_window_is_found() {
        let sections = piece();
        let piece = Windows::new(&sections);
        let near = |window, wanted: f64| {
            let taken = piece.taken(window, 0.0);
            assert!(taken <= wanted + 1e-9 && taken > wanted - 0.4, "{window:?}: {taken} instead of {wanted}");
        };
        for (window, wanted) in
            [((0.0, 39.0), 30.0), ((10.0, 60.0), 20.0), ((41.0, 48.0), 20.0), ((120.0, 120.0), 18.0), ((60.0, 140.0), 6.0)]
        {
            near(window, wanted);
        }
        assert!([(-0.1, 20.0), (20.0, 150.1)].iter().all(|&window| piece.taken(window, 0.0) == 0.0));
        assert!(!sections.symmetric());
    }

    #[test]
    fn a_gap_is_added_across_and_half_a_gap_along() {
        let sections = piece();
        let taken = |window| Windows::new(&sections).taken(window, 3.0);
        assert_eq!(
            [taken((1.0, 20.0)), taken((-1.5, 20.0)), taken((-1.4, -1.0)), taken((-1.6, 20.0))],
            [33.0, 30.0, 30.0, 0.0]
        );
    }
}
