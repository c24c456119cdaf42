//! What must hold before anything is laid: outlines with an area that neither cross themselves nor are wider than the cloth.

use super::ring::{bounds, clean, edges, plain, points, side, signed_area};
use super::shape::Shape;
use super::{Job, MOST_PARTS, Part, REACH, Refused};
use crate::units::Length;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{Point, Rect};

/// The least area that a piece has, in square millimetres.
const LEAST_AREA: f64 = 1.0;

/// How far a piece may stick out over the cloth or the fold; millimetres. Less than what any cutter sees.
pub(super) const SLACK: f64 = 1e-3;

/// How much area an outline may cover twice, in square millimetres: where curves were made straight, hairs may cross.
const CROSSED: f64 = 1.0;

/// The parts' shapes, or all that keeps them from being laid.
pub(super) fn shapes(job: &Job) -> Result<Vec<Shape>, Vec<Refused>> {
    let mut refused = of_the_job(job);
    let mut shapes = Vec::new();
    for (index, part) in job.parts.iter().enumerate().take(MOST_PARTS) {
        match outline(index, part, job.width) {
            Ok(outline) if refused.is_empty() => shapes.push(Shape::new(part, &outline, job.gap.to_mm())),
            Ok(_) => {}
            Err(why) => refused.push(why),
        }
    }
    if refused.is_empty() { Ok(shapes) } else { Err(refused) }
}

fn of_the_job(job: &Job) -> Vec<Refused> {
    let gap_fits = job.gap >= Length::ZERO && job.gap <= REACH;
    let faults =
        [(job.parts.is_empty(), Refused::Nothing), (job.parts.len() > MOST_PARTS, Refused::TooMany), (!gap_fits, Refused::Gap)];
    faults.into_iter().filter_map(|(is, why)| is.then_some(why)).collect()
}

/// A part's outline without repeated points and spikes, if it can be laid.
fn outline(part: usize, given: &Part, width: Length) -> Result<Vec<Point>, Refused> {
    let far = |v: f64| !v.is_finite() || v.abs() > REACH.to_mm();
    if given.outline.iter().any(|point| far(point.x) || far(point.y)) {
        return Err(Refused::OutOfReach { part });
    }
    let ring = clean(&given.outline);
    let covered = covered(&ring);
    if ring.len() < 3 || covered < LEAST_AREA {
        return Err(Refused::TooFewPoints { part });
    }
    if (covered - signed_area(&ring).abs()).abs() > CROSSED {
        return Err(Refused::Crossing { part, at: crossing(&ring) });
    }
    fits(part, given, bounds(&ring), width)?;
    Ok(ring)
}

fn fits(part: usize, given: &Part, bounds: Rect, width: Length) -> Result<(), Refused> {
    if given.on_fold && bounds.y0.abs() > SLACK {
        return Err(Refused::OffFold { part });
    }
    let needs = Length::mm(bounds.height());
    // Written so that a width that is no number is refused too.
    if needs.to_mm() <= width.to_mm() + SLACK { Ok(()) } else { Err(Refused::TooWide { part, needs }) }
}

/// The area that a ring covers, what it covers twice counted once.
fn covered(ring: &[Point]) -> f64 {
    let rings = plain(ring).simplify_shape_as::<i64>(FillRule::NonZero).into_iter().flatten();
    rings.map(|ring| signed_area(&points(ring))).sum::<f64>().abs()
}

/// A place where two edges of a ring cross, or its first point.
fn crossing(ring: &[Point]) -> Point {
    let mut edges: Vec<_> = edges(ring).collect();
    edges.sort_by(|a, b| a.0.x.min(a.1.x).total_cmp(&b.0.x.min(b.1.x)));
    let found = edges.iter().enumerate().find_map(|(index, &edge)| {
        let near = edges.iter().skip(index + 1).take_while(|other| other.0.x.min(other.1.x) <= edge.0.x.max(edge.1.x));
        near.copied().find_map(|other| meeting(edge, other))
    });
    found.or(ring.first().copied()).unwrap_or_default()
}

/// Where two edges cross, if they do and not only touch.
fn meeting(one: (Point, Point), other: (Point, Point)) -> Option<Point> {
    let [a, b] = [side(one, other.0), side(one, other.1)];
    let apart = side(other, one.0) * side(other, one.1) < 0.0;
    (a * b < 0.0 && apart).then(|| other.0.lerp(other.1, a / (a - b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(points: &[(f64, f64)]) -> Part {
        Part { outline: points.iter().map(|&point| point.into()).collect(), may_turn: true, on_fold: false }
    }

    fn refused(parts: Vec<Part>, width: f64) -> Vec<Refused> {
        let (width, gap) = (Length::mm(width), Length::ZERO);
        shapes(&Job { parts, width, gap, evaluations: 1, seed: 1, start: None }).err().unwrap_or_default()
    }

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)];

    #[test]
    fn all_that_is_wrong_is_told_at_once() {
        let bowtie = part(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        let hair = part(&[(0.0, 0.0), (5.0, 0.0), (0.0, 0.0)]);
        let lost = part(&[(0.0, 0.0), (f64::NAN, 0.0), (0.0, 5.0)]);
        let found = refused(vec![part(&SQUARE), bowtie, hair, lost], 8.0);
        let wide = Refused::TooWide { part: 0, needs: Length::mm(9.0) };
        let crossing = Refused::Crossing { part: 1, at: Point::new(5.0, 5.0) };
        assert_eq!(found, [wide, crossing, Refused::TooFewPoints { part: 2 }, Refused::OutOfReach { part: 3 }]);
    }

    #[test]
    fn an_outline_that_goes_round_twice_or_like_an_eight_crosses_itself() {
        let twice: Vec<_> = SQUARE.into_iter().chain(SQUARE.map(|(x, y)| (x + 0.5, y * 0.9))).collect();
        let eight = [(0.0, 0.0), (9.0, 9.0), (18.0, 18.0), (18.0, 0.0), (9.0, 9.0), (0.0, 18.0)];
        for points in [&twice[..], &eight] {
            let found = refused(vec![part(points)], 100.0);
            assert!(matches!(found[..], [Refused::Crossing { part: 0, .. }]), "{found:?} {points:?}");
        }
    }

    #[test]
    fn a_job_without_parts_width_or_a_gap_that_is_a_number_is_refused() {
        assert_eq!(refused(vec![], 100.0), [Refused::Nothing]);
        for width in [f64::NAN, 0.0, -5.0] {
            assert!(matches!(refused(vec![part(&SQUARE)], width)[..], [Refused::TooWide { part: 0, .. }]), "{width}");
        }
        assert_eq!(refused(vec![part(&SQUARE); 1001], 10.0), [Refused::TooMany]);
        let folded = Part { on_fold: true, ..part(&SQUARE.map(|(x, y)| (x, y + 1.0))) };
        assert_eq!(refused(vec![folded], 100.0), [Refused::OffFold { part: 0 }]);
    }
}
