//! Changes as a record for programs; the field names are part of the interface, lengths are mm, pages count from 1.

use super::{Changes, ControlChange, GuideChange, PaperChange, SheetChange};
use crate::diagnostic::FindingRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// Result of `compare`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangesRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Title and edition of the earlier package.
    pub old: EditionRecord,
    /// Title and edition of the newer one.
    pub new: EditionRecord,
    /// Whether nothing at all differs.
    pub same: bool,
    /// Files with sheets that both have.
    pub papers: Vec<PaperChangeRecord>,
    /// Papers, sizes, languages and measurements that only one of them has.
    pub listed: Vec<ListedRecord>,
    /// Measurements that are promised otherwise.
    pub controls: Vec<ControlChangeRecord>,
    /// Guides that say something else.
    pub guides: Vec<GuideChangeRecord>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// An edition of a kit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EditionRecord {
    /// Title of the kit.
    pub title: String,
    /// Its edition.
    pub edition: String,
}

/// One file with sheets.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PaperChangeRecord {
    /// Id of the paper.
    pub paper: String,
    /// Name of the file in the newer package.
    pub file: String,
    /// Whether the sheets cover the same parts of the drawing as before; if not, all of them are to be printed anew.
    pub same_grid: bool,
    /// Labels of the sheets to print anew.
    pub reprint: Vec<String>,
    /// Labels of the sheets on which only words differ.
    pub reworded: Vec<String>,
    /// Labels of the sheets that there are no more.
    pub gone: Vec<String>,
    /// Every sheet of the newer package.
    pub sheets: Vec<SheetChangeRecord>,
}

/// How a sheet differs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SheetChangeRecord {
    /// Its label.
    pub label: String,
    /// Its page.
    pub page: usize,
    /// Whether the earlier edition had no such sheet.
    pub new: bool,
    /// Whether its lines differ.
    pub ink: bool,
    /// How far the farthest line is from the nearest of its layer in the earlier edition, as far as 20 mm.
    pub farthest_mm: f64,
    /// Length of lines that are new.
    pub added_mm: f64,
    /// Length of lines that are gone.
    pub removed_mm: f64,
    /// Lines drawn with another pen.
    pub restyled: usize,
    /// Sizes whose lines differ; none if lines for all sizes do.
    pub sizes: Vec<String>,
    /// Words that are new, the edition aside.
    pub words_added: Vec<String>,
    /// Words that are gone.
    pub words_removed: Vec<String>,
}

/// What only one of the packages has.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ListedRecord {
    /// `paper`, `size`, `language` or `measurement`.
    pub what: String,
    /// Names that only the newer one has.
    pub added: Vec<String>,
    /// Names that only the earlier one had.
    pub removed: Vec<String>,
}

/// A measurement that is promised otherwise.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ControlChangeRecord {
    /// Its name.
    pub name: String,
    /// As the earlier package promises it.
    pub was_mm: f64,
    /// As the newer one does.
    pub is_mm: f64,
}

/// A guide that says something else.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GuideChangeRecord {
    /// Tag of the language.
    pub language: String,
    /// Texts that are new, the edition aside.
    pub added: Vec<String>,
    /// Texts that are gone.
    pub removed: Vec<String>,
}

impl From<&Changes> for ChangesRecord {
    fn from(changes: &Changes) -> Self {
        let edition = |(title, edition): &(String, String)| EditionRecord { title: title.clone(), edition: edition.clone() };
        let listed = changes.listed().into_iter().filter(|(_, come, gone)| !come.is_empty() || !gone.is_empty());
        Self {
            version: 1,
            old: edition(&changes.old),
            new: edition(&changes.new),
            same: changes.is_none(),
            papers: changes.papers.both.iter().map(PaperChangeRecord::from).collect(),
            listed: listed
                .map(|(what, added, removed)| ListedRecord {
                    what: what.into(),
                    added: added.clone(),
                    removed: removed.clone(),
                })
                .collect(),
            controls: changes.controls.both.iter().map(ControlChangeRecord::from).collect(),
            guides: changes.guides.both.iter().map(GuideChangeRecord::from).collect(),
            findings: Vec::new(),
        }
    }
}

impl From<&PaperChange> for PaperChangeRecord {
    fn from(paper: &PaperChange) -> Self {
        Self {
            paper: paper.paper.clone(),
            file: paper.file.clone(),
            same_grid: paper.same_grid,
            reprint: paper.changed(),
            reworded: paper.reworded(),
            gone: paper.gone.clone(),
            sheets: paper.sheets.iter().map(SheetChangeRecord::from).collect(),
        }
    }
}

impl From<&SheetChange> for SheetChangeRecord {
    fn from(sheet: &SheetChange) -> Self {
        Self {
            label: sheet.label.clone(),
            page: sheet.page,
            new: sheet.new,
            ink: sheet.by_ink(),
            farthest_mm: rounded(sheet.farthest.to_mm()),
            added_mm: rounded(sheet.added.to_mm()),
            removed_mm: rounded(sheet.removed.to_mm()),
            restyled: sheet.restyled,
            sizes: sheet.sizes.clone(),
            words_added: sheet.words_added.clone(),
            words_removed: sheet.words_removed.clone(),
        }
    }
}

impl From<&ControlChange> for ControlChangeRecord {
    fn from(control: &ControlChange) -> Self {
        Self { name: control.name.clone(), was_mm: control.was.to_mm(), is_mm: control.is.to_mm() }
    }
}

impl From<&GuideChange> for GuideChangeRecord {
    fn from(guide: &GuideChange) -> Self {
        Self { language: guide.language.clone(), added: guide.added.clone(), removed: guide.removed.clone() }
    }
}

/// To a thousandth of a millimetre, so that records are the same on every machine.
fn rounded(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}
