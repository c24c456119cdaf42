//! A translator's bundle: the catalogue and all texts in the kit's folder, and no drawing among them.

use super::archive::Files;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use serde::Deserialize;

/// What stands for the drawing; by it a bundle is known.
const RECORD: &str = "bundle.json";
const MANIFEST: &str = "kit.yaml";

#[derive(Deserialize)]
struct Record {
    language: String,
}

#[derive(Deserialize)]
struct Manifest {
    drawing: Drawing,
}

#[derive(Deserialize)]
struct Drawing {
    file: String,
}

/// The kit's folder, if the files are those of a bundle.
pub(super) fn folder(files: &Files) -> Option<&str> {
    files.keys().filter_map(|name| name.strip_suffix(RECORD)?.strip_suffix('/')).find(|folder| !folder.contains('/'))
}

/// Checks a bundle.
pub(super) fn check(files: &Files, folder: &str, verdict: &mut Verdict) {
    let place = format!("{folder}/{RECORD}");
    for result in faults(files, folder) {
        verdict.judge(Check::Promises, result.map_err(|finding| finding.at(verdict.place(&place))));
    }
}

fn faults(files: &Files, folder: &str) -> Vec<Result<(), Diagnostic>> {
    let path = |name: &str| format!("{folder}/{name}");
    let bytes = |name: &str| files.get(&path(name)).map(|bytes| bytes.as_slice()).unwrap_or_default();
    let record: Result<Record, Diagnostic> =
        serde_json::from_slice(bytes(RECORD)).map_err(|error| error!("bundle-off/unreadable", file = RECORD, error));
    let manifest: Result<Manifest, Diagnostic> =
        serde_yaml::from_slice(bytes(MANIFEST)).map_err(|error| error!("bundle-off/unreadable", file = MANIFEST, error));
    let there =
        |name: String| files.contains_key(&path(&name)).then_some(()).ok_or_else(|| error!("bundle-off/lacks", file = name));
    let catalogue = record.and_then(|record| there(format!("languages/{}.po", record.language)));
    let drawing = manifest.and_then(|manifest| {
        let held = files.contains_key(&path(&manifest.drawing.file));
        if held { Err(error!("bundle-off", file = manifest.drawing.file)) } else { Ok(()) }
    });
    let pdf = files.keys().find(|name| name.to_lowercase().ends_with(".pdf"));
    let pdf = pdf.map_or(Ok(()), |name| Err(error!("bundle-off/pdf", file = name)));
    vec![catalogue, drawing, pdf]
}
