//! One line of a drawing, measured along: lengths, the place nearest to a point, and the way between two places.

use super::ACCURACY;
use crate::manifest::Way;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveNearest, PathSeg, Point};

/// How near the ends of a line must be for it to count as closed, in mm.
const CLOSED: f64 = 0.001;
/// How closely the nearest place is sought at first, in mm; steps of Newton's method do the rest.
const COARSE: f64 = 1e-4;
/// Steps into which a course is divided by the points that tell where it runs.
const STEPS: u32 = 8;

/// A line without gaps, in mm.
pub struct Edge {
    segments: Vec<PathSeg>,
    /// How far each segment starts from the line's own start.
    starts: Vec<f64>,
    /// How long it is.
    pub length: f64,
    /// Whether it ends where it starts.
    pub closed: bool,
}

/// A way along an edge: where it starts, and how far it goes, backwards if negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// From the edge's own start, in mm.
    pub from: f64,
    /// In mm.
    pub by: f64,
}

/// All lines of a path that have a length.
pub fn edges(path: &BezPath) -> Vec<Edge> {
    let lines = path.subpaths().map(|part| kurbo::segments(part.iter().copied()).collect());
    lines.map(Edge::new).filter(|edge| edge.length > 0.0).collect()
}

impl Edge {
    fn new(segments: Vec<PathSeg>) -> Self {
        let (mut starts, mut length) = (Vec::new(), 0.0);
        for segment in &segments {
            starts.push(length);
            length += segment.arclen(ACCURACY);
        }
        let ends = segments.first().zip(segments.last());
        let closed = ends.is_some_and(|(first, last)| first.start().distance(last.end()) <= CLOSED);
        Self { segments, starts, length, closed }
    }

    /// The line's ends if it is one straight line.
    pub fn as_line(&self) -> Option<(Point, Point)> {
        match self.segments.as_slice() {
            [PathSeg::Line(line)] => Some((line.p0, line.p1)),
            _ => None,
        }
    }

    /// All segments, for crossings, each with how far it starts from the line's start.
    pub fn segments(&self) -> impl Iterator<Item = (PathSeg, f64)> {
        self.segments.iter().copied().zip(self.starts.iter().copied())
    }

    /// The whole line.
    pub const fn whole(&self) -> Course {
        Course { from: 0.0, by: self.length }
    }

    /// The way from one place to another; of the two ways round a closed line the one that is asked for.
    pub fn course(&self, from: f64, to: f64, way: Way) -> Course {
        let straight = to - from;
        if !self.closed {
            return Course { from, by: straight };
        }
        let around = if straight > 0.0 { straight - self.length } else { straight + self.length };
        let (short, long) = if straight.abs() <= around.abs() { (straight, around) } else { (around, straight) };
        Course { from, by: if way == Way::Short { short } else { long } }
    }

    /// Points along a course, its start and end included, by which it can be found again.
    pub fn points(&self, course: Course) -> Vec<Point> {
        (0..=STEPS).map(|step| self.at(course.from + course.by * f64::from(step) / f64::from(STEPS))).collect()
    }

    /// The point so far from the start; a closed line goes round.
    pub fn at(&self, along: f64) -> Point {
        let along = if self.closed && !(0.0..=self.length).contains(&along) { along.rem_euclid(self.length) } else { along };
        let last = self.starts.partition_point(|start| *start <= along).saturating_sub(1);
        let Some((segment, start)) = self.segments.get(last).zip(self.starts.get(last)) else { return Point::ORIGIN };
        let long = segment.arclen(ACCURACY);
        let rest = (along - start).clamp(0.0, long);
        // Its solver does not like the very end.
        if rest >= long { segment.end() } else { segment.eval(segment.inv_arclen(rest, ACCURACY)) }
    }

    /// Where along the line the point nearest to another lies, and how far off that is.
    pub fn nearest(&self, point: Point) -> (f64, f64) {
        let near = self.segments().map(|(segment, start)| {
            let t = closest(segment, point);
            (start, segment, t, segment.eval(t).distance(point))
        });
        let found = near.min_by(|a, b| a.3.total_cmp(&b.3));
        found.map_or((0.0, f64::INFINITY), |(start, segment, t, off)| (start + along(segment, t), off))
    }
}

/// Length of a segment up to a parameter.
pub fn along(segment: PathSeg, t: f64) -> f64 {
    if t <= 0.0 { 0.0 } else { segment.subsegment(0.0..t).arclen(ACCURACY) }
}

/// The parameter of the point nearest to another.
fn closest(segment: PathSeg, point: Point) -> f64 {
    if let PathSeg::Line(line) = segment {
        return line.nearest(point, COARSE).t;
    }
    let cubic = segment.to_cubic();
    let (first, second) = (cubic.deriv(), cubic.deriv().deriv());
    // The distance is least where the way to the point is square to the curve.
    let step = |t: f64| {
        let (away, travel) = (cubic.eval(t) - point, first.eval(t).to_vec2());
        let slope = travel.hypot2() + away.dot(second.eval(t).to_vec2());
        if slope > 0.0 { (t - away.dot(travel) / slope).clamp(0.0, 1.0) } else { t }
    };
    let start = segment.nearest(point, COARSE).t;
    let end = (0..4).fold(start, |t, _| step(t));
    let off = |t: f64| cubic.eval(t).distance_squared(point);
    if off(end) <= off(start) { end } else { start }
}
