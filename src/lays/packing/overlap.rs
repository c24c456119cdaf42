//! Whether two outlines overlap, and how badly.

use super::circles::Circle;
use super::ring::{inside, side};
use super::shape::Figure;
use kurbo::{Point, Rect, Vec2};

/// How badly one outline overlaps another that is shifted against it: 0 if it does not.
///
/// The sum, over all pairs of their circles, of the depth of one in the other times the smaller radius. Circles that are apart still
/// count a little, the less the farther, so that the measure falls wherever a piece moves outwards.
pub(super) fn overlap(one: &Figure, other: &Figure, shift: Vec2) -> f64 {
    let common = one.bounds.intersect(other.bounds + shift);
    if common.width() <= 0.0 || common.height() <= 0.0 || !meet(one, other, shift, common) {
        return 0.0;
    }
    depth(&one.circles, &other.circles, shift).sqrt() * one.weight * other.weight
}

/// Far more than what sums of coordinates are rounded by; millimetres.
const ROUNDING: f64 = 1e-6;

/// Whether two outlines have points in common, given the box that both their boxes have in common.
fn meet(one: &Figure, other: &Figure, shift: Vec2, common: Rect) -> bool {
    circles_meet(&one.circles, &other.circles, shift)
        || edges_cross(one, other, shift, common)
        || holds(other, one, -shift)
        || holds(one, other, shift)
}

/// Whether one outline lies whole within another, if their edges do not cross.
fn holds(one: &Figure, other: &Figure, shift: Vec2) -> bool {
    let there = other.bounds + shift;
    one.bounds.union(there) == one.bounds && other.ring.first().is_some_and(|&point| inside(&one.ring, point + shift))
}

fn circles_meet(one: &[Circle], other: &[Circle], shift: Vec2) -> bool {
    one.iter().any(|a| {
        let from = a.centre - shift;
        other.iter().any(|b| {
            let reach = a.radius + b.radius;
            (b.centre - from).hypot2() < reach * reach
        })
    })
}

fn edges_cross(one: &Figure, other: &Figure, shift: Vec2, common: Rect) -> bool {
    // Rounding must not put an edge on the box's own line outside of it.
    let common = common.inflate(ROUNDING, ROUNDING);
    let there = common - shift;
    one.edges.iter().filter(|edge| touch(&edge.2, &common)).any(|&(a, b, bounds)| {
        let edge = (a - shift, b - shift);
        let within = (bounds - shift).inflate(ROUNDING, ROUNDING).intersect(there);
        other.edges.iter().filter(|other| touch(&other.2, &within)).any(|&(a, b, _)| cross(edge, (a, b)))
    })
}

/// Whether two boxes have points in common.
fn touch(one: &Rect, other: &Rect) -> bool {
    one.x0 <= other.x1 && one.x1 >= other.x0 && one.y0 <= other.y1 && one.y1 >= other.y0
}

/// Whether two edges with a common box have a point in common; touching counts.
fn cross(one: (Point, Point), other: (Point, Point)) -> bool {
    side(one, other.0) * side(one, other.1) <= 0.0 && side(other, one.0) * side(other, one.1) <= 0.0
}

fn depth(one: &[Circle], other: &[Circle], shift: Vec2) -> f64 {
    let smooth = SMOOTH * largest(one).min(largest(other));
    one.iter().map(|a| other.iter().map(|b| pair_depth(a, b, shift, smooth)).sum::<f64>()).sum()
}

/// Below which depth, in radii of the smaller outline's largest circle, the measure bends so that it never becomes 0.
const SMOOTH: f64 = 0.1;

fn largest(circles: &[Circle]) -> f64 {
    circles.first().map_or(0.0, |circle| circle.radius)
}

fn pair_depth(a: &Circle, b: &Circle, shift: Vec2, smooth: f64) -> f64 {
    let depth = a.radius + b.radius - (b.centre + shift - a.centre).hypot2().sqrt();
    let bent = if depth >= smooth { depth } else { smooth * smooth / (2.0 * smooth - depth) };
    bent * a.radius.min(b.radius)
}

#[cfg(test)]
mod tests {
    use super::super::Part;
    use super::super::random::Random;
    use super::super::ring::{plain, points, signed_area};
    use super::super::shape::Shape;
    use super::*;
    use i_overlay::core::fill_rule::FillRule;
    use i_overlay::core::overlay_rule::OverlayRule;
    use i_overlay::float::single::SingleFloatOverlay;

    fn figure(points: &[(f64, f64)]) -> Figure {
        let outline: Vec<Point> = points.iter().map(|&point| point.into()).collect();
        Shape::new(&Part { outline: outline.clone(), may_turn: true, on_fold: false }, &outline, 0.0).figure(false).clone()
    }

    fn common_area(one: &Figure, other: &Figure, shift: Vec2) -> f64 {
        let there: Vec<Point> = other.ring.iter().map(|&point| point + shift).collect();
        let common = plain(&one.ring).overlay_as::<i64>(&plain(&there), OverlayRule::Intersect, FillRule::NonZero);
        common.into_iter().flatten().map(|ring| signed_area(&points(ring))).sum()
    }

    #[test]
    fn outlines_overlap_wherever_a_library_for_areas_finds_common_area() {
        let figures = [
            figure(&[(0.0, 0.0), (80.0, 0.0), (80.0, 20.0), (0.0, 20.0)]),
            figure(&[(0.0, 0.0), (30.0, 5.0), (60.0, 0.0), (55.0, 40.0), (30.0, 20.0), (5.0, 40.0)]),
            figure(&[(0.0, 0.0), (40.0, 0.0), (40.0, 10.0), (10.0, 10.0), (10.0, 40.0), (0.0, 40.0)]),
        ];
        let mut random = Random::new(5);
        for _ in 0..3000 {
            let [one, other] = [random.below(3), random.below(3)].map(|index| &figures[index]);
            // Whole millimetres, so that edges often lie on one line.
            let shift = Vec2::new(random.between(-90.0, 90.0).round(), random.between(-50.0, 50.0).round());
            let common = common_area(one, other, shift);
            assert_eq!(overlap(one, other, shift) > 0.0, common > 1e-6, "{shift:?} {common} {one:?} {other:?}");
        }
    }
}
