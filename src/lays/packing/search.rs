//! The search as a whole: an earlier lay if it serves, else a first lay and its squeezing; what comes out is proven.

use super::bound::{bound, raised};
use super::fill::filled;
use super::place::{places, spots};
use super::random::Random;
use super::separate::Separation;
use super::shape::{Shape, Spot};
use super::squeeze::Squeeze;
use super::strip::{Cloth, Meter};
use super::{Job, Lay, Place, proven};

/// The shortest proven lay that the job's budget finds.
pub(super) fn shortest(job: &Job, shapes: &[Shape]) -> Option<Lay> {
    let cloth = Cloth { shapes, width: job.width.to_mm() };
    let goal = bound(job, shapes).0.to_mm();
    let mut random = Random::new(job.seed);
    let mut meter = Meter { spent: 0, budget: job.evaluations };
    if let Some(kept) = earlier(job, cloth, goal, &mut random, &mut meter) {
        return Some(raised(job, shapes, kept));
    }
    let first = filled(cloth, &mut meter);
    let (held, spent) = Squeeze::new(cloth, goal, first, random, meter).run();
    let lay = held.iter().rev().find_map(|spots| told(job, cloth, spots, spent))?;
    Some(raised(job, shapes, lay))
}

/// The job's earlier lay, as it is or with as little moved as makes it hold on no more cloth.
fn earlier(job: &Job, cloth: Cloth, goal: f64, random: &mut Random, meter: &mut Meter) -> Option<Lay> {
    let start = job.start.as_ref()?;
    let length = length_of(cloth, start, goal)?;
    let spots = spots(cloth.shapes, start, length, cloth.width);
    told(job, cloth, &spots, 0).or_else(|| {
        let repaired = Separation::new(cloth, length, &spots, random, meter).run();
        told(job, cloth, &repaired.spots, meter.spent).filter(|_| repaired.overlap == 0.0)
    })
}

/// How much cloth an earlier lay takes, if it can be one of these shapes: then it is no longer than all of them in a row.
fn length_of(cloth: Cloth, start: &[Place], goal: f64) -> Option<f64> {
    let finite = start.iter().all(|place| place.x.is_finite() && place.y.is_finite());
    let ends = cloth.shapes.iter().zip(start).map(|(shape, place)| shape.spot(*place).centre.x + shape.half.x);
    let length = ends.fold(goal, f64::max);
    let row: f64 = cloth.shapes.iter().map(|shape| shape.figure(false).bounds.width()).sum();
    (finite && start.len() == cloth.shapes.len() && length <= row.max(goal)).then_some(length)
}

/// A lay with all that is told of it, if it is proven.
fn told(job: &Job, cloth: Cloth, spots: &[Spot], evaluations: u64) -> Option<Lay> {
    let (places, length) = places(cloth.shapes, spots, cloth.width);
    let (bound, bound_by) = bound(job, cloth.shapes);
    let area = cloth.shapes.iter().map(|shape| shape.area).sum();
    Some(Lay { length, places, area, bound, bound_by, evaluations }).filter(|lay| proven(job, lay).is_ok())
}
