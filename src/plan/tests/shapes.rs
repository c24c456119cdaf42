//! Ink by plain geometry of its own, sharing nothing with the plan: convex shapes by separating axes, curves by distance.

use kurbo::{CubicBez, ParamCurve, Point, Rect, Vec2};

/// How far the plan may be off for shapes with straight sides, in mm: noise only.
const STRAIGHT: f64 = 3e-6;
/// The same for curves, which the plan flattens twice to 0.002 mm and this file once.
const CURVED: f64 = 0.008;
/// Chords that stand for a curve here.
const CHORDS: u32 = 400;

/// One mark on the drawing.
#[derive(Clone, Debug)]
pub(crate) enum Mark {
    /// A straight line with flat ends: from, to, width; dash, gap and offset, if it is dashed.
    Bar(Point, Point, f64, Option<[f64; 3]>),
    /// A curve of a width with round ends.
    Bow(CubicBez, f64),
    /// A filled convex shape.
    Block(Vec<Point>),
}

impl Mark {
    /// Whether ink surely lies inside an area, with more than rounding between it and the area's sides.
    pub(crate) fn surely_on(&self, area: Rect) -> bool {
        self.reaches(area.inflate(-self.slack(), -self.slack()))
    }

    /// Whether ink may lie inside an area or within rounding of it.
    pub(crate) fn maybe_on(&self, area: Rect) -> bool {
        self.reaches(area.inflate(self.slack(), self.slack()))
    }

    /// Points with ink, on the outline and inside.
    pub(crate) fn points(&self) -> Vec<Point> {
        match self {
            Self::Bow(curve, width) => (0..=60).flat_map(|i| across(*curve, f64::from(i) / 60.0, *width)).collect(),
            _ => self.shapes().iter().flat_map(|shape| inside(shape)).collect(),
        }
    }

    /// The box around it.
    pub(crate) fn bounds(&self) -> Rect {
        let (points, air) = match self {
            Self::Bow(curve, width) => (chords(*curve), width / 2.0),
            _ => (self.shapes().concat(), 0.0),
        };
        let (first, rest) = points.split_first().expect("every mark has ink");
        rest.iter().fold(Rect::from_points(*first, *first), |all, p| all.union_pt(*p)).inflate(air, air)
    }

    fn slack(&self) -> f64 {
        if matches!(self, Self::Bow(..)) { CURVED } else { STRAIGHT }
    }

    fn reaches(&self, area: Rect) -> bool {
        if area.width() <= 0.0 || area.height() <= 0.0 {
            return false;
        }
        match self {
            // A curve stays within the box of its control points.
            Self::Bow(curve, width) if !near(*curve, width / 2.0, area) => false,
            Self::Bow(curve, width) => chords(*curve).windows(2).any(|line| distance(line, area) < width / 2.0),
            _ => self.shapes().iter().any(|shape| meet(shape, area)),
        }
    }

    /// Convex shapes that together are the ink; none for a curve.
    fn shapes(&self) -> Vec<Vec<Point>> {
        match self {
            Self::Bar(from, to, width, dashes) => {
                dashed((*to - *from).hypot(), *dashes).iter().map(|&(a, b)| bar(*from, *to, a, b, *width)).collect()
            }
            Self::Bow(..) => Vec::new(),
            Self::Block(corners) => vec![corners.clone()],
        }
    }
}

/// Where a dashed line of a length is drawn: pairs of distances from its start (SVG 2, "stroke-dasharray").
fn dashed(length: f64, dashes: Option<[f64; 3]>) -> Vec<(f64, f64)> {
    let Some([dash, gap, offset]) = dashes else { return vec![(0.0, length)] };
    let first = (offset / (dash + gap)).floor() * (dash + gap) - offset;
    let starts = (0..).map(|i| first + f64::from(i) * (dash + gap)).take_while(|start| *start < length);
    starts.map(|start| (start.max(0.0), (start + dash).min(length))).filter(|(a, b)| b > a).collect()
}

/// The rectangle of a straight line between two distances from its start.
fn bar(from: Point, to: Point, a: f64, b: f64, width: f64) -> Vec<Point> {
    let along = (to - from).normalize();
    let side = Vec2::new(-along.y, along.x) * (width / 2.0);
    let (start, end) = (from + along * a, from + along * b);
    vec![start + side, end + side, end - side, start - side]
}

/// Whether the insides of a convex shape and a box share any point: no side of either parts them (separating axis theorem).
fn meet(shape: &[Point], area: Rect) -> bool {
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)].map(Point::from);
    let sides = shape.iter().zip(shape.iter().cycle().skip(1)).map(|(a, b)| *b - *a);
    let normals = sides.filter(|side| side.hypot() > 0.0).map(|side| Vec2::new(-side.y, side.x).normalize());
    normals.chain([Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)]).all(|normal| {
        let (a, b) = (shadow(shape, normal), shadow(&corners, normal));
        a.0 < b.1 && b.0 < a.1
    })
}

/// The stretch of a direction that points cover.
fn shadow(points: &[Point], direction: Vec2) -> (f64, f64) {
    let along = points.iter().map(|p| p.to_vec2().dot(direction));
    along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
}

/// The distance of a straight line from a box.
fn distance(line: &[Point], area: Rect) -> f64 {
    if meet(line, area) {
        return 0.0;
    }
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)].map(Point::from);
    let [a, b] = line else { return f64::INFINITY };
    let to_corner = corners.map(|corner| to_line(corner, *a, *b));
    let to_box = [*a, *b].map(|p| (p - nearest(p, area)).hypot());
    to_corner.into_iter().chain(to_box).fold(f64::INFINITY, f64::min)
}

fn to_line(p: Point, a: Point, b: Point) -> f64 {
    let t = ((p - a).dot(b - a) / (b - a).hypot2()).clamp(0.0, 1.0);
    (p - a.lerp(b, if t.is_nan() { 0.0 } else { t })).hypot()
}

/// The point of a box that is nearest to a point.
pub(crate) fn nearest(p: Point, area: Rect) -> Point {
    Point::new(p.x.clamp(area.x0, area.x1), p.y.clamp(area.y0, area.y1))
}

fn near(curve: CubicBez, reach: f64, area: Rect) -> bool {
    let hull = Rect::from_points(curve.p0, curve.p3).union_pt(curve.p1).union_pt(curve.p2);
    hull.inflate(reach, reach).overlaps(area)
}

fn chords(curve: CubicBez) -> Vec<Point> {
    (0..=CHORDS).map(|i| curve.eval(f64::from(i) / f64::from(CHORDS))).collect()
}

/// Points across a thick curve at a parameter; its round ends are left out.
fn across(curve: CubicBez, t: f64, width: f64) -> Vec<Point> {
    let (here, step) = (curve.eval(t), curve.eval((t + 1e-4).min(1.0)) - curve.eval((t - 1e-4).max(0.0)));
    if step.hypot() == 0.0 {
        return vec![here];
    }
    let side = Vec2::new(-step.y, step.x).normalize() * (width / 2.0);
    [-1.0, -0.7, 0.0, 0.4, 1.0].map(|off| here + side * off).to_vec()
}

/// Points on and in a convex shape: between its middle and places on its outline.
fn inside(shape: &[Point]) -> Vec<Point> {
    let middle = shape.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / shape.len() as f64;
    let rim = shape.iter().zip(shape.iter().cycle().skip(1)).flat_map(|(a, b)| [0.0, 0.2, 0.5, 0.9].map(|t| a.lerp(*b, t)));
    rim.flat_map(|at| [0.0, 0.3, 0.8, 1.0].map(|t| middle.to_point().lerp(at, t))).collect()
}
