//! Findings as the proof shows them: grouped by the file to be opened, each with the sheets that it is about.

use super::concern::Concern;
use crate::diagnostic::{Diagnostic, Severity};
use crate::markdown::escaped;
use crate::plan::Layout;
use serde::Serialize;

/// The findings about one file.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Group {
    /// Its name; empty for what has no place.
    file: String,
    findings: Vec<FindingView>,
}

/// One finding.
#[derive(Clone, Debug, Serialize)]
pub(super) struct FindingView {
    /// From 1, in the order of the page.
    number: usize,
    is_error: bool,
    code: String,
    /// HTML, as the hints.
    message: String,
    hints: Vec<String>,
    file: String,
    /// Line, column and element, as far as known.
    place: String,
    sheets: Vec<SheetLink>,
    /// Titles of papers that it is about as a whole.
    papers: Vec<String>,
}

/// A sheet that a finding is about.
#[derive(Clone, Debug, Serialize)]
struct SheetLink {
    id: String,
    label: String,
    paper: String,
}

/// Id of a sheet on the page.
pub(super) fn sheet_id(layout: &Layout, label: &str) -> String {
    format!("{}-{label}", layout.setup.paper.id)
}

/// All findings, numbered as they come.
pub(super) fn views(all: &[&Diagnostic], concerns: &[Concern], layouts: &[Layout]) -> Vec<FindingView> {
    let none = Concern::default();
    let view = |(index, finding): (usize, &&Diagnostic)| {
        let concern = concerns.get(index).unwrap_or(&none);
        FindingView::new(index + 1, finding, concern, layouts)
    };
    all.iter().enumerate().map(view).collect()
}

/// Findings by the file that they are about; files with errors come first, and errors before warnings.
pub(super) fn groups(views: Vec<FindingView>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for view in views {
        match groups.iter_mut().find(|group| group.file == view.file) {
            Some(group) => group.findings.push(view),
            None => groups.push(Group { file: view.file.clone(), findings: vec![view] }),
        }
    }
    groups.iter_mut().for_each(|group| group.findings.sort_by_key(|finding| !finding.is_error));
    groups.sort_by_key(|group| !group.findings.iter().any(|finding| finding.is_error));
    groups
}

impl FindingView {
    fn new(number: usize, finding: &Diagnostic, concern: &Concern, layouts: &[Layout]) -> Self {
        let file = finding.place.as_ref().map(|place| place.file.clone()).unwrap_or_default();
        let link = |&(layout, sheet): &(usize, usize)| {
            let layout = layouts.get(layout)?;
            let label = layout.sheets.get(sheet)?.label.clone();
            Some(SheetLink { id: sheet_id(layout, &label), label, paper: layout.setup.paper.title.clone() })
        };
        let title = |layout: &usize| layouts.get(*layout).map(|layout| layout.setup.paper.title.clone());
        let place = finding.place.as_ref().map(ToString::to_string).unwrap_or_default();
        Self {
            number,
            is_error: finding.severity == Severity::Error,
            code: finding.code.into(),
            message: marked(&finding.message),
            hints: finding.hints.iter().map(|hint| marked(hint)).collect(),
            place: marked(&place),
            file,
            sheets: concern.sheets.iter().filter_map(link).collect(),
            papers: concern.papers.iter().filter_map(title).collect(),
        }
    }
}

/// A text with what stands between backticks as code.
fn marked(text: &str) -> String {
    let part = |(index, part): (usize, &str)| match index % 2 {
        0 => escaped(part),
        _ => format!("<code>{}</code>", escaped(part)),
    };
    text.split('`').enumerate().map(part).collect()
}
