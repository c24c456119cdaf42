//! Edges of ink against boxes.

use kurbo::{Point, Rect};

/// The stretch of an edge inside a box, as parameters from 0 to 1 (Liang and Barsky's clipping).
///
/// None if the edge only touches a side, or if the box has no inside.
#[inline]
pub(super) fn within(a: Point, b: Point, area: Rect) -> Option<(f64, f64)> {
    if area.x0 >= area.x1 || area.y0 >= area.y1 {
        return None;
    }
    // Nearly all edges lie inside, and need not be cut.
    if [a, b].iter().all(|p| area.x0 < p.x && p.x < area.x1 && area.y0 < p.y && p.y < area.y1) {
        return Some((0.0, 1.0));
    }
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, low, high) in [(a.x, b.x - a.x, area.x0, area.x1), (a.y, b.y - a.y, area.y0, area.y1)] {
        if step == 0.0 {
            if start <= low || start >= high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - start) / step, (high - start) / step);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    (from < to).then_some((from, to))
}

/// Whether a box lies inside another one and off its sides.
pub(super) fn holds(area: Rect, other: Rect) -> bool {
    area.x0 < other.x0 && area.y0 < other.y0 && other.x1 < area.x1 && other.y1 < area.y1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edge_is_cut_to_what_lies_inside_and_not_only_on_a_side() {
        let area = Rect::new(10.0, 20.0, 30.0, 60.0);
        for ((x0, y0), (x1, y1), part) in [
            ((12.0, 30.0), (28.0, 50.0), Some((0.0, 1.0))),
            ((0.0, 30.0), (40.0, 30.0), Some((0.25, 0.75))),
            ((40.0, 30.0), (0.0, 30.0), Some((0.25, 0.75))),
            ((15.0, 0.0), (15.0, 80.0), Some((0.25, 0.75))),
            ((15.0, 80.0), (15.0, 40.0), Some((0.5, 1.0))),
            ((0.0, 10.0), (40.0, 50.0), Some((0.25, 0.75))),
            ((10.0, 30.0), (30.0, 30.0), Some((0.0, 1.0))),
            // Along a side, up to one, past a corner, through one.
            ((10.0, 0.0), (10.0, 80.0), None),
            ((30.0, 0.0), (30.0, 80.0), None),
            ((0.0, 20.0), (40.0, 20.0), None),
            ((0.0, 60.0), (40.0, 60.0), None),
            ((0.0, 30.0), (10.0, 30.0), None),
            ((30.0, 30.0), (40.0, 30.0), None),
            ((0.0, 40.0), (20.0, 80.0), None),
            ((0.0, 30.0), (20.0, 10.0), None),
            ((0.0, 30.0), (5.0, 30.0), None),
        ] {
            assert_eq!(within((x0, y0).into(), (x1, y1).into(), area), part, "({x0}, {y0}) to ({x1}, {y1})");
        }
        for flat in [Rect::new(10.0, 20.0, 10.0, 60.0), Rect::new(10.0, 20.0, 30.0, 20.0), Rect::new(30.0, 20.0, 10.0, 60.0)] {
            assert_eq!(within((0.0, 0.0).into(), (40.0, 80.0).into(), flat), None, "{flat}");
        }
    }
}
