//! The inspector: measures a finished package again, from its bytes alone.
//!
//! It shares only `units` and `diagnostic` with the makers and reads PDFs through another crate than the one that writes
//! them, so that one mistake cannot hide on both sides. What the package promises stands in its `promises.json`; every
//! promise is looked for in the files themselves and measured there. Nothing is unpacked to disk.

// A finding is the usual outcome here, made once and moved once: boxing it would save nothing.
#![allow(clippy::result_large_err)]

mod active;
mod alike;
mod archive;
mod assembly;
mod boxes;
mod bundle;
mod changes;
mod compared;
mod controls;
mod cover;
mod delta;
mod guides;
mod ink;
mod joins;
mod maps;
mod mark;
mod marks;
mod markup;
mod names;
mod paper;
mod pdf;
mod promises;
mod record;
mod report;
mod sheets;
mod signature;
mod sizes;
mod sums;
mod svg;
mod trails;
mod verdict;
mod words;

#[cfg(test)]
mod tests;

pub use changes::page as changes_page;
pub use changes::{Changes, ChangesRecord, ControlChange, GuideChange, Lines, Listed, Opened, PaperChange, SheetChange};
pub use record::{CheckRecord, FigureRecord, VerdictRecord};
pub use report::report;
pub use verdict::{Check, Figure, Picture, Tally, Verdict};

use crate::diagnostic::Diagnostic;
use archive::Files;
use promises::Promises;

/// Verifies a package from the bytes of its zip; `name` is what findings call it. With the text of a public key, the package
/// must be signed by it. Never panics, never touches the disk.
pub fn package(name: &str, bytes: &[u8], key: Option<&str>) -> Verdict {
    let mut verdict = Verdict::new(name);
    if let Some(files) = archive::unpack(bytes, &mut verdict) {
        check(&files, key, &mut verdict);
    }
    verdict
}

/// Verifies a package that has been unpacked already, as the names and bytes of its files.
pub fn entries(name: &str, list: Vec<(String, Vec<u8>)>, key: Option<&str>) -> Verdict {
    let mut verdict = Verdict::new(name);
    if let Some(files) = archive::gather(list, &mut verdict) {
        check(&files, key, &mut verdict);
    }
    verdict
}

fn check(files: &Files, key: Option<&str>, verdict: &mut Verdict) {
    sums::check(files, verdict);
    signature::check(files, key, verdict);
    markup::check(files, verdict);
    if let Some(folder) = bundle::folder(files) {
        return bundle::check(files, folder, verdict);
    }
    if delta::is_one(files) {
        return delta::check(files, verdict);
    }
    for name in files.keys().filter(|name| names::in_folder(name)) {
        verdict.judge(Check::Package, Err(error!("package-name/check", name).at(verdict.place(name))));
    }
    let Some(promises) = promises::read(files, verdict) else { return };
    verdict.unprinted.clone_from(&promises.unprinted);
    languages(&promises, files, verdict);
    let reference = sheets::Reference::of(&promises, files);
    for paper in &promises.papers {
        let reading = paper::check(paper, &promises, files, verdict);
        alike::check(paper, &promises, files, verdict);
        if let Some(reading) = reading {
            let shown = assembly::shown(paper, &reading.pages);
            reference.iter().for_each(|reference| compared::check(paper, &shown, reference, verdict));
            sizes::check(paper, &shown, verdict);
            joins::check(paper, &reading.pages, verdict);
        }
        reference.iter().for_each(|reference| svg::check(paper, files, reference, verdict));
    }
    called(&promises.kit, &promises.edition, files, verdict);
    guides::check(&promises, files, verdict);
    guides::read_mes(&promises, files, verdict);
    unmeasured(&promises, files, verdict);
}

/// A buyer of every promised language finds a guide.
fn languages(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    for language in &promises.languages {
        verdict.judge(Check::Promises, present(&promises.guide(language), files, verdict));
    }
}

fn present(file: &str, files: &Files, verdict: &Verdict) -> Result<(), Diagnostic> {
    let missing = || error!("file-missing", file).at(verdict.place(promises::FILE));
    files.contains_key(file).then_some(()).ok_or_else(missing)
}

/// Files that buyers open are named after kit and edition, so that two editions never mix in one folder.
fn called(kit: &str, edition: &str, files: &Files, verdict: &mut Verdict) {
    let beginning = format!("{kit}-{edition}-");
    let opened = |name: &&String| [".pdf", ".svg", ".html"].iter().any(|ending| name.to_lowercase().ends_with(ending));
    for name in files.keys().filter(opened) {
        let fault = || error!("package-name/kit", name, beginning).at(verdict.place(name));
        verdict.judge(Check::Promises, name.starts_with(&beginning).then_some(()).ok_or_else(fault));
    }
}

/// A PDF that no paper promises was measured by nobody; whoever sells it should know.
fn unmeasured(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    let promised = |file: &str| promises.papers.iter().any(|paper| paper.file == file);
    for file in files.keys().filter(|file| file.to_lowercase().ends_with(".pdf") && !promised(file)) {
        verdict.judge(Check::Promises, Err(warning!("file-unmeasured", file = promises::FILE).at(verdict.place(file))));
    }
}
