//! Marks that every pattern piece bears: grainline, fold line, lengthen or shorten line, test squares.

use kurbo::{BezPath, Point, Rect, Shape, Vec2};

/// A line with an open arrowhead at both ends.
pub fn grainline(from: Point, to: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(to);
    head(&mut path, from, to);
    head(&mut path, to, from);
    path
}

/// An arrowhead at `tip`, seen from `tail`: 7 mm long, 5 mm wide.
fn head(path: &mut BezPath, tip: Point, tail: Point) {
    let back = (tail - tip).normalize();
    let aside = Vec2::new(back.y, -back.x);
    path.move_to(tip + back * 7.0 + aside * 2.5);
    path.line_to(tip);
    path.line_to(tip + back * 7.0 - aside * 2.5);
}

/// A bracket whose two arrows point at the fold, drawn beside it on the side of the cloth; `inward` is a unit vector.
pub fn fold_bracket(from: Point, to: Point, inward: Vec2) -> BezPath {
    let depth = inward * 14.0;
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(from + depth);
    path.line_to(to + depth);
    path.line_to(to);
    head(&mut path, from, from + depth);
    head(&mut path, to, to + depth);
    path
}

/// Two lines 5 mm apart, between which a piece is cut to lengthen it or folded to shorten it.
pub fn double_line(from: Point, to: Point) -> BezPath {
    let along = (to - from).normalize();
    let aside = Vec2::new(-along.y, along.x) * 2.5;
    let mut path = BezPath::new();
    for side in [aside, -aside] {
        path.move_to(from + side);
        path.line_to(to + side);
    }
    path
}

/// An upright cross, 8 mm wide.
pub fn cross(at: Point) -> BezPath {
    let mut path = BezPath::new();
    for arm in [Vec2::new(4.0, 0.0), Vec2::new(0.0, 4.0)] {
        path.move_to(at - arm);
        path.line_to(at + arm);
    }
    path
}

/// A corner of 8 mm that opens down and to the left.
pub fn corner(at: Point) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(at + Vec2::new(-8.0, 0.0));
    path.line_to(at);
    path.line_to(at + Vec2::new(0.0, 8.0));
    path
}

/// A square with its top left at a point.
pub fn square(at: Point, side: f64) -> BezPath {
    // A rectangle has no curves, so the tolerance is never used.
    Rect::from_origin_size(at, (side, side)).to_path(0.1)
}

/// Four inches in mm.
pub const FOUR_INCHES: f64 = 4.0 * 25.4;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_measure_what_they_say() {
        // 1 in = 25.4 mm exactly (international yard and pound agreement of 1959; also CSS Values, "Absolute lengths").
        for side in [100.0, FOUR_INCHES] {
            let area = square(Point::new(3.0, 4.0), side).bounding_box();
            assert!((area.width() - side).abs() < 1e-9 && (area.height() - side).abs() < 1e-9);
        }
        assert!((FOUR_INCHES - 101.6).abs() < 1e-9);
    }
}
