//! The proof of a lay: everything that it promises, measured on the outlines as they were given, by none of the search's means.

use super::ring::{bounds, distance, distance_to_edge, edges, plain, points, side, signed_area};
use super::{Job, Lay, Part, Place, REACH};
use crate::units::Length;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Point, Rect};

/// How much nearer than the gap two pieces may be; millimetres.
pub(super) const NEARER: f64 = 0.01;

/// How far a piece may be over an edge of the cloth or off the fold; millimetres.
pub(super) const OVER: f64 = 0.002;

/// A promise that a lay breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fault {
    /// It holds more or fewer pieces than there are.
    Count,
    /// A part has no place, since a number is none or far too large.
    Nowhere(usize),
    /// A part is turned that may not be.
    Turned(usize),
    /// A part is over an edge of the cloth.
    Outside(usize),
    /// A part is off the fold that belongs on it.
    OffFold(usize),
    /// Two parts overlap.
    Overlap(usize, usize),
    /// Two parts are nearer to each other than the gap.
    Near(usize, usize, Length),
    /// The area or the bound is not that of the parts.
    Figures,
}

/// Proves a lay: count, turns, edges, fold, gaps, and what it says of length and area.
///
/// # Errors
///
/// Every promise that it breaks.
pub fn proven(job: &Job, lay: &Lay) -> Result<(), Vec<Fault>> {
    if lay.places.len() != job.parts.len() {
        return Err(vec![Fault::Count]);
    }
    let laid: Vec<Laid> = job.parts.iter().zip(&lay.places).map(|(part, place)| Laid::new(part, *place)).collect();
    let nowhere: Vec<Fault> =
        laid.iter().enumerate().filter(|(_, laid)| laid.is_nowhere()).map(|(index, _)| Fault::Nowhere(index)).collect();
    if !nowhere.is_empty() {
        return Err(nowhere);
    }
    let alone = laid.iter().enumerate().flat_map(|(index, laid)| laid.faults(index, job.width.to_mm(), lay.length.to_mm()));
    let mut faults: Vec<Fault> = alone.chain(figures(&laid, lay)).collect();
    for (index, one) in laid.iter().enumerate() {
        let others = laid.iter().enumerate().skip(index + 1);
        faults.extend(others.filter_map(|(other, two)| pair(one, two, job.gap.to_mm()).map(|fault| fault.of(index, other))));
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// A part's outline where it lies.
struct Laid<'a> {
    part: &'a Part,
    place: Place,
    ring: Vec<Point>,
    bounds: Rect,
}

impl<'a> Laid<'a> {
    fn new(part: &'a Part, place: Place) -> Self {
        let sign = if place.turned { -1.0 } else { 1.0 };
        let moved = |point: &Point| Point::new(point.x * sign + place.x.to_mm(), point.y * sign + place.y.to_mm());
        let ring: Vec<Point> = part.outline.iter().map(moved).collect();
        Self { part, place, bounds: bounds(&ring), ring }
    }

    /// Whether a coordinate is no number, or so large that distances lose their meaning.
    fn is_nowhere(&self) -> bool {
        let far = |v: f64| !v.is_finite() || v.abs() > 1000.0 * REACH.to_mm();
        self.ring.iter().any(|point| far(point.x) || far(point.y))
    }

    /// What is wrong with this part, whatever lies beside it.
    fn faults(&self, index: usize, width: f64, length: f64) -> Vec<Fault> {
        let cloth = Rect::new(-OVER, -OVER, length + OVER, width + OVER);
        let off_fold = self.part.on_fold && (self.place.turned || self.place.y.to_mm().abs() > OVER);
        let checks = [
            (self.place.turned && !self.part.may_turn, Fault::Turned(index)),
            (self.bounds.union(cloth) != cloth, Fault::Outside(index)),
            (off_fold, Fault::OffFold(index)),
        ];
        checks.into_iter().filter_map(|(is, fault)| is.then_some(fault)).collect()
    }
}

fn figures(laid: &[Laid], lay: &Lay) -> Option<Fault> {
    let area: f64 = laid.iter().map(|laid| signed_area(&laid.part.outline).abs()).sum();
    let honest = (area - lay.area).abs() <= 1e-6 * area && lay.bound <= lay.length;
    (!honest).then_some(Fault::Figures)
}

/// What can be wrong between two parts.
enum Wrong {
    Overlap,
    Near(f64),
}

impl Wrong {
    fn of(self, one: usize, other: usize) -> Fault {
        match self {
            Self::Overlap => Fault::Overlap(one, other),
            Self::Near(distance) => Fault::Near(one, other, Length::mm(distance)),
        }
    }
}

fn pair(one: &Laid, other: &Laid, gap: f64) -> Option<Wrong> {
    let near = one.bounds.inflate(gap, gap).intersect(other.bounds);
    if near.width() < 0.0 || near.height() < 0.0 {
        return None;
    }
    if overlap(one, other) {
        return Some(Wrong::Overlap);
    }
    let least = least_distance(&one.ring, &other.ring, gap);
    (least < gap - NEARER).then_some(Wrong::Near(least))
}

/// Whether two parts cover more in common than a seam as thin as is allowed.
fn overlap(one: &Laid, other: &Laid) -> bool {
    let common = plain(&one.ring).overlay_as::<i64>(&plain(&other.ring), OverlayRule::Intersect, FillRule::NonZero);
    common.into_iter().flatten().map(points).any(|ring| {
        let around: f64 = edges(&ring).map(|(a, b)| distance(a, b)).sum();
        signed_area(&ring).abs() > NEARER * around / 2.0
    })
}

/// The least distance between the lines of two outlines, if it is less than `within`, else that.
fn least_distance(one: &[Point], other: &[Point], within: f64) -> f64 {
    let [one, other] = [one, other].map(sorted);
    let mut least = within;
    for &edge in &one {
        let [from, to] = [edge.0.x.min(edge.1.x) - within, edge.0.x.max(edge.1.x) + within];
        let near = other.iter().take_while(|other| other.0.x.min(other.1.x) <= to);
        for &other in near.filter(|other| other.0.x.max(other.1.x) >= from && beside(edge, **other, within)) {
            least = least.min(between(edge, other));
        }
    }
    least
}

fn sorted(ring: &[Point]) -> Vec<(Point, Point)> {
    let mut edges: Vec<_> = edges(ring).collect();
    edges.sort_by(|a, b| a.0.x.min(a.1.x).total_cmp(&b.0.x.min(b.1.x)));
    edges
}

/// Whether two edges are within a distance of each other across the cloth.
fn beside(one: (Point, Point), other: (Point, Point), within: f64) -> bool {
    one.0.y.min(one.1.y) - within <= other.0.y.max(other.1.y) && other.0.y.min(other.1.y) - within <= one.0.y.max(one.1.y)
}

/// The distance between two edges.
fn between(one: (Point, Point), other: (Point, Point)) -> f64 {
    let crossing = side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0;
    let ends = [(one.0, other), (one.1, other), (other.0, one), (other.1, one)];
    if crossing { 0.0 } else { ends.map(|(end, edge)| distance_to_edge(end, edge)).into_iter().fold(f64::INFINITY, f64::min) }
}
