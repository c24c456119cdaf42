//! Seam lines and what is made of them: lengths along a curve, offsets, cutting lines, notches. All in plain mm, y down.

use kurbo::offset::offset_cubic;
use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathSeg, Point, Shape, Vec2};

/// How closely offsets and lengths are worked out, in mm: a hundredth of what a good printer can show.
const EXACT: f64 = 1e-4;

/// Length of a notch, in mm; it ends 4 mm short of a seam line that has 10 mm of allowance.
const NOTCH: f64 = 6.0;

/// One edge of a piece. Edges follow each other clockwise on paper, so that the cloth lies to the right of each.
#[derive(Clone)]
pub struct Edge {
    /// What the edge is called where it is met again on another piece, as in `armhole`.
    pub name: &'static str,
    /// Seam line.
    pub seam: BezPath,
    /// Cloth outside the seam line, in mm; `None` where the piece lies on the fold and nothing is cut.
    pub allowance: Option<f64>,
}

impl Edge {
    /// An edge that is cut `allowance` mm outside its seam line.
    pub fn cut(name: &'static str, seam: BezPath, allowance: f64) -> Self {
        Self { name, seam, allowance: Some(allowance) }
    }

    /// A straight edge on the fold.
    pub fn fold(from: Point, to: Point) -> Self {
        Self { name: "fold", seam: line(from, to), allowance: None }
    }
}

/// A straight line.
pub fn line(from: Point, to: Point) -> BezPath {
    chain([PathSeg::Line(kurbo::Line::new(from, to))])
}

/// One cubic curve.
pub fn curve(from: Point, leave: Point, arrive: Point, to: Point) -> BezPath {
    chain([PathSeg::Cubic(CubicBez::new(from, leave, arrive, to))])
}

/// Paths that follow each other as one path.
pub fn joined(parts: &[BezPath]) -> BezPath {
    chain(parts.iter().flat_map(|part| part.segments().collect::<Vec<_>>()))
}

/// Segments that follow each other as one path; ends that miss each other by a rounding are drawn together.
fn chain(segments: impl IntoIterator<Item = PathSeg>) -> BezPath {
    let mut path = BezPath::new();
    for segment in segments {
        // Only the first segment starts anew: a second start would break the outline into pieces that cannot be closed.
        if path.is_empty() {
            path.move_to(segment.start());
        }
        path.push(segment.as_path_el());
    }
    path
}

/// Length along a path.
pub fn length(path: &BezPath) -> f64 {
    path.perimeter(EXACT)
}

/// First point.
pub fn start(path: &BezPath) -> Point {
    path.segments().next().map_or(Point::ORIGIN, |segment| segment.start())
}

/// Last point.
pub fn end(path: &BezPath) -> Point {
    path.segments().last().map_or(Point::ORIGIN, |segment| segment.end())
}

/// The point `along` mm from the start of a path, and the unit direction of travel there.
pub fn at(path: &BezPath, along: f64) -> (Point, Vec2) {
    let (segment, t) = find(path, along).unwrap_or((PathSeg::Line(kurbo::Line::new((0.0, 0.0), (1.0, 0.0))), 0.0));
    (segment.eval(t), direction(segment, t))
}

/// A path parted `along` mm from its start.
pub fn split(path: &BezPath, along: f64) -> (BezPath, BezPath) {
    let (mut first, mut second, mut walked) = (Vec::new(), Vec::new(), 0.0);
    for segment in path.segments() {
        let long = segment.arclen(EXACT);
        // Where the cut falls on the end of a segment, that segment stays whole.
        let cut = along - walked;
        walked += long;
        if cut >= long {
            first.push(segment);
        } else if cut <= 0.0 {
            second.push(segment);
        } else {
            let t = segment.inv_arclen(cut, EXACT);
            first.push(segment.subsegment(0.0..t));
            second.push(segment.subsegment(t..1.0));
        }
    }
    (chain(first), chain(second))
}

/// The segment that lies `along` mm from the start, and where in it.
fn find(path: &BezPath, along: f64) -> Option<(PathSeg, f64)> {
    let mut walked = 0.0;
    for segment in path.segments() {
        let long = segment.arclen(EXACT);
        if along <= walked + long {
            return Some((segment, segment.inv_arclen((along - walked).max(0.0), EXACT)));
        }
        walked += long;
    }
    path.segments().last().map(|segment| (segment, 1.0))
}

fn direction(segment: PathSeg, t: f64) -> Vec2 {
    match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    }
    .normalize()
}

/// To the left of a direction: outside, on a piece that is walked clockwise.
pub fn outward(along: Vec2) -> Vec2 {
    Vec2::new(along.y, -along.x)
}

/// The path moved sideways by a distance, outward if positive.
pub fn offset(path: &BezPath, by: f64) -> BezPath {
    let mut moved = Vec::new();
    for segment in path.segments() {
        match segment {
            PathSeg::Cubic(cubic) if by != 0.0 => {
                let mut part = BezPath::new();
                // The library counts to the right of travel on a page whose y runs down.
                offset_cubic(cubic, -by, EXACT, &mut part);
                moved.extend(part.segments());
            }
            PathSeg::Line(line) => {
                let aside = outward((line.p1 - line.p0).normalize()) * by;
                moved.push(PathSeg::Line(kurbo::Line::new(line.p0 + aside, line.p1 + aside)));
            }
            other => moved.push(other),
        }
    }
    chain(moved)
}

/// The line to cut along: every edge moved out by its allowance, corners drawn out to a point. Left open at a fold.
pub fn cutting_line(edges: &[Edge]) -> BezPath {
    let moved: Vec<BezPath> = edges.iter().map(|edge| offset(&edge.seam, edge.allowance.unwrap_or(0.0))).collect();
    let count = edges.len();
    let fold = edges.iter().position(|edge| edge.allowance.is_none());
    // At a fold the outline is an open line: eight sizes would else draw eight lines over each other there.
    let first = fold.map_or(0, |fold| fold + 1);
    let mut path = BezPath::new();
    path.move_to(corner(&moved[(first + count - 1) % count], &moved[first % count]));
    for step in 0..count - usize::from(fold.is_some()) {
        let here = (first + step) % count;
        run_along(&mut path, &moved[here], corner(&moved[here], &moved[(here + 1) % count]));
    }
    if fold.is_none() {
        path.close_path();
    }
    path
}

/// Adds an edge to a path that stands at the corner before it, and goes on to the corner after it.
fn run_along(path: &mut BezPath, edge: &BezPath, corner: Point) {
    // A straight edge needs no points of its own, for the corners lie on it.
    if edge.segments().any(|segment| matches!(segment, PathSeg::Cubic(_))) {
        if path.current_position().is_some_and(|here| here.distance(start(edge)) > EXACT) {
            path.line_to(start(edge));
        }
        edge.elements().iter().skip(1).for_each(|element| path.push(*element));
    }
    if path.current_position().is_some_and(|here| here.distance(corner) > EXACT) {
        path.line_to(corner);
    }
}

/// Where two edges meet when both are drawn out straight.
fn corner(before: &BezPath, after: &BezPath) -> Point {
    let (from, along) = at(before, length(before));
    let (to, away) = at(after, 0.0);
    let cross = along.cross(away);
    // Edges that go on straight have no corner to draw out.
    if cross.abs() < 1e-6 { from } else { from + along * ((to - from).cross(away) / cross) }
}

/// Notches on an edge at the given distances along its seam line: strokes from the cutting line inwards.
pub fn notches(edge: &Edge, along: &[f64]) -> BezPath {
    let allowance = edge.allowance.unwrap_or(0.0);
    let mut path = BezPath::new();
    for &distance in along {
        let (point, travel) = at(&edge.seam, distance);
        path.move_to(point + outward(travel) * allowance);
        path.line_to(point + outward(travel) * (allowance - NOTCH));
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter circle of radius 100 mm by the usual cubic, whose length is known to about 0.03 mm.
    fn quarter() -> BezPath {
        let k = 100.0 * 0.552_284_749_8;
        curve(Point::new(0.0, -100.0), Point::new(k, -100.0), Point::new(100.0, -k), Point::new(100.0, 0.0))
    }

    #[test]
    fn offsets_of_an_arc_have_the_lengths_of_wider_and_narrower_arcs() {
        // Length of a quarter circle: radius times pi / 2; the cubic is off by 0.027 % at most (from memory).
        for by in [-50.0, 0.0, 10.0] {
            let expected = (100.0 + by) * std::f64::consts::FRAC_PI_2;
            assert!((length(&offset(&quarter(), by)) - expected).abs() < 0.06, "{by}");
        }
    }

    #[test]
    fn both_parts_of_a_split_add_up() {
        let (first, second) = split(&quarter(), 40.0);
        assert!((length(&first) - 40.0).abs() < 0.001);
        assert!((length(&first) + length(&second) - length(&quarter())).abs() < 0.001);
        assert!(end(&first).distance(start(&second)) < 1e-9);
    }

    #[test]
    fn a_square_is_cut_ten_millimetres_outside() {
        let corners = [(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)].map(Point::from);
        let edges: Vec<Edge> = (0..4).map(|i| Edge::cut("side", line(corners[i], corners[(i + 1) % 4]), 10.0)).collect();
        let area = cutting_line(&edges).bounding_box();
        assert_eq!((area.x0, area.y0, area.x1, area.y1), (-10.0, -10.0, 60.0, 60.0));
    }

    #[test]
    fn notches_start_on_the_cutting_line() {
        let edge = Edge::cut("side", line(Point::new(0.0, 0.0), Point::new(50.0, 0.0)), 10.0);
        let area = notches(&edge, &[20.0]).bounding_box();
        assert_eq!((area.x0, area.y0, area.y1), (20.0, -10.0, -4.0));
    }
}
