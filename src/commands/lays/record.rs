//! The lays for programs: the book of all lays, and what else a buyer needs by size.

use crate::commands::kit::Loaded;
use crate::commands::screen::records;
use crate::diagnostic::{FindingRecord, Findings};
use crate::lays::LayBook;
use crate::manifest::Press;
use crate::plan::{Layout, SizeSheets};
use schemars::JsonSchema;
use serde::Serialize;

/// Result of `lays`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LaysRecord {
    /// The book of all lays, as the package carries it.
    #[serde(flatten)]
    pub book: LayBook,
    /// What is printed at home, paper by paper.
    pub papers: Vec<PrintedRecord>,
    /// Paths of the files that were written.
    pub files: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// What is printed on a home paper.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PrintedRecord {
    /// Id of the paper.
    pub paper: String,
    /// One a size; one nameless entry for a one-size kit.
    pub sizes: Vec<PrintedSizeRecord>,
}

/// What is printed for one size.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PrintedSizeRecord {
    /// Name of the size.
    pub size: String,
    /// How many sheets it needs, without the check page.
    pub sheet_count: usize,
    /// How much paper that is, in square metres.
    pub paper_m2: f64,
}

pub(super) fn record(loaded: &Loaded, book: LayBook, files: Vec<String>, findings: &Findings) -> LaysRecord {
    LaysRecord { book, papers: printed(loaded), files, findings: records(findings) }
}

/// Sheets and paper for each size.
pub(super) fn printed(loaded: &Loaded) -> Vec<PrintedRecord> {
    let home = loaded.layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    let size = |layout: &Layout, size: &SizeSheets| PrintedSizeRecord {
        size: size.name.clone(),
        sheet_count: size.sheets.len(),
        paper_m2: square_metres(layout, size.sheets.len()),
    };
    let paper = |layout: &Layout| PrintedRecord {
        paper: layout.setup.paper.id.clone(),
        sizes: layout.sizes.iter().map(|it| size(layout, it)).collect(),
    };
    home.map(paper).collect()
}

fn square_metres(layout: &Layout, sheets: usize) -> f64 {
    let sheet = layout.sheet_size.width.to_mm() * layout.sheet_size.height.to_mm() / 1e6;
    (sheet * sheets as f64 * 1000.0).round() / 1000.0
}
