//! An element, or a part of its edge, measured; alone or against others.

use super::super::model::{Measured, Trace, TraceKind};
use super::super::shape::Immeasurable;
use super::edge::{Course, Edge, edges};
use super::find::{find, immeasurable};
use super::notch::{self, Meeting, Unclear};
use super::{ACCURACY, Ground, NEAR, common, ends_of, point, straight};
use crate::diagnostic::{Diagnostic, Place};
use crate::manifest::{Between, Control, Extent, Notch, Side};
use crate::units::Length;
use kurbo::{BezPath, ParamCurve, ParamCurveExtrema, Point, Shape as _};

/// The length of one side.
pub fn one(control: &Control, side: &Side, ground: &Ground, place: &Place) -> Result<Measured, Diagnostic> {
    let found = find(control, &side.element, ground, place)?;
    let fault = |why| immeasurable(control, &side.element, &why, place);
    let (length, traces) = match (&side.between, side.extent) {
        (Some(between), _) => part(control, side, between, &found.paths, ground, place)?,
        (None, Extent::Length) => along(&found.paths).map_err(fault)?,
        (None, Extent::Outline) => around(&found.paths).map_err(fault)?,
        (None, Extent::Width | Extent::Height) => across(&found.paths, side.extent == Extent::Width),
    };
    // What is not printed cannot be found on paper.
    let traces = if found.layer.is_some() { traces } else { Vec::new() };
    let sizes = found.layer.map_or_else(Vec::new, |layer| ground.sizes_of(layer));
    Ok(Measured { length: Length::mm(length), traces, sizes })
}

/// By how much one side is longer than others together.
pub fn pair(
    control: &Control,
    side: &Side,
    others: &[Side],
    ground: &Ground,
    (place, equals): (&Place, &Place),
) -> Result<Measured, Diagnostic> {
    let mut sum = one(control, side, ground, place)?;
    let mut printed = !sum.traces.is_empty();
    for other in others {
        let other = one(control, other, ground, equals)?;
        printed = printed && !other.traces.is_empty();
        sum.length -= other.length;
        sum.traces.extend(other.traces.into_iter().map(|trace| Trace { minus: true, ..trace }));
        sum.sizes = common(sum.sizes, &other.sizes);
    }
    // A difference of which one side alone can be found again proves nothing.
    if !printed {
        sum.traces.clear();
    }
    Ok(sum)
}

type Extents = (f64, Vec<Trace>);

fn trace(kind: TraceKind, points: &[Point]) -> Trace {
    Trace { minus: false, kind, points: points.iter().map(|p| point(*p)).collect() }
}

/// The length of one path, all its lines together.
fn along(paths: &[BezPath]) -> Result<Extents, Immeasurable> {
    let [path] = paths else { return Err(Immeasurable(words!("holds-several-lines"))) };
    let edges = edges(path);
    let one = |edge: &Edge| match edge.as_line() {
        Some((from, to)) => straight(from, to),
        None => trace(if edge.closed { TraceKind::Outline } else { TraceKind::Line }, &edge.points(edge.whole())),
    };
    Ok((edges.iter().map(|edge| edge.length).sum(), edges.iter().map(one).collect()))
}

/// Once round the only line there is.
fn around(paths: &[BezPath]) -> Result<Extents, Immeasurable> {
    let edges: Vec<Edge> = paths.iter().flat_map(edges).collect();
    match edges.as_slice() {
        [edge] if edge.closed => Ok((edge.length, vec![trace(TraceKind::Outline, &edge.points(edge.whole()))])),
        [_] => Err(Immeasurable(words!("outline-not-closed"))),
        [] => Err(Immeasurable(words!("has-no-length"))),
        _ => Err(Immeasurable(words!("has-several-outlines"))),
    }
}

/// The length of an edge between two places.
fn part(
    control: &Control,
    side: &Side,
    between: &Between,
    paths: &[BezPath],
    ground: &Ground,
    place: &Place,
) -> Result<Extents, Diagnostic> {
    let shapes = |notch: &Notch| match notch {
        Notch::Element(name) => find(control, name, ground, place).map(|found| Some(found.paths)),
        Notch::Point(_) => Ok(None),
    };
    let [first, second] = &between.notches;
    let (one, other) = (shapes(first)?, shapes(second)?);
    let meet = |edge: &Edge, notch: &Notch, shapes: &Option<Vec<BezPath>>| match (notch, shapes) {
        (Notch::Point(at), _) => notch::point(edge, at.to_kurbo_mm()),
        (Notch::Element(_), shapes) => notch::notch(edge, shapes.as_deref().unwrap_or_default()),
    };
    let edges: Vec<Edge> = paths.iter().flat_map(edges).collect();
    let both = edges.iter().map(|edge| (edge, meet(edge, first, &one), meet(edge, second, &other)));
    // Both places must lie on one line: the one that is nearest to them.
    let off = |meeting: &Result<Meeting, Unclear>| match meeting {
        Ok(meeting) => meeting.off,
        Err(Unclear::Wide(_)) => NEAR,
        Err(Unclear::Far(off)) => *off,
    };
    let best = both.min_by(|a, b| off(&a.1).max(off(&a.2)).total_cmp(&off(&b.1).max(off(&b.2))));
    let Some((edge, one, other)) = best else {
        return Err(immeasurable(control, &side.element, &Immeasurable(words!("has-no-length")), place));
    };
    let unclear = |notch: &Notch, why| unclear(control, side, notch, &why, place);
    let (from, to) = (one.map_err(|why| unclear(first, why))?, other.map_err(|why| unclear(second, why))?);
    let course: Course = edge.course(from.along, to.along, between.way);
    if course.by.abs() < 2.0 * ACCURACY {
        return Err(immeasurable(control, &side.element, &Immeasurable(words!("places-are-one")), place));
    }
    Ok((course.by.abs(), vec![trace(TraceKind::Between, &edge.points(course))]))
}

/// The finding for a place that is not clear.
fn unclear(control: &Control, side: &Side, notch: &Notch, why: &Unclear, place: &Place) -> Diagnostic {
    let notch = match notch {
        Notch::Element(name) => format!("`{name}`"),
        Notch::Point(point) => format!("{}, {}", point.x, point.y),
    };
    let (edge, control) = (&side.element, &control.name);
    let finding = match why {
        Unclear::Far(off) if off.is_finite() => error!("control-notch", notch, off = format_args!("{off:.2}"), edge, control),
        Unclear::Far(_) => error!("control-notch/nowhere", notch, edge, control),
        Unclear::Wide(spread) => error!("control-notch/several", notch, edge, spread = format_args!("{spread:.1}")),
    };
    finding.at(place.clone())
}

/// Width or height of some paths, with ends if two corners lie level at that distance.
fn across(paths: &[BezPath], width: bool) -> Extents {
    let boxes = paths.iter().map(|path| path.bounding_box()).reduce(|a, b| a.union(b)).unwrap_or_default();
    let (low, high) = if width { (boxes.x0, boxes.x1) } else { (boxes.y0, boxes.y1) };
    let along = |p: Point| if width { p.x } else { p.y };
    let aside = |p: Point| if width { p.y } else { p.x };
    let vertices: Vec<Point> = paths.iter().flat_map(ends_of).collect();
    let at = |side: f64| vertices.iter().filter(move |p| (along(**p) - side).abs() < ACCURACY);
    let pair =
        at(low).take(100).find_map(|a| Some((*a, *at(high).take(100).find(|b| (aside(*a) - aside(**b)).abs() < ACCURACY)?)));
    if let Some((a, b)) = pair {
        return (high - low, vec![straight(a, b)]);
    }
    // Where no two corners lie level, the places that reach furthest are told, each by itself.
    let turns = || paths.iter().flat_map(BezPath::segments).flat_map(places);
    let furthest = |side: f64| turns().min_by(|a, b| (along(*a) - side).abs().total_cmp(&(along(*b) - side).abs()));
    let kind = if width { TraceKind::Width } else { TraceKind::Height };
    let ends = furthest(low).zip(furthest(high));
    (high - low, ends.map(|(a, b)| trace(kind, &[a, b])).into_iter().collect())
}

/// Ends of a segment and where it turns back in x or y.
fn places(segment: kurbo::PathSeg) -> Vec<Point> {
    let turns = segment.extrema().into_iter().map(|t| segment.eval(t));
    [segment.start(), segment.end()].into_iter().chain(turns).collect()
}
