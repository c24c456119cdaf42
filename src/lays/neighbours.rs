//! Lays of neighbours: no width takes more cloth than a narrower one, and no size more than a larger one, wherever their lay serves.
//!
//! Searches are luckier on some pieces than on others. A buyer who sees that her smaller size takes more cloth will trust no line of the table.

use super::packing::{self, Job, Lay};

/// By which part of its budget a search may mend the lay of a neighbour.
const SHARE: u64 = 5;

/// A lay as far as it was found.
pub(super) struct Found {
    /// What is laid.
    pub job: Job,
    /// The lay; none if a piece is too wide for the cloth.
    pub lay: Option<Lay>,
    /// Whether it is kept from an earlier edition, and stays as it is.
    pub kept: bool,
}

/// Puts in the lays of neighbours where they are shorter. `found` are those of one cloth: from the smallest size to the largest, in each
/// from the narrowest width to the widest.
pub(super) fn levelled(found: &mut [Found], widths: usize) {
    let narrower = |found: &mut [Found]| {
        let wider = (0..found.len()).filter(|index| widths > 0 && index % widths > 0);
        wider.for_each(|index| _ = taken_over(found, index, index - 1));
    };
    narrower(found);
    (0..found.len().saturating_sub(widths)).rev().for_each(|index| _ = taken_over(found, index, index + widths));
    narrower(found);
}

/// Tries the lay of another job, moved apart as far as it must be.
fn taken_over(found: &mut [Found], index: usize, other: usize) -> Option<()> {
    let there = found.get(other)?.lay.clone()?;
    let here = found.get_mut(index).filter(|here| !here.kept)?;
    let own = here.lay.as_ref().filter(|own| own.length > there.length)?;
    let evaluations = here.job.evaluations / SHARE;
    let lay = packing::lay(&Job { start: Some(there.places), evaluations, ..here.job.clone() }).ok()?;
    if lay.length < own.length {
        here.lay = Some(Lay { evaluations: own.evaluations + lay.evaluations, ..lay });
    }
    Some(())
}
