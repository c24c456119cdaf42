//! Whether some windows together show all of a mark that other windows show.

use super::mark::Mark;
use kurbo::{Line, PathEl, Point, Rect, Shape, Vec2};

/// How coarsely curves are walked, in mm.
const COARSE: f64 = 0.02;
/// How far windows may stand apart without anything being missed, in mm: the error budget on both sides.
const SLACK: f64 = 0.02;
/// The shortest stretch of a line that counts as missing, in mm.
const SHORTEST: f64 = 0.1;
/// Distance of the places at which the inside of a filled path is looked at, in mm.
const GRID: f64 = 5.0;
/// Most such places: of a path larger than any table they lie further apart.
const MOST_PLACES: f64 = 1e6;

/// A part of a mark that is not shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gap {
    /// Where.
    pub at: Point,
    /// Its length along the line, in mm; a side of the grid for the inside of a filled path.
    pub length: f64,
}

/// The longest stretch of a mark that the wanted windows show and the others do not.
pub(super) fn longest_gap(mark: &Mark, wanted: &[Rect], shown: &[Rect]) -> Option<Gap> {
    let shown: Vec<Rect> = shown.iter().map(|window| window.inflate(SLACK, SLACK)).collect();
    let reach = mark.reach();
    if shown.iter().any(|window| contains(*window, reach)) {
        return None;
    }
    let edges = edges(mark).into_iter().filter_map(|line| gap(line, wanted, &shown));
    let inside = inside(mark, wanted, &shown).into_iter();
    edges.chain(inside).max_by(|a, b| a.length.total_cmp(&b.length)).filter(|gap| gap.length > SHORTEST)
}

/// Whether any of a mark's ink lies in a window.
pub(super) fn inks(mark: &Mark, window: Rect) -> bool {
    mark.reach().overlaps(window)
        && (edges(mark).iter().any(|line| within(*line, window).is_some())
            || (mark.pen.width.is_none() && mark.path.winding(window.center()) != 0))
}

/// The flattened path, and for a line its two sides as well.
fn edges(mark: &Mark) -> Vec<Line> {
    let mut lines = Vec::new();
    let (mut start, mut at) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(&mark.path, COARSE, |element| match element {
        PathEl::MoveTo(to) => (start, at) = (to, to),
        PathEl::LineTo(to) => {
            lines.push(Line::new(at, to));
            at = to;
        }
        _ => {
            lines.push(Line::new(at, start));
            at = start;
        }
    });
    let half = mark.pen.half();
    let sides = lines.clone().into_iter().filter(|_| half > 0.0).flat_map(|line| {
        let way = line.p1 - line.p0;
        let aside = if way.hypot() > 0.0 { Vec2::new(-way.y, way.x) / way.hypot() * half } else { Vec2::ZERO };
        [line + aside, line - aside]
    });
    lines.iter().copied().chain(sides).collect()
}

/// The longest stretch of a line that is wanted and not shown.
fn gap(line: Line, wanted: &[Rect], shown: &[Rect]) -> Option<Gap> {
    let length = line.p0.distance(line.p1);
    let mut covered: Vec<(f64, f64)> = shown.iter().filter_map(|window| within(line, *window)).collect();
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let gaps = wanted.iter().filter_map(|window| within(line, *window)).flat_map(|span| left_over(span, &covered));
    let longest = gaps.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
    Some(Gap { at: line.p0.lerp(line.p1, f64::midpoint(longest.0, longest.1)), length: (longest.1 - longest.0) * length })
}

/// What sorted spans leave of a span.
fn left_over(span: (f64, f64), covered: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let (mut from, mut left) = (span.0, Vec::new());
    for &(start, end) in covered.iter().filter(|(start, end)| *end > span.0 && *start < span.1) {
        if start > from {
            left.push((from, start));
        }
        from = from.max(end);
    }
    if from < span.1 {
        left.push((from, span.1));
    }
    left
}

/// A place inside a large filled path that is wanted and not shown, though all of the path's edge may be.
fn inside(mark: &Mark, wanted: &[Rect], shown: &[Rect]) -> Option<Gap> {
    let sought = wanted.iter().copied().reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let reach = mark.reach().intersect(sought);
    if mark.pen.width.is_some() || reach.width() < GRID || reach.height() < GRID {
        return None;
    }
    let grid = GRID.max((reach.area() / MOST_PLACES).sqrt());
    let steps = |from: f64, to: f64| (0..((to - from) / grid) as usize).map(move |step| from + (step as f64 + 0.5) * grid);
    let places = steps(reach.x0, reach.x1).flat_map(|x| steps(reach.y0, reach.y1).map(move |y| Point::new(x, y)));
    let lost = |place: &Point| {
        let held = |windows: &[Rect]| windows.iter().any(|window| window.contains(*place));
        held(wanted) && !held(shown) && mark.path.winding(*place) != 0
    };
    places.into_iter().find(lost).map(|at| Gap { at, length: grid })
}

fn contains(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && outer.x1 >= inner.x1 && outer.y1 >= inner.y1
}

/// From where to where, from 0 to 1, a line runs in a rectangle (clipping by Liang and Barsky, 1984).
pub(super) fn within(line: Line, area: Rect) -> Option<(f64, f64)> {
    let (way, from) = (line.p1 - line.p0, line.p0);
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (speed, low, high) in [(way.x, area.x0 - from.x, area.x1 - from.x), (way.y, area.y0 - from.y, area.y1 - from.y)] {
        if speed == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (one, other) = (low / speed, high / speed);
        (enters, leaves) = (enters.max(one.min(other)), leaves.min(one.max(other)));
    }
    (enters <= leaves).then_some((enters, leaves))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verify::mark::{Part, Pen};

    const ALL: Rect = Rect::new(0.0, 0.0, 100.0, 40.0);

    fn mark(path: kurbo::BezPath, width: Option<f64>) -> Mark {
        Mark { part: Part::Drawing, layer: None, path, pen: Pen { width, dashes: Vec::new(), colour: [0; 4] }, clip: ALL }
    }

    #[test]
    fn the_longest_stretch_that_no_window_shows_is_told() {
        let line = mark(Line::new((0.0, 20.0), (100.0, 20.0)).to_path(0.1), Some(0.0));
        let window = |from: f64, to: f64| Rect::new(from, 0.0, to, 40.0);
        // Left over are 10 to 15, 30 to 50 and 90 to 98, each less the slack of its windows.
        let shown = [window(50.0, 90.0), window(0.0, 10.0), window(15.0, 30.0), window(98.0, 100.0)];
        let gap = longest_gap(&line, &[ALL], &shown).unwrap();
        assert!((gap.length - 19.96).abs() < 1e-9 && gap.at.distance(Point::new(40.0, 20.0)) < 1e-9, "{gap:?}");
        // What nobody wants is not missed, and neither is a tenth of a millimetre.
        assert_eq!(longest_gap(&line, &[window(0.0, 9.0), window(16.0, 29.0)], &shown), None);
        assert_eq!(longest_gap(&line, &[ALL], &[window(0.0, 50.0), window(50.1, 100.0)]), None);
    }

    #[test]
    fn a_hole_in_a_filled_path_is_found_though_its_edge_shows() {
        let area = mark(ALL.to_path(0.1), None);
        // Around a hole from (40, 10) to (60, 30).
        let mut shown = vec![Rect::new(0.0, 0.0, 100.0, 10.0), Rect::new(0.0, 30.0, 100.0, 40.0)];
        shown.extend([Rect::new(0.0, 0.0, 40.0, 40.0), Rect::new(60.0, 0.0, 100.0, 40.0)]);
        // Places lie in the middle of squares of 5 mm.
        let hole = Gap { at: Point::new(42.5, 12.5), length: GRID };
        assert_eq!(longest_gap(&area, &[ALL], &shown), Some(hole));
        // The same path as a line has no inside, and nobody may want it.
        assert_eq!(longest_gap(&mark(ALL.to_path(0.1), Some(0.2)), &[ALL], &shown), None);
        assert_eq!(longest_gap(&area, &[Rect::new(0.0, 0.0, 30.0, 40.0)], &shown), None);
        shown.push(Rect::new(40.0, 10.0, 60.0, 30.0));
        assert_eq!(longest_gap(&area, &[ALL], &shown), None);
    }

    #[test]
    fn both_sides_of_a_line_and_the_way_back_to_its_start_must_show() {
        let thick = mark(Line::new((0.0, 20.0), (100.0, 20.0)).to_path(0.1), Some(4.0));
        let seen = |upper: f64, lower: f64| longest_gap(&thick, &[ALL], &[Rect::new(-9.0, upper, 109.0, lower)]);
        // The line's middle shows, and one of its sides does not.
        for (upper, lower, side) in [(0.0, 21.0, 22.0), (19.0, 40.0, 18.0)] {
            let gap = seen(upper, lower).unwrap();
            assert!(gap.length > 99.9 && gap.at.distance(Point::new(50.0, side)) < 1e-9, "{gap:?}");
        }
        assert_eq!(seen(18.0, 22.0), None);
        let round = mark(kurbo::BezPath::from_svg("M0 0H100V40H0Z").unwrap(), Some(0.0));
        let gap = longest_gap(&round, &[ALL], &[Rect::new(1.0, -1.0, 101.0, 41.0), Rect::new(-1.0, -1.0, 2.0, 5.0)]).unwrap();
        assert!((gap.length - 34.98).abs() < 1e-9 && gap.at.distance(Point::new(0.0, 22.51)) < 1e-9, "{gap:?}");
    }

    #[test]
    fn ink_lies_in_a_window_that_it_crosses_or_fills() {
        let (area, line) = (mark(ALL.to_path(0.1), None), mark(ALL.to_path(0.1), Some(0.2)));
        for (window, filled, lined) in [
            (Rect::new(40.0, 10.0, 60.0, 30.0), true, false),
            (Rect::new(90.0, 10.0, 110.0, 30.0), true, true),
            (Rect::new(100.05, 10.0, 110.0, 30.0), false, true),
            (Rect::new(101.0, 10.0, 110.0, 30.0), false, false),
            (Rect::new(-9.0, -9.0, 109.0, 49.0), true, true),
        ] {
            assert_eq!((inks(&area, window), inks(&line, window)), (filled, lined), "{window}");
        }
        let ring = kurbo::BezPath::from_svg("M0 0H100V40H0ZM20 5V35H80V5Z").unwrap();
        assert!(!inks(&mark(ring, None), Rect::new(40.0, 10.0, 60.0, 30.0)), "a hole has no ink");
    }

    #[test]
    fn a_line_runs_in_a_rectangle_from_where_it_enters_to_where_it_leaves() {
        let area = Rect::new(10.0, 20.0, 30.0, 40.0);
        for ((x0, y0), (x1, y1), part) in [
            ((0.0, 30.0), (40.0, 30.0), Some((0.25, 0.75))),
            ((40.0, 30.0), (0.0, 30.0), Some((0.25, 0.75))),
            ((15.0, 60.0), (15.0, 20.0), Some((0.5, 1.0))),
            ((0.0, 10.0), (40.0, 50.0), Some((0.25, 0.75))),
            ((0.0, 50.0), (40.0, 10.0), Some((0.25, 0.75))),
            ((12.0, 22.0), (14.0, 24.0), Some((0.0, 1.0))),
            ((10.0, 0.0), (10.0, 60.0), Some((1.0 / 3.0, 2.0 / 3.0))),
            ((9.9, 0.0), (9.9, 60.0), None),
            ((0.0, 40.1), (60.0, 40.1), None),
            ((0.0, 30.0), (20.0, 60.0), None),
            ((0.0, 30.0), (9.0, 30.0), None),
        ] {
            let found = within(Line::new((x0, y0), (x1, y1)), area);
            let near = match (found, part) {
                (Some(found), Some(part)) => (found.0 - part.0).abs().max((found.1 - part.1).abs()) < 1e-12,
                (found, part) => found == part,
            };
            assert!(near, "({x0}, {y0}) to ({x1}, {y1}): {found:?}");
        }
    }

    #[test]
    fn a_path_lower_than_the_grid_has_no_place_inside() {
        let low = mark(Rect::new(0.0, 0.0, 100.0, 4.0).to_path(0.1), None);
        let shown = [Rect::new(0.0, 0.0, 100.0, 0.5), Rect::new(0.0, 3.5, 100.0, 4.0)];
        assert_eq!(inside(&low, &[ALL], &shown), None);
    }
}
