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

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{CubicBez, Line, QuadBez};

    fn at(x: f64, y: f64) -> Point {
        Point::new(x, y)
    }

    fn polyline(points: &[(f64, f64)]) -> Vec<PathSeg> {
        points.windows(2).map(|pair| Line::new(pair[0], pair[1]).into()).collect()
    }

    /// Once round 40 × 20 mm, from its top left.
    fn round() -> Run {
        Run::new(polyline(&[(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0), (0.0, 0.0)]))
    }

    /// y = x²/10 from 0 to 10.
    fn parabola() -> PathSeg {
        QuadBez::new((0.0, 0.0), (5.0, 0.0), (10.0, 10.0)).into()
    }

    /// Its length from 0 to x, by the integral of √(1 + (x/5)²).
    fn along(x: f64) -> f64 {
        x / 2.0 * (x / 5.0).hypot(1.0) + 2.5 * (x / 5.0).asinh()
    }

    /// A straight line of 40 mm as a curve that runs faster and faster.
    fn faster() -> Run {
        Run::new(vec![CubicBez::new((0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (40.0, 0.0)).into()])
    }

    #[track_caller]
    fn is_near(found: impl Into<Point>, wanted: Point) {
        let found = found.into();
        assert!(found.distance(wanted) < 1e-4, "{found} for {wanted}");
    }

    fn part(measure: &str, points: &[(f64, f64)]) -> Part {
        let points: Vec<[f64; 2]> = points.iter().map(|(x, y)| [*x, *y]).collect();
        serde_json::from_value(serde_json::json!({"measure": measure, "points_mm": points})).unwrap()
    }

    #[test]
    fn places_are_counted_along_the_line() {
        for (long, x, y) in [(0.0, 0.0, 0.0), (10.0, 10.0, 0.0), (50.0, 40.0, 10.0), (90.0, 10.0, 20.0), (115.0, 0.0, 5.0)] {
            is_near(round().at(long), at(x, y));
            is_near(round().nearest(at(x, y)), at(long, 0.0));
        }
        is_near(round().nearest(at(43.0, 14.0)), at(54.0, 3.0));
        is_near(round().nearest(at(43.0, -4.0)), at(40.0, 5.0));
        is_near(faster().at(12.0), at(12.0, 0.0));
        is_near(faster().nearest(at(12.0, 3.0)), at(12.0, 3.0));
    }

    #[test]
    fn the_place_nearest_to_a_point_is_where_the_curve_is_square_to_it() {
        let run = Run::new([polyline(&[(-7.0, 0.0), (0.0, 0.0)]), vec![parabola()]].concat());
        assert!((run.length - 7.0 - along(10.0)).abs() < 1e-4);
        for x in [0.5, 3.0, 6.0, 9.5] {
            // The slope of the curve is x/5, so that this is square to it.
            let aside = Vec2::new(-x / 5.0, 1.0).normalize();
            for off in [-2.0, 0.25, 1.0] {
                is_near(run.nearest(at(x, x * x / 10.0) + aside * off), at(7.0 + along(x), off.abs()));
            }
            is_near(run.at(7.0 + along(x)), at(x, x * x / 10.0));
        }
        is_near(run.nearest(at(11.0, 12.0)), at(run.length, 5.0_f64.sqrt()));
    }

    #[test]
    fn a_part_runs_from_its_first_place_to_its_second() {
        // From, to, then length, start and end.
        let between = [(10.0, 50.0, 40.0, at(10.0, 0.0), at(40.0, 10.0)), (50.0, 10.0, 40.0, at(40.0, 10.0), at(10.0, 0.0))];
        for (from, to, length, start, end) in between {
            let run = round().between(from, to);
            assert!((run.length - length).abs() < 1e-9);
            is_near(run.at(0.0), start);
            is_near(run.at(run.length), end);
        }
        let around = [
            (10.0, 50.0, true, 40.0, at(20.0, 0.0)),
            (10.0, 50.0, false, 80.0, at(0.0, 0.0)),
            (110.0, 10.0, true, 20.0, at(0.0, 0.0)),
            (110.0, 10.0, false, 100.0, at(0.0, 20.0)),
            (30.0, 30.0, true, 120.0, at(40.0, 0.0)),
            (30.0, 30.0, false, 120.0, at(20.0, 0.0)),
            (0.0, 0.0, true, 120.0, at(10.0, 0.0)),
            (120.0, 0.0, true, 0.0, at(0.0, 0.0)),
        ];
        for (from, to, forwards, length, ten_on) in around {
            let run = round().around(from, to, forwards);
            assert!((run.length - length).abs() < 1e-9, "{from} {to} {forwards}: {}", run.length);
            is_near(run.at(10.0), ten_on);
        }
    }

    fn trail(segments: Vec<PathSeg>) -> Trail {
        let bounds = segments.iter().map(Shape::bounding_box).reduce(|a, b| a.union(b)).unwrap();
        Trail { segments, bounds, clip: Rect::new(-100.0, -100.0, 60.0, 300.0) }
    }

    #[test]
    fn a_promise_finds_its_line() {
        let all = Rect::new(-500.0, -500.0, 500.0, 500.0);
        // On the page everything lies 5 mm further right than in the drawing.
        let find = |part: &Part, segments: Vec<PathSeg>, reach: f64| {
            let moved: Vec<PathSeg> = segments.into_iter().map(|segment| moved(segment, Vec2::new(5.0, 0.0))).collect();
            Run::find(part, &trail(moved), 3, Vec2::new(5.0, 0.0), all, reach)
        };
        let bent = || polyline(&[(0.0, 0.0), (30.0, 0.0), (30.0, 30.0)]);
        for points in [[(0.0, 0.0), (30.0, 0.0), (30.0, 30.0)], [(30.0, 30.0), (30.0, 0.0), (0.0, 0.0)]] {
            let run = find(&part("line", &points), bent(), 0.5).unwrap();
            is_near(run.at(0.0), points[0].into());
            assert!((run.length - 60.0).abs() < 1e-9 && run.off < 1e-9 && run.page == 3);
            // The clip ends at 60 mm on the page, 55 mm in the drawing.
            assert_eq!((run.shown.x1, run.shown.y1), (55.0, 300.0));
        }
        // An end that lies off counts as much as a point that does.
        let off = find(&part("line", &[(0.0, 0.2), (30.0, 0.0), (30.0, 30.3)]), bent(), 0.5).unwrap();
        assert!((off.off - 0.3).abs() < 1e-9);
        assert!(find(&part("line", &[(0.0, 0.0), (30.0, 0.0), (30.0, 30.6)]), bent(), 0.5).is_none());
        assert!(find(&part("line", &[(0.0, 0.0), (15.0, 0.0), (30.0, 0.0)]), bent(), 0.5).is_none(), "it ends elsewhere");
        let outline = part("outline", &[(40.0, 20.0), (0.0, 20.0), (0.0, 0.0), (40.0, 0.0), (40.0, 20.0)]);
        assert!((find(&outline, round().segments, 0.5).unwrap().length - 120.0).abs() < 1e-9);
        assert!(find(&outline, polyline(&[(0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0), (0.0, 0.02)]), 0.5).is_none());
        // Of the two ways round the one with the points.
        for (points, length) in
            [([(10.0, 0.0), (30.0, 0.0), (40.0, 10.0)], 40.0), ([(10.0, 0.0), (0.0, 20.0), (40.0, 10.0)], 80.0)]
        {
            assert!((find(&part("between", &points), round().segments, 0.5).unwrap().length - length).abs() < 1e-9);
        }
        let open = find(&part("between", &[(30.0, 10.0), (30.0, 0.0), (20.0, 0.0)]), bent(), 0.5).unwrap();
        assert!((open.length - 20.0).abs() < 1e-9);
        is_near(open.at(0.0), at(30.0, 10.0));
    }

    #[test]
    fn a_sheet_shows_a_line_as_far_as_its_edge() {
        let shown = |segments: Vec<PathSeg>, area| Run { shown: area, ..Run::new(segments) };
        let hairpin = || polyline(&[(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)]);
        let left = shown(hairpin(), Rect::new(-1.0, -1.0, 30.0, 60.0));
        for (from, to) in [(0.0, 30.0), (20.0, 30.0), (40.0, 40.0), (75.0, 75.0), (125.0, 150.0), (150.0, 150.0)] {
            assert!((left.shown_from(from) - to).abs() < 1e-4, "{from}: {}", left.shown_from(from));
        }
        let low = shown(vec![parabola()], Rect::new(-1.0, -1.0, 20.0, 4.9));
        for from in [0.0, along(3.0), along(6.9)] {
            assert!((low.shown_from(from) - along(7.0)).abs() < 1e-4, "{from}: {}", low.shown_from(from));
        }
        // A bow that leaves the sheet and comes back.
        let bow = || vec![CubicBez::new((0.0, 0.0), (0.0, 40.0), (40.0, 40.0), (40.0, 0.0)).into()];
        let cut = shown(bow(), Rect::new(-1.0, -1.0, 41.0, 20.0));
        is_near(at(cut.at(cut.shown_from(0.0)).y, 0.0), at(20.0, 0.0));
        assert!(cut.shown_from(0.0) < cut.length / 2.0 && (cut.shown_from(cut.length - 1.0) - cut.length).abs() < 1e-9);
    }

    #[test]
    fn sheets_together_show_the_length_with_the_gaps_between_them() {
        // Each sheet shows a hundredth beyond its tile.
        let run = |page, y: f64, from: f64, to: f64| {
            let line = polyline(&[(0.0, y), (100.0, y)]);
            Run { shown: Rect::new(from - 0.01, -9.0, to + 0.01, 9.0), page, ..Run::new(line) }
        };
        let all = |runs: &[Run]| assembled(runs).map(|(sum, page)| ((sum * 1000.0).round() / 1000.0, page));
        assert_eq!(all(&[run(2, 0.0, -1.0, 101.0)]), Some((100.0, Some(2))));
        assert_eq!(all(&[run(2, 0.0, -1.0, 60.0), run(3, 0.0, 60.0, 101.0)]), Some((100.0, None)));
        assert_eq!(all(&[run(3, 0.0, 60.0, 101.0), run(4, 0.0, 30.0, 70.0), run(2, 0.0, -1.0, 40.0)]), Some((100.0, None)));
        // Half a millimetre lower: the way there is part of what a tape measures.
        assert_eq!(all(&[run(2, 0.0, -1.0, 60.0), run(3, 0.5, 60.0, 101.0)]), Some((100.5, None)));
        assert_eq!(all(&[run(2, 0.0, -1.0, 60.0), run(3, 1.5, 60.0, 101.0)]), None);
        assert_eq!(all(&[run(2, 0.0, -1.0, 60.0), run(3, 0.0, 61.0, 101.0)]), None);
        assert_eq!(all(&[run(3, 0.0, 60.0, 101.0)]), None);
        assert_eq!(all(&[]), None);
    }

    #[test]
    fn a_line_may_hold_points_that_it_passes_within_reach() {
        let points = around([at(10.0, 20.0), at(50.0, 25.0)].into_iter()).unwrap();
        assert_eq!(points, Rect::new(9.0, 19.0, 51.0, 26.0));
        assert_eq!(around(std::iter::empty()), None);
        assert!(may_hold(Rect::new(10.0, 20.0, 50.0, 25.0), points));
        assert!(may_hold(Rect::new(10.9, 20.0, 50.0, 25.0), points) && !may_hold(Rect::new(11.1, 20.0, 50.0, 25.0), points));
        assert!(!may_hold(Rect::new(0.0, 20.0, 48.9, 25.0), points) && !may_hold(Rect::new(0.0, 20.0, 60.0, 23.9), points));
    }
}
