//! Closed outlines as rings of points: their edges, area and box, what lies inside, and rings without repeated points and spikes.

use kurbo::{Point, Rect};
use std::collections::VecDeque;

/// Points closer than this are one, and a spike thinner than this is none; millimetres.
const SAME: f64 = 1e-3;

/// The edges of a ring, the closing one last.
pub(super) fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// A ring as the library takes it that unites and intersects areas.
pub(super) fn plain(ring: &[Point]) -> Vec<[f64; 2]> {
    ring.iter().map(|point| [point.x, point.y]).collect()
}

/// A ring as that library gives it back.
pub(super) fn points(ring: Vec<[f64; 2]>) -> Vec<Point> {
    ring.into_iter().map(|[x, y]| Point::new(x, y)).collect()
}

/// The area of a ring, positive if it goes round from x towards y.
pub(super) fn signed_area(ring: &[Point]) -> f64 {
    let from = ring.first().copied().unwrap_or_default();
    edges(ring).map(|(a, b)| (a - from).cross(b - from)).sum::<f64>() / 2.0
}

/// The smallest box that holds a ring.
pub(super) fn bounds(ring: &[Point]) -> Rect {
    let first = ring.first().copied().unwrap_or_default();
    ring.iter().fold(Rect::from_points(first, first), |bounds, &point| bounds.union_pt(point))
}

/// The distance between two points, by operations that are the same on every machine.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    (a - b).hypot2().sqrt()
}

/// The distance of a point from the line between two others.
pub(super) fn distance_to_edge(point: Point, (a, b): (Point, Point)) -> f64 {
    let along = b - a;
    let length = along.hypot2();
    let part = if length > 0.0 { ((point - a).dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
    distance(point, a + along * part)
}

/// Whether a point is inside a ring; a point on its line may count either way.
pub(super) fn inside(ring: &[Point], point: Point) -> bool {
    let crosses = |&(a, b): &(Point, Point)| {
        (a.y > point.y) != (b.y > point.y) && (point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x))
    };
    edges(ring).filter(crosses).count() % 2 == 1
}

/// On which side of the line from `a` to `b` a point is: positive, negative, or 0 on it.
pub(super) fn side((a, b): (Point, Point), point: Point) -> f64 {
    (b - a).cross(point - a)
}

/// A ring without repeated points and without spikes that go out and come back on the same line.
pub(super) fn clean(ring: &[Point]) -> Vec<Point> {
    let mut kept = VecDeque::with_capacity(ring.len());
    for &point in ring {
        kept.push_back(point);
        while needless(&kept, [3, 2, 1]) {
            remove(&mut kept, 2);
        }
    }
    // Then around the seam, where the ring closes.
    loop {
        if needless(&kept, [2, 1, 0]) {
            remove(&mut kept, 1);
        } else if kept.len() > 2 && needless(&kept, [1, 0, kept.len() - 1]) {
            kept.pop_front();
        } else {
            return kept.into();
        }
    }
}

/// Removes the point that many places before the end.
fn remove(kept: &mut VecDeque<Point>, back: usize) {
    kept.remove(kept.len().saturating_sub(back));
}

/// Whether the middle one of three points, each so many places before the end (0: the first), adds nothing but a repetition or a spike.
fn needless(kept: &VecDeque<Point>, [a, b, c]: [usize; 3]) -> bool {
    let at = |back: usize| if back == 0 { kept.front() } else { kept.len().checked_sub(back).and_then(|i| kept.get(i)) };
    let (Some(&b), Some(&c)) = (at(b), at(c)) else { return false };
    let repeated = kept.len() > 1 && distance(b, c) <= SAME;
    repeated || at(a).is_some_and(|&a| kept.len() > 2 && spike(a, b, c))
}

/// Whether the way from `a` over `b` to `c` comes back on itself.
fn spike(a: Point, b: Point, c: Point) -> bool {
    let back = (b - a).dot(c - b) < 0.0;
    back && (distance_to_edge(c, (a, b)) <= SAME || distance_to_edge(a, (b, c)) <= SAME)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|&point| point.into()).collect()
    }

    #[test]
    fn repeated_points_and_spikes_go_wherever_the_ring_begins() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        let worn = [
            (0.0, 0.0),
            (0.0, 0.0),
            (10.0, 0.0),
            (15.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (0.0, 20.0),
            (0.0, 25.0),
            (0.0, 10.0),
            (0.0, 0.0),
        ];
        for turn in 0..worn.len() {
            let mut worn = ring(&worn);
            worn.rotate_left(turn);
            let clean = clean(&worn);
            assert!(
                (signed_area(&clean) - 100.0).abs() < 1e-9 && bounds(&clean) == Rect::new(0.0, 0.0, 10.0, 10.0),
                "{clean:?}"
            );
            assert!(clean.len() <= 5, "{clean:?}");
        }
        assert_eq!(clean(&ring(&square)), ring(&square));
    }

    #[test]
    fn what_has_no_area_shrinks_to_a_point_or_nothing() {
        for points in [&[][..], &[(1.0, 1.0)], &[(0.0, 0.0), (5.0, 0.0)], &[(0.0, 0.0), (5.0, 0.0), (9.0, 0.0), (2.0, 0.0)]] {
            assert!(clean(&ring(points)).len() < 3, "{points:?}");
        }
    }

    #[test]
    fn a_point_is_inside_only_within() {
        let notched = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 2.0), (0.0, 10.0)]);
        assert!(inside(&notched, Point::new(1.0, 1.0)) && inside(&notched, Point::new(9.5, 9.0)));
        assert!(!inside(&notched, Point::new(5.0, 5.0)) && !inside(&notched, Point::new(-1.0, 0.5)));
    }
}
