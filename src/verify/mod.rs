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
mod boxes;
mod controls;
mod ink;
mod lines;
mod marks;
mod markup;
mod names;
mod paper;
mod pdf;
mod promises;
mod record;
mod sums;
mod trails;
mod verdict;
mod words;

#[cfg(test)]
mod tests;

pub use record::{CheckRecord, FigureRecord, VerdictRecord};
pub use verdict::{Check, Figure, Tally, Verdict};

use crate::diagnostic::Diagnostic;
use archive::Files;
use promises::Promises;

/// Verifies a package from the bytes of its zip; `name` is what findings call it. Never panics, never touches the disk.
pub fn package(name: &str, bytes: &[u8]) -> Verdict {
    let mut verdict = Verdict::new(name);
    if let Some(files) = archive::unpack(bytes, &mut verdict) {
        check(&files, &mut verdict);
    }
    verdict
}

/// Verifies a package that has been unpacked already, as the names and bytes of its files.
pub fn entries(name: &str, list: Vec<(String, Vec<u8>)>) -> Verdict {
    let mut verdict = Verdict::new(name);
    if let Some(files) = archive::gather(list, &mut verdict) {
        check(&files, &mut verdict);
    }
    verdict
}

fn check(files: &Files, verdict: &mut Verdict) {
    sums::check(files, verdict);
    markup::check(files, verdict);
    let Some(promises) = promises::read(files, verdict) else { return };
    guides(&promises, files, verdict);
    for paper in &promises.papers {
        paper::check(paper, &promises, files, verdict);
        alike::check(paper, &promises, files, verdict);
    }
    unmeasured(&promises, files, verdict);
}

/// A buyer of every promised language finds a guide.
fn guides(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    for language in &promises.languages {
        let file = format!("{}-{}-guide-{language}.html", promises.kit, promises.edition);
        verdict.judge(Check::Promises, present(&file, files, verdict));
    }
}

fn present(file: &str, files: &Files, verdict: &Verdict) -> Result<(), Diagnostic> {
    let missing = || {
        Diagnostic::error("file-missing", format!("`{file}` is promised, but the package does not hold it"))
            .at(verdict.place(promises::FILE))
            .hint("build the package again")
    };
    files.contains_key(file).then_some(()).ok_or_else(missing)
}

/// A PDF that no paper promises was measured by nobody; whoever sells it should know.
fn unmeasured(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    let promised = |file: &str| promises.papers.iter().any(|paper| paper.file == file);
    for file in files.keys().filter(|file| file.to_lowercase().ends_with(".pdf") && !promised(file)) {
        let finding = Diagnostic::warning("file-unmeasured", "no paper promises this file, so nothing in it was measured");
        let finding = finding.at(verdict.place(file)).hint(format!("name it in `{}` or leave it out", promises::FILE));
        verdict.judge(Check::Promises, Err(finding));
    }
}
