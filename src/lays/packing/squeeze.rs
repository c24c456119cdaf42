//! The search for the shortest lay: from a first lay that holds, the cloth is made shorter again and again.

use super::bound::bound;
use super::fill::filled;
use super::place::{places, spots};
use super::shape::{Shape, Spot};
use super::strip::{Cloth, Meter};
use super::{Job, Lay, Place, proven};

/// The shortest proven lay that the job's budget finds.
pub(super) fn shortest(job: &Job, shapes: &[Shape]) -> Option<Lay> {
    let cloth = Cloth { shapes, width: job.width.to_mm() };
    let mut meter = Meter { spent: 0, budget: job.evaluations };
    if let Some(kept) = job.start.as_ref().and_then(|start| kept(job, cloth, start)) {
        return Some(kept);
    }
    let (spots, _) = filled(cloth, &mut meter);
    let lay = told(job, cloth, &spots, meter.spent);
    proven(job, &lay).is_ok().then_some(lay)
}

/// An earlier lay, if it still holds.
fn kept(job: &Job, cloth: Cloth, start: &[Place]) -> Option<Lay> {
    let spots = spots(cloth.shapes, start, f64::MAX, cloth.width)?;
    let lay = told(job, cloth, &spots, 0);
    proven(job, &lay).is_ok().then_some(lay)
}

/// A lay with all that is told of it.
fn told(job: &Job, cloth: Cloth, spots: &[Spot], evaluations: u64) -> Lay {
    let (places, length) = places(cloth.shapes, spots, cloth.width);
    let (bound, bound_by) = bound(job, cloth.shapes);
    let area = cloth.shapes.iter().map(|shape| shape.area).sum();
    Lay { length, places, area, bound, bound_by, evaluations }
}
