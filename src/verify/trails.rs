//! Lines that control measurements run along, found in the ink of a sheet by the points that promises name.

use super::ink::REACH;
use super::promises::{Measure, Part};
use kurbo::{ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveNearest, PathSeg, Point, Rect, Shape, Vec2};

/// Accuracy of lengths along curves, in mm.
const ACCURACY: f64 = 1e-5;
/// How small a part of a segment is still told from the next: a thousand times what numbers can hold.
const FINEST: f64 = 1e-12;
/// How near the ends of a line must be for it to count as closed, in mm: the error budget.
const CLOSED: f64 = 0.01;
/// How closely the nearest place is sought, in mm, before it is refined.
const COARSE: f64 = 1e-3;
/// Steps in which is looked how far a sheet shows a line, in mm.
const STEP: f64 = 1.0;

/// One line without gaps, as a page paints it, in mm of the page.
pub(super) struct Trail {
    pub segments: Vec<PathSeg>,
    /// A box that holds it.
    pub bounds: Rect,
    /// The box of the clips around it.
    pub clip: Rect,
}

/// A box that holds all points, with room for lines that lie a little off.
pub(super) fn around(points: impl Iterator<Item = Point>) -> Option<Rect> {
    let boxes = points.map(|point| Rect::from_points(point, point)).reduce(|a, b| a.union(b));
    boxes.map(|area| area.inflate(REACH, REACH))
}

/// Whether a line of those bounds may run past all points of such a box.
pub(super) fn may_hold(bounds: Rect, points: Rect) -> bool {
    let reach = bounds.inflate(2.0 * REACH, 2.0 * REACH);
    reach.union(points) == reach
}

/// The part of a line that a promise is about, as one sheet shows it, in mm of the drawing, from its first point to its last.
pub(super) struct Run {
    segments: Vec<PathSeg>,
    /// How far each segment starts from the start of the run.
    starts: Vec<f64>,
    /// How long it is.
    pub length: f64,
    /// What of the drawing the sheet shows.
    shown: Rect,
    /// How far the line lies from the promised points at most, in mm.
    pub off: f64,
    /// Page that shows it, from 1.
    pub page: usize,
}

impl Run {
    fn new(segments: Vec<PathSeg>) -> Self {
        let (mut starts, mut length) = (Vec::new(), 0.0);
        for segment in &segments {
            starts.push(length);
            length += segment.arclen(ACCURACY);
        }
        Self { segments, starts, length, shown: Rect::ZERO, off: f64::INFINITY, page: 0 }
    }

    /// The run of a trail that a part is about, if it lies within `reach` of the part's points: the trail on its page, the
    /// way from the page to the drawing, and what of the drawing the page shows.
    pub fn find(part: &Part, trail: &Trail, page: usize, shift: Vec2, shown: Rect, reach: f64) -> Option<Self> {
        let clip = trail.clip - shift;
        let whole = Self::new(trail.segments.iter().map(|segment| moved(*segment, -shift)).collect());
        let points: Vec<Point> = part.points().collect();
        let (first, last) = (*points.first()?, *points.last()?);
        let closed = whole.at(0.0).distance(whole.at(whole.length)) <= CLOSED;
        let runs = match part.measure {
            // From end to end, in the direction in which the points run.
            Measure::Line => vec![whole.between(0.0, whole.length), whole.between(whole.length, 0.0)],
            Measure::Outline if closed => {
                let start = whole.nearest(first).0;
                vec![whole.around(start, start, true), whole.around(start, start, false)]
            }
            Measure::Between => {
                let (from, to) = (whole.nearest(first).0, whole.nearest(last).0);
                let around = || vec![whole.around(from, to, true), whole.around(from, to, false)];
                if closed { around() } else { vec![whole.between(from, to)] }
            }
            _ => Vec::new(),
        };
        // Of two ways or directions, the one along which the points lie one after the other.
        let run = runs.into_iter().min_by(|a, b| a.astray(&points).total_cmp(&b.astray(&points)))?;
        let off = points.iter().map(|point| run.nearest(*point).1).chain([run.ends_off(first, last)]).fold(0.0, f64::max);
        (off <= reach).then(|| Self { shown: shown.intersect(clip), off, page, ..run })
    }

    /// How far its two ends lie from those of the promise.
    fn ends_off(&self, first: Point, last: Point) -> f64 {
        self.at(0.0).distance(first).max(self.at(self.length).distance(last))
    }

    /// How far the promised points lie from where they would be, were they spread evenly along this run.
    fn astray(&self, points: &[Point]) -> f64 {
        let steps = points.len().saturating_sub(1).max(1);
        let even = |step: usize| self.at(self.length * ratio(step, steps));
        points.iter().enumerate().map(|(step, point)| even(step).distance(*point)).fold(0.0, f64::max)
    }

    /// What lies between two places, turned round if the second comes first.
    fn between(&self, from: f64, to: f64) -> Self {
        let (low, high) = (from.min(to), from.max(to));
        let cut = |(segment, start): (&PathSeg, &f64)| {
            let long = segment.arclen(ACCURACY);
            let (a, b) = ((low - start).max(0.0), (high - start).min(long));
            (b > a).then(|| segment.subsegment(parameter(*segment, a, long)..parameter(*segment, b, long)))
        };
        let mut segments: Vec<PathSeg> = self.segments.iter().zip(&self.starts).filter_map(cut).collect();
        if from > to {
            segments = segments.into_iter().rev().map(|segment| segment.reverse()).collect();
        }
        Self::new(segments)
    }

    /// The way round a closed line from one place to another, forwards or backwards; once round if they are one.
    fn around(&self, from: f64, to: f64, forwards: bool) -> Self {
        if !forwards {
            let back = self.around(to, from, true);
            return back.between(back.length, 0.0);
        }
        if to > from {
            return self.between(from, to);
        }
        let (before, after) = (self.between(from, self.length), self.between(0.0, to));
        let before = if from < self.length { before.segments } else { Vec::new() };
        let after = if to > 0.0 { after.segments } else { Vec::new() };
        Self::new(before.into_iter().chain(after).collect())
    }

    /// The point so far from the start.
    pub fn at(&self, along: f64) -> Point {
        let last = self.starts.partition_point(|start| *start <= along).saturating_sub(1);
        let Some((segment, start)) = self.segments.get(last).zip(self.starts.get(last)) else { return Point::ORIGIN };
        segment.eval(parameter(*segment, along - start, segment.arclen(ACCURACY)))
    }

    /// Where the point nearest to another lies, and how far off that is.
    pub fn nearest(&self, point: Point) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for (segment, start) in self.segments.iter().zip(&self.starts) {
            // Most segments are too far away to be asked.
            if outside(segment.bounding_box(), point) < best.1 {
                let t = foot(*segment, point);
                let off = segment.eval(t).distance(point);
                if off < best.1 {
                    best = (start + if t > 0.0 { segment.subsegment(0.0..t).arclen(ACCURACY) } else { 0.0 }, off);
                }
            }
        }
        best
    }

    /// How far from a place the sheet shows the line without a break.
    pub fn shown_from(&self, from: f64) -> f64 {
        if !self.shown.contains(self.at(from)) {
            return from;
        }
        let mut here = from;
        for (segment, start) in self.segments.iter().zip(&self.starts) {
            let long = segment.arclen(ACCURACY);
            if start + long <= here {
                continue;
            }
            // The sides of a box are left by a straight line once only.
            let steps = if matches!(segment, PathSeg::Line(_)) { 1.0 } else { (long / STEP).ceil().max(1.0) };
            let mut step = ((here - start) / long * steps).floor().max(0.0);
            while step < steps {
                step += 1.0;
                let next = start + long * step / steps;
                let end = if step < steps { self.at(next) } else { segment.end() };
                if !self.shown.contains(end) {
                    return self.edge(here, next);
                }
                here = next;
            }
        }
        self.length
    }

    /// Where between a shown place and one that is not the sheet ends.
    fn edge(&self, mut shown: f64, mut hidden: f64) -> f64 {
        for _ in 0..50 {
            let middle = f64::midpoint(shown, hidden);
            if self.shown.contains(self.at(middle)) { shown = middle } else { hidden = middle }
        }
        shown
    }
}

fn ratio(step: usize, steps: usize) -> f64 {
    let number = |count: usize| u32::try_from(count).map_or(f64::INFINITY, f64::from);
    number(step) / number(steps)
}

fn moved(segment: PathSeg, by: Vec2) -> PathSeg {
    kurbo::Affine::translate(by) * segment
}

/// How far a point lies outside a box.
fn outside(area: Rect, point: Point) -> f64 {
    let gap = |low: f64, high: f64, at: f64| (low - at).max(at - high).max(0.0);
    gap(area.x0, area.x1, point.x).hypot(gap(area.y0, area.y1, point.y))
}

/// The parameter so far along a segment of that length.
fn parameter(segment: PathSeg, along: f64, long: f64) -> f64 {
    match segment {
        _ if along <= 0.0 => 0.0,
        _ if along >= long => 1.0,
        PathSeg::Line(_) => along / long,
        // The solver never ends where numbers do not reach as far as it is asked to.
        curve => curve.inv_arclen(along, ACCURACY.max(long * FINEST)),
    }
}

/// The parameter of the point nearest to another.
fn foot(segment: PathSeg, point: Point) -> f64 {
    let mut t = segment.nearest(point, COARSE).t;
    if matches!(segment, PathSeg::Line(_)) {
        return t;
    }
    let curve = segment.to_cubic();
    let (travel, bend) = (curve.deriv(), curve.deriv().deriv());
    // Newton's method: there the way to the point is square to the curve.
    for _ in 0..4 {
        let (away, first) = (curve.eval(t) - point, travel.eval(t).to_vec2());
        let slope = first.hypot2() + away.dot(bend.eval(t).to_vec2());
        let next = (t - away.dot(first) / slope).clamp(0.0, 1.0);
        if slope <= 0.0 || curve.eval(next).distance_squared(point) > away.hypot2() {
            break;
        }
        t = next;
    }
    t
}

/// The length of a line put together from the sheets that show it, each where it is laid, with the gaps between them; and
/// the page, if one shows all of it. `None` if a part of it is on no sheet.
pub(super) fn assembled(runs: &[Run]) -> Option<(f64, Option<usize>)> {
    let furthest = |at: &dyn Fn(&Run) -> Option<(f64, f64)>| {
        let reach = runs.iter().filter_map(|run| at(run).map(|(from, gap)| (run, from, gap, run.shown_from(from))));
        reach.filter(|(_, from, _, to)| to > from).max_by(|a, b| (a.3 - a.1).total_cmp(&(b.3 - b.1)))
    };
    let (mut run, _, _, mut to) = furthest(&|_| Some((0.0, 0.0)))?;
    let (mut sum, mut page) = (to, Some(run.page));
    // A line can cross a sheet's edge many times, but not more often than it has steps.
    while to < run.length {
        let here = run.at(to);
        let next = furthest(&|other: &Run| {
            let (along, gap) = other.nearest(here);
            let same = !std::ptr::eq(other, run) && gap <= REACH && (along - to).abs() <= 2.0 * REACH;
            (same && other.shown_from(along) > to.max(along) + ACCURACY).then_some((along, gap))
        })?;
        page = page.filter(|page| *page == next.0.page);
        sum += next.2 + next.3 - next.1;
        (run, to) = (next.0, next.3);
    }
    Some((sum, page))
}
