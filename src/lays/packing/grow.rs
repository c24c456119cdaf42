//! Outlines as the search sees them: with few points, never inside the real one, and wider by half the gap.

use super::ring::{clean, distance_to_edge, edges, plain, points, side, signed_area};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{Point, Vec2};

/// How far an outline may be from the line that stands for it; millimetres.
const THINNED: f64 = 0.15;

/// By how much outlines are made smaller, so that pieces which only touch are not taken to overlap; millimetres.
pub(super) const EASE: f64 = 0.002;

/// Below this an outline is moved corner by corner; millimetres.
const HAIR: f64 = 0.01;

/// A quarter of the sixteen corners of a regular polygon around a circle of radius 1, from 11.25° on in steps of 22.5°: written out, since
/// a sine need not be the same on all machines.
const CORNERS: [(f64, f64); 4] = [
    (1.0, 0.198_912_367_379_658),
    (0.847_759_065_022_573_5, 0.566_454_497_350_521_7),
    (0.566_454_497_350_521_7, 0.847_759_065_022_573_5),
    (0.198_912_367_379_658, 1.0),
];

/// A ring grown by half the gap, going round from x towards y.
pub(super) fn grown(ring: &[Point], gap: f64) -> Vec<Point> {
    let (mut thin, outside) = thinned(ring);
    if signed_area(&thin) < 0.0 {
        thin.reverse();
    }
    let by = gap / 2.0 - EASE + outside;
    if by > HAIR { swept(&thin, by) } else { moved(&thin, by) }
}

/// A ring of fewer points, and how far at most the given one is outside it.
fn thinned(ring: &[Point]) -> (Vec<Point>, f64) {
    let far = far_ends(ring);
    let mut turned = ring.to_vec();
    turned.rotate_left(far.0);
    let middle = (far.1 + ring.len() - far.0) % ring.len().max(1);
    turned.extend(turned.first().copied());
    let outwards = -signed_area(ring).signum();
    let (mut kept, mut outside) = (Vec::new(), 0.0);
    // Ranges still to be looked at, the next one last.
    let mut ranges = vec![(middle, ring.len()), (0, middle)];
    while let Some((from, to)) = ranges.pop() {
        let Some([first, between @ .., last]) = turned.get(from..=to) else { continue };
        let farthest = between.iter().map(|&point| distance_to_edge(point, (*first, *last))).enumerate();
        match farthest.max_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((index, away)) if away > THINNED => ranges.extend([(from + index + 1, to), (from, from + index + 1)]),
            _ => {
                let out = |point: &&Point| side((*first, *last), **point) * outwards > 0.0;
                let away = between.iter().filter(out).map(|&point| distance_to_edge(point, (*first, *last)));
                outside = away.fold(outside, f64::max);
                kept.push(*first);
            }
        }
    }
    (kept, outside)
}

/// The indices of a leftmost and a rightmost point.
fn far_ends(ring: &[Point]) -> (usize, usize) {
    let by_x = || ring.iter().map(|point| point.x).enumerate();
    let left = by_x().min_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(index, _)| index);
    (left, by_x().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(index, _)| index))
}

/// All that a polygon around a circle of that radius covers while its centre goes round the ring, and the ring itself.
fn swept(ring: &[Point], by: f64) -> Vec<Point> {
    let corners = corners().map(|corner| corner * by);
    let around = |(a, b): (Point, Point)| hull(corners.iter().flat_map(|&corner| [a + corner, b + corner]).collect());
    let mut all: Vec<Vec<[f64; 2]>> = edges(ring).map(|edge| plain(&around(edge))).collect();
    all.push(plain(ring));
    let outer = all.simplify_shape_as::<i64>(FillRule::NonZero).into_iter().filter_map(|shape| shape.into_iter().next());
    let rings = outer.map(points);
    let largest = rings.max_by(|a, b| signed_area(a).abs().total_cmp(&signed_area(b).abs())).unwrap_or_default();
    clean(&largest)
}

fn corners() -> [Vec2; 16] {
    let mut corners = [Vec2::ZERO; 16];
    for (index, corner) in corners.iter_mut().enumerate() {
        let (x, y) = CORNERS.get(index % 4).copied().unwrap_or_default();
        *corner = match index / 4 {
            0 => Vec2::new(x, y),
            1 => Vec2::new(-y, x),
            2 => Vec2::new(-x, -y),
            _ => Vec2::new(y, -x),
        };
    }
    corners
}

/// The convex hull, going round from x towards y.
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull = half_hull(points.iter().copied());
    hull.extend(half_hull(points.into_iter().rev()));
    hull
}

/// The lower half of a hull (or the upper, from points that come backwards), without its last point.
fn half_hull(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for point in points {
        while let [.., a, b] = kept[..] {
            if side((a, b), point) > 0.0 {
                break;
            }
            kept.pop();
        }
        kept.push(point);
    }
    kept.pop();
    kept
}

/// A ring with each corner moved outwards by next to nothing (or inwards, if negative).
fn moved(ring: &[Point], by: f64) -> Vec<Point> {
    let before = ring.iter().cycle().skip(ring.len().saturating_sub(1));
    let around = before.zip(edges(ring)).take(ring.len());
    around.map(|(&before, (at, next))| at + mitre(at - before, next - at) * by).collect()
}

/// Where a corner goes if both its edges move outwards by 1, but no farther than 3.
fn mitre(into: Vec2, out: Vec2) -> Vec2 {
    let normal = |way: Vec2| Vec2::new(way.y, -way.x) / way.hypot2().sqrt().max(f64::MIN_POSITIVE);
    let (a, b) = (normal(into), normal(out));
    (a + b) / (1.0 + a.dot(b)).max(0.6)
}
