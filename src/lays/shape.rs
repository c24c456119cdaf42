//! From the lines of a drawing to the shape that is cut: closed, its grain along x, half pieces with their fold.

use super::polygon;
use crate::drawing::{Traced, Untraced};
use kurbo::{BezPath, PathEl, Point, Vec2};

/// How finely curves are flattened, in mm.
const FLAT: f64 = 0.02;
/// How far apart the ends of a cutting line may be for it to count as closed, in mm.
const CLOSED: f64 = 0.1;
/// How far a piece may reach over its fold, in mm.
const OVER: f64 = 0.5;
/// How far a line may lean and still run along another, as a part of its length.
const LEAN: f64 = 0.005;
/// The shortest edge that is taken for a fold without being told, in mm.
const SHORTEST_FOLD: f64 = 20.0;
/// Most corners of a piece, curves flattened.
const MOST_CORNERS: usize = 12_000;

/// The shape of a piece in one size, in mm, its grain along x, its upper end (as drawn) to the left.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// As it is cut from a single layer: without a repeated end point, half pieces unfolded.
    pub whole: Vec<Point>,
    /// Of a half piece whose fold runs along the grain: the half, its fold on y = 0 and the rest above zero.
    pub half: Option<Vec<Point>>,
    /// Whether it and its mirror image are the same.
    pub symmetric: bool,
}

/// Why a piece cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Its cutting line, grainline or fold was not found.
    Line(Line, Untraced),
    /// Its cutting line is not closed; how far apart the ends are, in mm.
    Open(f64),
    /// Its cutting line has no area, or fewer than three corners.
    Flat,
    /// Its cutting line crosses itself.
    Crossing(Point),
    /// Its cutting line has too many corners.
    Corners(usize),
    /// Its grainline is no straight line.
    Bent,
    /// Nothing tells where its fold is.
    NoFold,
    /// It reaches over its fold, by so much, in mm.
    OverFold(f64),
}

/// Which line of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Line {
    /// The cutting line.
    Outline,
    /// The grainline.
    Grain,
    /// The line on the fold.
    Fold,
}

type Found = Result<Traced, Untraced>;

/// The shape of a piece from its three lines; `fold` says whether it is half a piece.
pub fn figure(outline: &Found, grain: &Found, fold_line: &Found, fold: bool) -> Result<Figure, Vec<Fault>> {
    let along = grain.as_ref().map_err(|why| Fault::Line(Line::Grain, why.clone())).and_then(direction);
    let ring = outline.as_ref().map_err(|why| Fault::Line(Line::Outline, why.clone())).and_then(|traced| ring(traced, fold));
    let (along, ring) = match (along, ring) {
        (Ok(along), Ok(ring)) => (along, ring),
        (along, ring) => return Err([along.err(), ring.err()].into_iter().flatten().collect()),
    };
    let turned: Vec<Point> = ring.points.iter().map(|point| turn(*point, along)).collect();
    if !fold {
        let symmetric = polygon::symmetric(&turned);
        return Ok(Figure { whole: turned, half: None, symmetric });
    }
    let line = match (fold_line, ring.gap) {
        (Ok(traced), _) => longest(traced).map(|(from, to)| (turn(from, along), turn(to, along))),
        (Err(Untraced::Missing(_)), true) => turned.last().copied().zip(turned.first().copied()),
        (Err(Untraced::Missing(_)), false) => guessed(&turned),
        (Err(why), _) => return Err(vec![Fault::Line(Line::Fold, why.clone())]),
    };
    line.ok_or(Fault::NoFold).and_then(|line| folded(&turned, line)).map_err(|fault| vec![fault])
}

/// A cutting line as corners.
struct Ring {
    points: Vec<Point>,
    /// Whether it is open, from its last corner to its first.
    gap: bool,
}

/// The line that encloses most; open only if it is half a piece, whose fold may be left open.
fn ring(traced: &Traced, fold: bool) -> Result<Ring, Fault> {
    let rings = traced.paths.iter().flat_map(rings);
    let largest = rings.max_by(|a, b| polygon::area(&a.points).abs().total_cmp(&polygon::area(&b.points).abs()));
    let ring = largest.filter(|ring| ring.points.len() >= 3 && polygon::area(&ring.points).abs() >= 1.0).ok_or(Fault::Flat)?;
    if ring.gap && !fold {
        let ends = ring.points.first().zip(ring.points.last());
        return Err(Fault::Open(ends.map_or(0.0, |(a, b)| a.distance(*b))));
    }
    if ring.points.len() > MOST_CORNERS {
        return Err(Fault::Corners(ring.points.len()));
    }
    polygon::crossing(&ring.points).map_or(Ok(ring), |at| Err(Fault::Crossing(at)))
}

/// Every line of a path, flattened, each corner once.
fn rings(path: &BezPath) -> Vec<Ring> {
    let mut rings: Vec<(Vec<Point>, bool)> = Vec::new();
    kurbo::flatten(path.iter(), FLAT, |element| match element {
        PathEl::MoveTo(to) => rings.push((vec![to], false)),
        PathEl::ClosePath => rings.last_mut().into_iter().for_each(|ring| ring.1 = true),
        other => other.end_point().into_iter().for_each(|to| {
            if let Some((points, _)) = rings.last_mut().filter(|(points, _)| points.last() != Some(&to)) {
                points.push(to);
            }
        }),
    });
    let ring = |(mut points, shut): (Vec<Point>, bool)| {
        let apart = points.first().zip(points.last()).map_or(0.0, |(a, b)| a.distance(*b));
        if points.len() > 1 && apart <= CLOSED {
            points.pop();
        }
        Ring { points, gap: !shut && apart > CLOSED }
    };
    rings.into_iter().map(ring).collect()
}

/// The direction of a grainline, a unit vector: down the paper, or to the right if it lies level.
fn direction(traced: &Traced) -> Result<Vec2, Fault> {
    let (from, to) = longest(traced).ok_or(Fault::Bent)?;
    let way = to - from;
    let level = way.y.abs() <= LEAN * way.x.abs();
    let back = if level { way.x < 0.0 } else { way.y < 0.0 };
    let way = if back { -way } else { way };
    // A line along an axis is turned exactly.
    if way.x == 0.0 || way.y == 0.0 {
        return Ok(Vec2::new(way.x.signum() * f64::from(way.x != 0.0), way.y.signum() * f64::from(way.y != 0.0)));
    }
    Ok(way / way.hypot())
}

/// The longest straight part: arrow heads and brackets are shorter than their line.
fn longest(traced: &Traced) -> Option<(Point, Point)> {
    let straight = traced.paths.iter().flat_map(BezPath::segments).filter_map(|segment| match segment {
        kurbo::PathSeg::Line(line) => Some((line.p0, line.p1)),
        _ => None,
    });
    let longest = straight.max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
    (longest.0.distance(longest.1) > 0.0).then_some(longest)
}

/// A point, turned so that a direction comes to lie along x.
fn turn(point: Point, along: Vec2) -> Point {
    Point::new(point.x * along.x + point.y * along.y, point.y * along.x - point.x * along.y)
}

/// The fold of a closed half piece if there can be but one: a straight edge along the grain with all of the piece on one side.
fn guessed(ring: &[Point]) -> Option<(Point, Point)> {
    let (low, high) = polygon::reach(ring, |point| point.y);
    let edge = |level: f64| {
        let on = polygon::edges(ring).filter(|(a, b)| (a.y - level).abs() <= CLOSED && (b.y - level).abs() <= CLOSED);
        let longest = on.max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
        longest.filter(|(a, b)| a.distance(*b) >= SHORTEST_FOLD)
    };
    match (edge(low), edge(high)) {
        (Some(only), None) | (None, Some(only)) => Some(only),
        _ => None,
    }
}

/// A half piece with its fold: unfolded, and itself if its fold runs along the grain.
fn folded(ring: &[Point], (from, to): (Point, Point)) -> Result<Figure, Fault> {
    let way = (to - from) / from.distance(to);
    let lengthwise = way.y.abs() <= LEAN;
    let way = if lengthwise { Vec2::new(1.0, 0.0) } else { way };
    // In the fold's own frame the fold is y = 0, and the piece lies below it on paper or is mirrored to do so, which comes
    // to the same once it is unfolded.
    let framed: Vec<Point> = ring.iter().map(|point| turn(*point - from.to_vec2(), way)).collect();
    let (low, high) = polygon::reach(&framed, |point| point.y);
    let side = if high >= -low { 1.0 } else { -1.0 };
    let over = if side > 0.0 { -low } else { high };
    if over > OVER {
        return Err(Fault::OverFold(over));
    }
    let snapped = |point: &Point| {
        let y = point.y * side;
        Point::new(point.x, if y <= CLOSED { 0.0 } else { y })
    };
    let half = polygon::beyond_axis(&framed.iter().map(snapped).collect::<Vec<_>>()).ok_or(Fault::NoFold)?;
    let mirrored = half.iter().rev().filter(|point| point.y > 0.0).map(|point| Point::new(point.x, -point.y));
    let unfolded = half.iter().copied().chain(mirrored);
    let back = Vec2::new(way.x, -way.y);
    let whole: Vec<Point> = unfolded.map(|point| turn(point, back)).collect();
    Ok(Figure { symmetric: true, half: lengthwise.then_some(half), whole })
}
