//! A delta: guides and corrected sheets for buyers of an earlier edition; without that edition's package nothing can be laid
//! over the drawing, but every file must be whole, safe and of one kit and edition.

use super::archive::Files;
use super::pdf;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use serde::Deserialize;

/// By it a delta is known.
const RECORD: &str = "delta.json";

#[derive(Deserialize)]
struct Record {
    kit: String,
    edition: String,
}

/// Whether the files are those of a delta.
pub(super) fn is_one(files: &Files) -> bool {
    files.contains_key(RECORD)
}

/// Checks a delta.
pub(super) fn check(files: &Files, verdict: &mut Verdict) {
    let bytes = files.get(RECORD).map(|bytes| bytes.as_slice()).unwrap_or_default();
    let read: Result<Record, Diagnostic> = serde_json::from_slice(bytes)
        .map_err(|error| error!("bundle-off/unreadable", file = RECORD, error).at(verdict.place(RECORD)));
    let Some(record) = verdict.take(Check::Promises, read) else { return };
    super::called(&record.kit, &record.edition, files, verdict);
    for (name, bytes) in files.iter().filter(|(name, _)| name.to_lowercase().ends_with(".pdf")) {
        let unreadable = |why| error!("pdf-unreadable", why).at(verdict.place(name));
        let Some(reading) = verdict.take(Check::Pdf, pdf::read(bytes, &[]).map_err(unreadable)) else { continue };
        for finding in reading.faults {
            verdict.judge(Check::Pdf, Err(finding.at(verdict.place(name))));
        }
        let scaled = || error!("print-scaling").at(verdict.place(name));
        verdict.judge(Check::Pdf, reading.true_size.then_some(()).ok_or_else(scaled));
    }
}
