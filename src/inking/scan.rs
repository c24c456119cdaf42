//! Level scan lines through a filled path: where they are inside.

use kurbo::{BezPath, PathEl, Point, Rect, Shape};

/// How far the scanned outline may stand off the curve, in mm.
const FLATNESS_MM: f64 = 0.01;

/// Stretches of level lines inside a path: `(y, from x, to x)` at whole multiples of a step, top first.
pub(super) fn spans(path: &BezPath, even_odd: bool, step: f64) -> Vec<(f64, f64, f64)> {
    let bounds = path.bounding_box();
    if !bounds.is_finite() || bounds.area() <= 0.0 {
        return Vec::new();
    }
    let first = (bounds.y0 / step).ceil() as i64;
    let mut rows: Vec<Vec<(f64, i32)>> = vec![Vec::new(); rows(bounds, step)];
    for (a, b) in edges(path) {
        for row in (a.y.min(b.y) / step).ceil() as i64..=(a.y.max(b.y) / step).floor() as i64 {
            let y = row as f64 * step;
            let index = usize::try_from(row - first).unwrap_or(usize::MAX);
            if let (true, Some(crossings)) = ((a.y <= y) != (b.y <= y), rows.get_mut(index)) {
                crossings.push((a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y), if a.y <= y { 1 } else { -1 }));
            }
        }
    }
    let inside = |(row, crossings): (usize, Vec<(f64, i32)>)| {
        let y = (first + row as i64) as f64 * step;
        inner(crossings, even_odd).into_iter().map(move |(from, to)| (y, from, to))
    };
    rows.into_iter().enumerate().flat_map(inside).collect()
}

/// About how large the inside of a path is, in mm².
pub(super) fn area(path: &BezPath, even_odd: bool) -> f64 {
    // Two hundred lines through any shape tell its size to a per cent or so.
    let step = (path.bounding_box().height() / 200.0).max(0.05);
    spans(path, even_odd, step).iter().map(|(_, from, to)| (to - from) * step).sum()
}

fn rows(bounds: Rect, step: f64) -> usize {
    // A drawing is 20 m at most; the cap only guards against what cannot be.
    ((bounds.height() / step).max(0.0) as usize).min(1_000_000) + 2
}

fn inner(mut crossings: Vec<(f64, i32)>, even_odd: bool) -> Vec<(f64, f64)> {
    crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut winding = 0;
    let mut spans = Vec::new();
    for pair in crossings.windows(2) {
        let [(from, turn), (to, _)] = pair else { continue };
        winding += turn;
        let inside = if even_odd { winding % 2 != 0 } else { winding != 0 };
        if inside && to > from {
            spans.push((*from, *to));
        }
    }
    spans
}

/// Straight edges of the flattened path, every part closed.
fn edges(path: &BezPath) -> Vec<(Point, Point)> {
    let (mut edges, mut start, mut last) = (Vec::new(), Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(path, FLATNESS_MM, |element| {
        let next = match element {
            PathEl::MoveTo(p) => {
                edges.push((last, start));
                (start, last) = (p, p);
                return;
            }
            PathEl::LineTo(p) => p,
            _ => start,
        };
        edges.push((last, next));
        last = next;
    });
    edges.push((last, start));
    edges
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inside_is_found_by_either_rule() {
        let nested = BezPath::from_svg("M0 0H10V10H0ZM2 2H8V8H2Z").unwrap();
        assert!((area(&nested, false) - 100.0).abs() < 1.0);
        assert!((area(&nested, true) - 64.0).abs() < 1.0);
        let open = BezPath::from_svg("M0 0L10 0L0 10").unwrap();
        assert!((area(&open, false) - 50.0).abs() < 1.0);
        assert!(spans(&BezPath::from_svg("M0 0H10").unwrap(), false, 1.0).is_empty());
    }
}
