//! What has changed on paper since an earlier edition, paper by paper.

use super::findings::sheet_id;
use super::view::Source;
use crate::verify::PaperChange;
use serde::Serialize;

/// All papers that both editions have.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ChangesView {
    /// The earlier edition.
    since: String,
    papers: Vec<PaperChangeView>,
}

#[derive(Clone, Debug, Serialize)]
struct PaperChangeView {
    title: String,
    same_grid: bool,
    changed: Vec<ChangedSheet>,
    gone: Vec<String>,
    kept: usize,
}

#[derive(Clone, Debug, Serialize)]
struct ChangedSheet {
    id: String,
    label: String,
}

/// The view, if an earlier package was given.
pub(super) fn changes(source: &Source) -> Option<ChangesView> {
    let changes = source.changes?;
    let papers = changes.papers.both.iter().filter(|change| change.main).filter_map(|change| paper(change, source)).collect();
    Some(ChangesView { since: changes.old.1.clone(), papers })
}

fn paper(change: &PaperChange, source: &Source) -> Option<PaperChangeView> {
    let layout = source.layouts.iter().find(|layout| layout.setup.paper.id == change.paper)?;
    let changed = change.changed();
    let sheet = |label: &String| ChangedSheet { id: sheet_id(layout, label), label: label.clone() };
    Some(PaperChangeView {
        title: layout.setup.paper.title.clone(),
        same_grid: change.same_grid,
        changed: changed.iter().map(sheet).collect(),
        gone: change.gone.clone(),
        kept: layout.sheets.len().saturating_sub(changed.len()),
    })
}
