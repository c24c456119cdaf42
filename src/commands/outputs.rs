//! Results for programs; the schema of each is committed in docs/schema. Lengths are mm, pages count from 1.

use crate::diagnostic::FindingRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the records below: a field that changes its meaning or goes raises it, a new field does not.
pub(super) const VERSION: u32 = 1;

/// Result of `check` and of every command that could not go on.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CheckRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Whether nothing stands in the way of a build.
    pub fine: bool,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// Result of `plan`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PlanRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Name of the kit.
    pub kit: String,
    /// Edition of the kit.
    pub edition: String,
    /// One a paper, in the manifest's order.
    pub layouts: Vec<LayoutRecord>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// One paper's layout.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LayoutRecord {
    /// Id of the paper.
    pub paper: String,
    /// `home` or `wide`.
    pub press: String,
    /// Width of a sheet.
    pub sheet_width_mm: f64,
    /// Height of a sheet.
    pub sheet_height_mm: f64,
    /// Width of a tile.
    pub tile_width_mm: f64,
    /// Height of a tile.
    pub tile_height_mm: f64,
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// Used sheets, row by row.
    pub sheets: Vec<SheetRecord>,
    /// Sheets a size; one nameless entry for a one-size kit.
    pub sizes: Vec<SizeRecord>,
}

/// One sheet.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SheetRecord {
    /// Row letter and column number.
    pub label: String,
    /// Page of the file.
    pub page: usize,
    /// Sizes with lines of their own on it.
    pub sizes: Vec<String>,
}

/// The sheets of one size.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SizeRecord {
    /// Name of the size.
    pub size: String,
    /// How many sheets it needs.
    pub sheet_count: usize,
    /// Pages, ready for a print dialog.
    pub page_ranges: String,
}

/// Result of `build`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BuildRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Path of the package.
    pub package: String,
    /// Its size.
    pub bytes: usize,
    /// Names of the files in it.
    pub files: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}
