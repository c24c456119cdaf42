//! What a path covers on paper, line width included.

use kurbo::{Affine, BezPath, Cap, Join, PathEl, PathSeg, Point, Rect, Shape, Stroke, Vec2};

/// The box of a filled or stroked path; tips of mitred joins count, dashes do not shorten it.
pub fn bounds(path: &BezPath, stroke: Option<&Stroke>) -> Rect {
    let inside = path.bounding_box();
    let Some(stroke) = stroke else { return inside };
    let half = stroke.width / 2.0;
    let square = stroke.start_cap == Cap::Square || stroke.end_cap == Cap::Square;
    let reach = if square { half * std::f64::consts::SQRT_2 } else { half };
    let around = inside.inflate(reach, reach);
    if stroke.join == Join::Miter {
        tips(path, half, stroke.miter_limit).fold(around, |all, tip| all.union_pt(tip))
    } else {
        around
    }
}

/// Tips of the mitred joins of all corners.
fn tips(path: &BezPath, half: f64, limit: f64) -> impl Iterator<Item = Point> {
    path.subpaths().flat_map(corners).filter_map(move |(at, before, after)| tip(at, before, after, half, limit))
}

/// Corners of one part of a path: the point, and the directions in which the line arrives and leaves.
fn corners(part: &[PathEl]) -> Vec<(Point, Vec2, Vec2)> {
    let segments: Vec<(Point, Vec2, Vec2)> = kurbo::segments(part.iter().copied()).filter_map(ends).collect();
    let closed = matches!(part.last(), Some(PathEl::ClosePath));
    let pairs = segments.iter().zip(segments.iter().skip(1));
    let seam = segments.last().zip(segments.first()).filter(|_| closed);
    pairs.chain(seam).map(|((_, _, out), (start, inward, _))| (*start, *out, *inward)).collect()
}

/// Start of a segment, and its directions there and at its end; `None` for a segment without length.
fn ends(segment: PathSeg) -> Option<(Point, Vec2, Vec2)> {
    let (first, a, b, last) = match segment {
        PathSeg::Line(l) => (l.p0, l.p0, l.p1, l.p1),
        PathSeg::Quad(q) => (q.p0, q.p1, q.p1, q.p2),
        PathSeg::Cubic(c) => (c.p0, c.p1, c.p2, c.p3),
    };
    let away = [a, b, last].into_iter().find(|point| *point != first)?;
    let toward = [b, a, first].into_iter().find(|point| *point != last)?;
    Some((first, (away - first).normalize(), (last - toward).normalize()))
}

fn tip(at: Point, before: Vec2, after: Vec2, half: f64, limit: f64) -> Option<Point> {
    // The mitre is 1 / sin(half the angle between the lines) times as long as the line is wide (SVG 2, "stroke-miterlimit").
    let middle = (before - after).normalize();
    let sine = ((1.0 + before.dot(after)) / 2.0).max(0.0).sqrt();
    let ratio = 1.0 / sine;
    (middle.is_finite() && ratio.is_finite() && ratio <= limit).then(|| at + middle * half * ratio)
}

/// The factor of a transform that keeps all shapes alike, or none if it stretches or slants.
pub fn similarity(transform: Affine) -> Option<f64> {
    let [a, b, c, d, ..] = transform.as_coeffs();
    let (x, y) = (a.hypot(b), c.hypot(d));
    let level = (x - y).abs() <= x.max(y) * 1e-5 && (a * c + b * d).abs() <= x * y * 1e-5;
    level.then_some((x + y) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mitred_corners_reach_as_far_as_svg_2_says() {
        // SVG 2, "stroke-miterlimit": mitre length / stroke width = 1 / sin(theta / 2). For 60 degrees that is 2.
        let height = 3f64.sqrt() / 2.0 * 10.0;
        let path = BezPath::from_svg(&format!("M0 {height} L5 0 L10 {height}")).unwrap();
        let stroke = Stroke::new(1.0).with_join(Join::Miter).with_caps(Cap::Butt);
        assert!((bounds(&path, Some(&stroke)).y0 - -1.0).abs() < 1e-9);
        let limited = stroke.clone().with_miter_limit(1.9);
        assert!((bounds(&path, Some(&limited)).y0 - -0.5).abs() < 1e-9);
        let square = BezPath::from_svg("M0 0H10V10H0Z").unwrap();
        let around = bounds(&square, Some(&stroke));
        assert!((around.x0 + 0.5).abs() < 1e-9 && (around.y1 - 10.5).abs() < 1e-9);
    }

    #[test]
    fn only_even_scales_keep_lines_alike() {
        assert!((similarity(Affine::rotate(0.3) * Affine::scale(2.0)).unwrap() - 2.0).abs() < 1e-12);
        assert!((similarity(Affine::FLIP_X).unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(similarity(Affine::scale_non_uniform(1.0, 2.0)), None);
        assert_eq!(similarity(Affine::skew(0.1, 0.0)), None);
    }
}
