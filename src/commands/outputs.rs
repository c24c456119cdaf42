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
    /// Left edge of tile A1 in the drawing.
    pub origin_x_mm: f64,
    /// Upper edge of tile A1 in the drawing.
    pub origin_y_mm: f64,
    /// Whether the paper lies on its side.
    pub lying: bool,
    /// Sheets that upright paper with a centred grid would take.
    pub centred_sheet_count: usize,
    /// Sheets with a tile of the paper's own, where all home papers share one.
    pub own_tile_sheet_count: Option<usize>,
    /// Home printers that print the tile whole, per cent, rounded down; none where nothing is known of the paper.
    pub home_printers_percent: Option<f64>,
    /// Printer descriptions of all kinds that print the tile whole.
    pub all_printers_percent: Option<f64>,
    /// The part of the paper that the drawing's ink covers, per cent, mean of all sheets; good to a tenth of itself.
    pub mean_ink_percent: f64,
    /// The same of the sheet with the most ink.
    pub most_ink_percent: f64,
    /// Likely misfit of opposite corners when joined.
    pub likely_misfit_mm: f64,
    /// Misfit if every join is off the same way.
    pub worst_misfit_mm: f64,
    /// Lengths to be measured across joined sheets.
    pub long_checks: Vec<LongCheckRecord>,
    /// Joins in the order of their numbers.
    pub joins: Vec<JoinRecord>,
    /// Answers to `--sizes` and `--margins`.
    pub answer: Option<AnswerRecord>,
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// Used sheets, row by row.
    pub sheets: Vec<SheetRecord>,
    /// Sheets a size; one nameless entry for a one-size kit.
    pub sizes: Vec<SizeRecord>,
}

/// Two crosses on different sheets.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LongCheckRecord {
    /// Label of the sheet with the left or upper cross.
    pub from: String,
    /// Label of the sheet with the right or lower cross.
    pub to: String,
    /// How far apart they must be.
    pub length_mm: f64,
}

/// A shared edge of two sheets.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JoinRecord {
    /// Printed beside both halves.
    pub number: usize,
    /// Label of the upper or left sheet.
    pub first: String,
    /// Label of the lower or right sheet.
    pub second: String,
    /// What its registration marks cover, numbers included.
    pub marks: Vec<AreaRecord>,
    /// Whether they had to be set over ink, with a white ground.
    pub over_ink: bool,
}

/// A rectangle in the drawing, from its top left corner.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AreaRecord {
    /// Left edge.
    pub x_mm: f64,
    /// Upper edge.
    pub y_mm: f64,
    /// To the right.
    pub width_mm: f64,
    /// Down.
    pub height_mm: f64,
}

/// What was asked about a layout.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AnswerRecord {
    /// Sheets for the asked sizes together.
    pub sheet_count: Option<usize>,
    /// How many fewer these are than all sheets.
    pub saved_sheet_count: Option<usize>,
    /// Their pages, ready for a print dialog.
    pub page_ranges: Option<String>,
    /// Sides that a printer with the asked margins cuts; empty if it prints the tile whole.
    pub cut: Option<Vec<CutRecord>>,
}

/// A side that a printer cuts.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CutRecord {
    /// `head`, `right`, `foot` or `left`, as the page lies.
    pub side: String,
    /// How much of the tile is lost.
    pub cut_mm: f64,
}

/// One sheet.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SheetRecord {
    /// Row letter and column number.
    pub label: String,
    /// Page of the file.
    pub page: usize,
    /// The part of its paper that the drawing's ink covers, per cent; good to a tenth of itself.
    pub ink_percent: f64,
    /// Sizes with lines of their own on it.
    pub sizes: Vec<String>,
    /// Where its label stands, rule and words included.
    pub label_area: AreaRecord,
    /// Whether that had to be set over ink, with a white ground.
    pub label_over_ink: bool,
}

/// The sheets of one size.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SizeRecord {
    /// Name of the size.
    pub size: String,
    /// How many sheets it needs.
    pub sheet_count: usize,
    /// How many fewer these are than all sheets.
    pub saved_sheet_count: usize,
    /// Pages, ready for a print dialog.
    pub page_ranges: String,
}

/// Result of `sheet`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SheetFileRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Path of the file with the page.
    pub file: String,
    /// Id of the paper.
    pub paper: String,
    /// Label of the sheet.
    pub label: String,
    /// Its page in the file with all sheets.
    pub page: usize,
    /// Size of the file.
    pub bytes: usize,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// Result of `picture`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PictureRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Paths of the pictures.
    pub files: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
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

/// Result of `build` with several kits.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BuildsRecord {
    /// Version of this record's form.
    pub version: u32,
    /// One a kit, in the order of the arguments.
    pub builds: Vec<KitBuildRecord>,
    /// Arguments that are no kits.
    pub passed_over: Vec<String>,
    /// Findings that concern no single kit.
    pub findings: Vec<FindingRecord>,
}

/// One kit among several.
#[derive(Debug, Serialize, JsonSchema)]
pub struct KitBuildRecord {
    /// The kit, as it was given.
    pub kit: String,
    /// Path of its package, if it was built.
    pub package: Option<String>,
    /// Size of the package.
    pub bytes: Option<usize>,
    /// Names of the files in it.
    pub files: Vec<String>,
    /// All findings of the kit.
    pub findings: Vec<FindingRecord>,
}

/// Result of `catalogue update`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CataloguesRecord {
    /// Version of this record's form.
    pub version: u32,
    /// One a language.
    pub catalogues: Vec<CatalogueRecord>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// A catalogue that was written.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CatalogueRecord {
    /// Path of the file.
    pub file: String,
    /// Tag of the language.
    pub language: String,
    /// Texts with the entry that they had.
    pub kept: usize,
    /// Texts that had none.
    pub added: usize,
    /// Texts with the translation of an earlier wording, to be looked at.
    pub changed: usize,
    /// Translations that are put aside.
    pub dropped: usize,
}

impl CatalogueRecord {
    /// The record of an update.
    pub(super) const fn of(file: String, language: String, tally: crate::translation::Tally) -> Self {
        let crate::translation::Tally { kept, added, changed, dropped } = tally;
        Self { file, language, kept, added, changed, dropped }
    }
}

/// Result of `catalogue status`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct StatusRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Every text in every language.
    pub texts: Vec<TextRecord>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// The state of a text in a language.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TextRecord {
    /// Tag of the language.
    pub language: String,
    /// To which part of the kit the text belongs.
    pub context: String,
    /// The text in the source language.
    pub text: String,
    /// `done`, `missing`, `stale`, `too-long`, `placeholder` or `markup`.
    pub state: String,
    /// More about it, or nothing.
    pub detail: String,
    /// File of the entry, or of the text where there is no entry.
    pub file: String,
    /// Line in that file, from 1.
    pub line: Option<u32>,
}

/// Result of `catalogue merge`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct MergeRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Path of the kit's catalogue.
    pub file: String,
    /// Path of the copy of what was there before, if translations were replaced.
    pub kept: Option<String>,
    /// New translations.
    pub new: usize,
    /// Translations that took the place of another.
    pub replaced: usize,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// Result of `guide`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct GuideRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Paths of the pages.
    pub files: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// Result of `proof`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ProofRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Path of the page, if it was written.
    pub file: Option<String>,
    /// Address of the page, if it is served.
    pub address: Option<String>,
    /// All findings, those about the finished package too.
    pub findings: Vec<FindingRecord>,
}

/// Result of `catalogue bundle` and `catalogue export`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FileRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Path of the file.
    pub file: String,
    /// Its size.
    pub bytes: usize,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// Result of `explain`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ExplainRecord {
    /// Version of this record's form.
    pub version: u32,
    /// The code that was asked for, or all of them.
    pub codes: Vec<CodeRecord>,
    /// Always empty: a code that there is not gives the record of `check`.
    pub findings: Vec<FindingRecord>,
}

/// What is told about the code of a finding.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CodeRecord {
    /// The code.
    pub code: String,
    /// Title of its section in docs/messages.md.
    pub section: String,
    /// What is wrong.
    pub means: String,
    /// What to do, in short.
    pub action: String,
    /// Why it matters on paper or to the buyer.
    pub why: String,
    /// How to mend it.
    pub mend: String,
}

/// Result of `feedback`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FeedbackRecord {
    /// Version of this record's form.
    pub version: u32,
    /// Name of the kit.
    pub kit: String,
    /// Path of the page.
    pub page: String,
    /// Path of the table.
    pub table: String,
    /// The rounds, the newest first.
    pub rounds: Vec<RoundRecord>,
    /// Files that were not taken in; the findings tell why.
    pub left_out: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// What came back in a round.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RoundRecord {
    /// Number of the round.
    pub round: u32,
    /// Edition that was tested.
    pub edition: String,
    /// Ids of testers who have answered.
    pub answered: Vec<String>,
    /// Ids of those who have not; empty without a roster.
    pub missing: Vec<String>,
    /// How many problems were told, of sheets and of the guide.
    pub problems: usize,
    /// How many of these nobody had told in an earlier round.
    pub new_problems: usize,
}

/// Result of `review`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReviewRecord {
    /// Version of this record's form.
    pub version: u32,
    /// The round.
    pub round: u32,
    /// One a tester, in the order of the roster.
    pub bundles: Vec<BundleRecord>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}

/// What a tester gets.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BundleRecord {
    /// Id of the tester.
    pub tester: String,
    /// Path of the zip.
    pub file: String,
    /// Its size.
    pub bytes: usize,
    /// The earlier round that it was compared with.
    pub since: Option<u32>,
    /// Labels of the sheets to print anew since then; all of them where the sheets lie elsewhere.
    pub reprint: Vec<String>,
}

/// Result of `release`.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReleaseRecord {
    /// Version of this record's form.
    pub version: u32,
    /// The edition.
    pub edition: String,
    /// Whether anything was written: not with `--dry-run`, nor if the edition is out already, just as it is.
    pub written: bool,
    /// Paths of the package, the delta if there is one, and the record.
    pub files: Vec<String>,
    /// All findings.
    pub findings: Vec<FindingRecord>,
}
