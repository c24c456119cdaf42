//! A border of an inked area: a closed ring of points, with a box around every few of its edges.

use kurbo::{Point, Rect};

/// Edges in a run: enough that boxes are few, and so few that most boxes are small.
const RUN: usize = 32;

/// A closed ring; its first point stands once more at its end.
#[derive(Debug)]
pub(super) struct Ring {
    points: Vec<Point>,
    boxes: Vec<Rect>,
}

/// Edges of a ring that follow each other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Run<'a> {
    /// The box around them.
    pub(super) bounds: Rect,
    points: &'a [Point],
}

impl Ring {
    /// The ring through some points; the last one leads back to the first.
    pub(super) fn of(mut points: Vec<Point>) -> Self {
        points.extend(points.first().copied());
        points.shrink_to_fit();
        let around = |points: &[Point]| points.iter().map(|&p| Rect::from_points(p, p)).reduce(|a, b| a.union(b));
        let boxes = runs(&points).filter_map(around).collect();
        Self { points, boxes }
    }

    /// Its points, none of them twice.
    pub(super) fn corners(&self) -> Vec<Point> {
        self.points.split_last().map(|(_, corners)| corners.to_vec()).unwrap_or_default()
    }

    /// Its edges, run by run.
    #[inline]
    pub(super) fn runs(&self) -> impl Iterator<Item = Run<'_>> {
        runs(&self.points).zip(&self.boxes).map(|(points, &bounds)| Run { bounds, points })
    }
}

impl<'a> Run<'a> {
    /// Both ends of each of its edges.
    #[inline]
    pub(super) fn edges(self) -> impl Iterator<Item = (Point, Point)> + 'a {
        let next = self.points.get(1..).unwrap_or_default();
        self.points.iter().copied().zip(next.iter().copied())
    }
}

/// The points of every run: the last one of a run is the first of the next.
fn runs(points: &[Point]) -> impl Iterator<Item = &[Point]> {
    let edges = points.len().saturating_sub(1);
    (0..edges).step_by(RUN).filter_map(move |from| points.get(from..=edges.min(from + RUN)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_hold_every_edge_once_and_the_closing_one_too() {
        for count in [2, 3, RUN, RUN + 1, 3 * RUN - 1, 3 * RUN] {
            let corners: Vec<Point> = (0..count).map(|i| Point::new(i as f64, (i * i) as f64)).collect();
            let ring = Ring::of(corners.clone());
            let edges: Vec<(Point, Point)> = ring.runs().flat_map(Run::edges).collect();
            let expected: Vec<_> = (0..count).map(|i| (corners[i], corners[(i + 1) % count])).collect();
            assert_eq!(edges, expected);
            assert!(ring.runs().all(|run| run.edges().all(|(a, b)| run.bounds.union_pt(a).union_pt(b) == run.bounds)));
            assert_eq!(ring.corners(), corners);
        }
    }
}
