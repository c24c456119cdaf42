//! The verdict as a record for machines; the field names are part of the interface.

use super::{Check, Figure, Tally, Verdict};
use crate::diagnostic::FindingRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// What `--format json` gives for a verified package.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct VerdictRecord {
    /// Version of this record; fields may be added without a new one.
    pub version: u32,
    /// The package.
    pub package: String,
    /// Whether no error was found.
    pub fine: bool,
    /// Kinds of checks, with how many were made.
    pub checks: Vec<CheckRecord>,
    /// Everything that was measured.
    pub figures: Vec<FigureRecord>,
    /// Names of control measurements that no file shows, since they lie on layers which are not printed.
    pub unprinted: Vec<String>,
    /// Everything that is wrong.
    pub findings: Vec<FindingRecord>,
}

/// How the checks of one kind went.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckRecord {
    /// `package`, `checksum`, `signature`, `promises`, `pdf`, `page-box`, `label`, `scale-mark`, `control`, `languages`, `sheets`, `joins`, `sizes`, `guides` or `markup`.
    pub check: String,
    /// Checks made.
    pub made: usize,
    /// Of these, checks that gave a finding.
    pub failed: usize,
    /// Largest difference between promised and measured, in mm; absent if nothing was measured.
    pub largest_deviation_mm: Option<f64>,
}

/// One length that was promised and measured.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FigureRecord {
    /// The kind of check.
    pub check: String,
    /// File in the package.
    pub file: String,
    /// Page, from 1; absent if the ends lie on different pages.
    pub page: Option<usize>,
    /// What was measured.
    pub what: String,
    /// The length it should have, in mm.
    pub promised_mm: f64,
    /// The length that was found, in mm.
    pub measured_mm: f64,
    /// How far off it may be, in mm.
    pub tolerance_mm: f64,
    /// Whether it is within the tolerance.
    pub fine: bool,
}

impl From<&Verdict> for VerdictRecord {
    fn from(verdict: &Verdict) -> Self {
        Self {
            version: 1,
            package: verdict.package.clone(),
            fine: verdict.is_fine(),
            checks: verdict.tallies.iter().map(|(&check, tally)| kind(verdict, check, tally)).collect(),
            figures: verdict.figures.iter().map(FigureRecord::from).collect(),
            unprinted: verdict.unprinted.clone(),
            findings: verdict.findings.iter().map(FindingRecord::from).collect(),
        }
    }
}

fn kind(verdict: &Verdict, check: Check, tally: &Tally) -> CheckRecord {
    let largest_deviation_mm = verdict.largest(check).map(|length| length.to_mm());
    CheckRecord { check: check.name().into(), made: tally.made, failed: tally.failed, largest_deviation_mm }
}

impl From<&Figure> for FigureRecord {
    fn from(figure: &Figure) -> Self {
        Self {
            check: figure.check.name().into(),
            file: figure.file.clone(),
            page: figure.page,
            what: figure.what.clone(),
            promised_mm: figure.promised.to_mm(),
            measured_mm: figure.measured.to_mm(),
            tolerance_mm: figure.tolerance.to_mm(),
            fine: figure.fine,
        }
    }
}
