//! Findings as records for machines; the field names are part of the interface and versioned with the outputs that hold them.

use super::{Diagnostic, Place, Severity, sections};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One finding as `--format json` gives it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FindingRecord {
    /// `error` or `warning`.
    pub severity: String,
    /// Stable name of the kind of finding.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// File, relative to the kit where possible.
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<u32>,
    /// Column in characters, from 1.
    pub column: Option<u32>,
    /// Element of a drawing, by its visible name or id.
    pub element: Option<String>,
    /// What to do, one sentence each.
    pub hints: Vec<String>,
}

impl From<&Diagnostic> for FindingRecord {
    fn from(finding: &Diagnostic) -> Self {
        let place = finding.place.clone();
        let severity = match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        Self {
            severity: severity.into(),
            code: finding.code.into(),
            message: finding.message.clone(),
            file: place.as_ref().map(|p| p.file.clone()),
            line: place.as_ref().and_then(|p| p.line),
            column: place.as_ref().and_then(|p| p.column),
            element: place.and_then(|p| p.element),
            hints: finding.hints.clone(),
        }
    }
}

impl FindingRecord {
    /// The finding that it records; nothing if this program knows no such kind of finding.
    pub fn finding(&self) -> Option<Diagnostic> {
        let code = sections().iter().flat_map(|section| &section.codes).find(|told| told.code == self.code)?.code;
        let severity = if self.severity == "error" { Severity::Error } else { Severity::Warning };
        let Self { message, line, column, element, hints, .. } = self.clone();
        let place = self.file.clone().map(|file| Place { file, line, column, element });
        Some(Diagnostic { severity, code, message, place, hints })
    }
}
