//! Circles inside an outline that fill most of it: a cheap stand-in by which overlaps are measured.

use super::ring::{bounds, distance, distance_to_edge, edges, inside, signed_area};
use kurbo::{Point, Rect, Vec2};

/// A circle inside an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Circle {
    pub centre: Point,
    pub radius: f64,
}

/// How many circles stand for an outline at most, and which part of its area they fill if they are fewer.
const MOST: usize = 16;
const FILLED: f64 = 0.85;

/// How many places for a centre are looked at, on a grid over the outline's box.
const GRID: f64 = 600.0;

/// Circles inside a ring, largest first, none over another's centre.
pub(super) fn circles(ring: &[Point]) -> Vec<Circle> {
    let area = signed_area(ring).abs();
    let (mut rooms, step) = rooms(ring);
    let (mut found, mut filled) = (Vec::new(), 0.0);
    while found.len() < MOST && filled < FILLED * area {
        let Some(next) = rooms.iter().copied().max_by(|a, b| a.radius.total_cmp(&b.radius)) else { break };
        let next = widened(ring, &found, next, step);
        if found.first().is_some_and(|first: &Circle| next.radius < first.radius * 0.1) {
            break;
        }
        filled += next.radius * next.radius * std::f64::consts::PI;
        found.push(next);
        for room in &mut rooms {
            room.radius = room.radius.min(distance(room.centre, next.centre) - next.radius);
        }
        rooms.retain(|room| room.radius > 0.0);
    }
    found
}

/// The largest circle around each point of a grid inside the ring, and the grid's step.
fn rooms(ring: &[Point]) -> (Vec<Circle>, f64) {
    let bounds = bounds(ring);
    // A thin piece takes more points than its area, so that some lie in it.
    let step = (bounds.area() / GRID).sqrt().min(bounds.width() / 4.0).min(bounds.height() / 4.0).max(bounds_step(bounds));
    let along = |from: f64, to: f64| {
        let count = ((to - from) / step) as usize;
        (0..=count).map(move |index| from + (index as f64 + 0.5) * step)
    };
    let grid = along(bounds.x0, bounds.x1).flat_map(|x| along(bounds.y0, bounds.y1).map(move |y| Point::new(x, y)));
    let within = grid.filter(|&point| inside(ring, point));
    (within.map(|centre| Circle { centre, radius: room(ring, &[], centre) }).collect(), step)
}

/// A step that keeps the grid below some ten thousand points however thin the box is.
fn bounds_step(bounds: Rect) -> f64 {
    bounds.width().max(bounds.height()) / 2000.0
}

/// The radius of the largest circle around a point inside the ring that leaves others alone.
fn room(ring: &[Point], others: &[Circle], centre: Point) -> f64 {
    let to_ring = edges(ring).map(|edge| distance_to_edge(centre, edge)).fold(f64::INFINITY, f64::min);
    others.iter().map(|other| distance(centre, other.centre) - other.radius).fold(to_ring, f64::min)
}

/// The circle moved to where there is more room, in steps that grow smaller.
fn widened(ring: &[Point], others: &[Circle], mut best: Circle, mut step: f64) -> Circle {
    for _ in 0..12 {
        let ways = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)].map(|(x, y)| Vec2::new(x, y) * step);
        let tried = ways
            .map(|way| best.centre + way)
            .map(|centre| Circle { centre, radius: if inside(ring, centre) { room(ring, others, centre) } else { 0.0 } });
        let Some(next) = tried.into_iter().max_by(|a, b| a.radius.total_cmp(&b.radius)) else { break };
        if next.radius > best.radius { best = next } else { step /= 2.0 }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_are_inside_apart_and_fill_most_of_the_outline() {
        let strap = [(0.0, 0.0), (900.0, 0.0), (900.0, 60.0), (0.0, 60.0)].map(Point::from);
        let found = circles(&strap);
        assert!(found.len() > 10 && found.iter().all(|circle| circle.radius < 30.001), "{found:?}");
        for (index, circle) in found.iter().enumerate() {
            assert!(inside(&strap, circle.centre) && room(&strap, &[], circle.centre) >= circle.radius - 1e-9);
            let others = found.iter().skip(index + 1);
            assert!(
                others.into_iter().all(|other| distance(other.centre, circle.centre) >= other.radius + circle.radius - 1e-9)
            );
        }
        let filled: f64 = found.iter().map(|circle| circle.radius * circle.radius * std::f64::consts::PI).sum();
        assert!(filled > 0.6 * 54000.0, "{filled}");
    }
}
