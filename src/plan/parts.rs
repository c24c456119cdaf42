//! Parts of wide paper: where they are lapped, each keeps a glue edge, as home sheets do.

use crate::manifest::{Joins, Kit, PaperSetup};

/// The paper with its glue edge, if sheets are lapped and it keeps no such border anyway.
pub(super) fn edged(kit: &Kit, setup: &PaperSetup) -> Option<PaperSetup> {
    let wanted = kit.joins == Joins::Lapped && setup.glue_edge > setup.border;
    wanted.then(|| PaperSetup { border: setup.glue_edge, ..setup.clone() })
}
