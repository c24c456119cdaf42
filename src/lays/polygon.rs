//! Plain geometry of closed outlines: corners in mm, without a repeated end point.

use kurbo::{Line, ParamCurveNearest, Point};

/// How far an outline may be off its mirror image and still count as the same, in mm: a thread or two of cloth.
const ALIKE: f64 = 0.5;
/// Most corners for which symmetry is looked at, which takes the square of their number.
const MOST_COMPARED: usize = 3_000;

/// All edges, the one that closes the outline included.
pub fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)).take(ring.len())
}

/// What it encloses, in mm²; negative if it runs the other way round.
pub fn area(ring: &[Point]) -> f64 {
    edges(ring).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>() / 2.0
}

/// Once round, in mm.
pub fn length(ring: &[Point]) -> f64 {
    edges(ring).map(|(a, b)| a.distance(b)).sum()
}

/// The least and the greatest of a coordinate.
pub fn reach(ring: &[Point], of: impl Fn(&Point) -> f64) -> (f64, f64) {
    ring.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
}

/// The mirror image across the grain; it runs the same way round as before.
pub fn mirrored(ring: &[Point]) -> Vec<Point> {
    ring.iter().rev().map(|point| Point::new(point.x, -point.y)).collect()
}

/// Whether an outline is its own mirror image across the grain.
pub fn symmetric(ring: &[Point]) -> bool {
    let (low, high) = reach(ring, |point| point.y);
    let image = |point: &Point| Point::new(point.x, low + high - point.y);
    let near = |point: Point| edges(ring).any(|(a, b)| Line::new(a, b).nearest(point, 1e-3).distance_sq <= ALIKE * ALIKE);
    ring.len() <= MOST_COMPARED && ring.iter().all(|point| near(image(point)))
}

/// Where two edges cross, if any do; ends that merely touch are no crossing.
pub fn crossing(ring: &[Point]) -> Option<Point> {
    let mut sorted: Vec<(f64, f64, Point, Point)> = edges(ring).map(|(a, b)| (a.x.min(b.x), a.x.max(b.x), a, b)).collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let pairs = sorted.iter().enumerate().flat_map(|(i, one)| {
        let near = sorted.iter().skip(i + 1).take_while(move |other| other.0 <= one.1);
        near.filter_map(move |other| meet((one.2, one.3), (other.2, other.3)))
    });
    pairs.min_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)))
}

/// Where two edges pass through each other.
fn meet((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Point> {
    let side = |from: Point, to: Point, at: Point| (to - from).cross(at - from);
    let (one, other) = (side(a, b, c) * side(a, b, d), side(c, d, a) * side(c, d, b));
    (one < 0.0 && other < 0.0).then(|| {
        let (from, to) = (side(c, d, a), side(c, d, b));
        a.lerp(b, from / (from - to))
    })
}

/// The part of an outline on one side of y = 0 that reaches from its first place on that axis to its last; none if it touches
/// the axis in fewer than two places.
pub fn beyond_axis(ring: &[Point]) -> Option<Vec<Point>> {
    let on_axis = || ring.iter().enumerate().filter(|(_, point)| point.y == 0.0);
    let (first, _) = on_axis().min_by(|a, b| a.1.x.total_cmp(&b.1.x))?;
    let (last, _) = on_axis().max_by(|a, b| a.1.x.total_cmp(&b.1.x))?;
    let walk = |from: usize, to: usize| -> Vec<Point> {
        let steps = (to + ring.len() - from) % ring.len();
        ring.iter().copied().cycle().skip(from).take(steps + 1).collect()
    };
    let (there, mut back) = (walk(first, last), walk(last, first));
    back.reverse();
    let larger = if area(&there).abs() >= area(&back).abs() { there } else { back };
    (first != last && larger.len() >= 3).then_some(larger)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Vec<Point> {
        corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    #[test]
    fn a_bow_tie_crosses_where_its_diagonals_meet() {
        let bow = ring(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        assert_eq!(crossing(&bow), Some(Point::new(5.0, 5.0)));
        assert_eq!(crossing(&ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])), None);
    }

    #[test]
    fn mirror_images_are_told_from_the_piece_itself() {
        assert!(symmetric(&ring(&[(0.0, 0.0), (100.0, 20.0), (0.0, 40.0)])));
        assert!(!symmetric(&ring(&[(0.0, 0.0), (100.0, 0.0), (0.0, 40.0)])));
    }

    #[test]
    fn the_part_beyond_the_fold_begins_and_ends_on_it() {
        // A half body with a neckline that dips back to the fold.
        let half = ring(&[(50.0, 30.0), (50.0, 0.0), (20.0, 0.0), (0.0, 0.0), (0.0, 30.0)]);
        assert_eq!(beyond_axis(&half), Some(ring(&[(0.0, 0.0), (0.0, 30.0), (50.0, 30.0), (50.0, 0.0)])));
        assert_eq!(beyond_axis(&ring(&[(0.0, 1.0), (5.0, 0.0), (9.0, 1.0)])), None);
    }
}
