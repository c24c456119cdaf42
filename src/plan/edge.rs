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
