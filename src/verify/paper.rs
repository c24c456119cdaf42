//! All checks of one paper's file: it is there, can be read, has the promised pages, and measures what it should.

use super::archive::Files;
use super::ink::Wanted;
use super::pdf::{self, Page, Reading};
use super::promises::{Paper, Press, Promises, Sheet, point};
use super::verdict::{Check, Verdict};
use super::{controls, marks, present};
use crate::diagnostic::{Diagnostic, counted};

/// Checks one paper.
pub(super) fn check(paper: &Paper, promises: &Promises, files: &Files, verdict: &mut Verdict) {
    verdict.judge(Check::Promises, present(&paper.file, files, verdict));
    let Some(bytes) = files.get(&paper.file) else { return };
    let unreadable = |why| {
        let finding = Diagnostic::error("pdf-unreadable", format!("the file cannot be read: {why}"));
        finding.at(verdict.place(&paper.file)).hint("build the package again")
    };
    let read = pdf::read(bytes, &wanted(paper, promises)).map_err(unreadable);
    let Some(reading) = verdict.take(Check::Pdf, read) else { return };
    // What was read is judged even if something is missing: a buyer of findings wants all of them at once.
    whole(paper, &reading, verdict);
    for (number, page) in (1..).zip(&reading.pages) {
        page.boxes.check(paper, number, verdict);
    }
    // A wide sheet comes alone and needs no label to find its place.
    if paper.press == Press::Home {
        labels(paper, promises, &reading.pages, verdict);
    }
    marks::check(paper, &reading.pages, verdict);
    controls::check(paper, promises, &reading.pages, verdict);
}

/// Which ends and lines matter, page by page.
fn wanted(paper: &Paper, promises: &Promises) -> Vec<Wanted> {
    let mut wanted = vec![Wanted::default(); paper.page_count()];
    for mark in &paper.scale_marks {
        if let Some(list) = mark.page.checked_sub(1).and_then(|index| wanted.get_mut(index)) {
            list.ends.extend([point(mark.from_mm), point(mark.to_mm)]);
        }
    }
    controls::want(paper, promises, &mut wanted);
    wanted
}

/// The file as a whole: nothing damaged or active, printing at 100 %, as many pages as promised.
fn whole(paper: &Paper, reading: &Reading, verdict: &mut Verdict) {
    for (code, message) in &reading.faults {
        verdict.judge(Check::Pdf, Err(Diagnostic::error(code, message).at(verdict.place(&paper.file))));
    }
    let scaled = || {
        let message = "the file does not ask to be printed at 100 %, so viewers may shrink it";
        Diagnostic::error("print-scaling", message).at(verdict.place(&paper.file)).hint("build the package again")
    };
    verdict.judge(Check::Pdf, reading.true_size.then_some(()).ok_or_else(scaled));
    let (found, promised) = (reading.pages.len(), paper.page_count());
    let miscounted = || {
        let message = format!("the file has {}, not {promised}", counted(found, "page"));
        Diagnostic::error("page-count", message).at(verdict.place(&paper.file)).hint("build the package again")
    };
    verdict.judge(Check::Promises, (found == promised).then_some(()).ok_or_else(miscounted));
}

fn labels(paper: &Paper, promises: &Promises, pages: &[Page], verdict: &mut Verdict) {
    for sheet in &paper.sheets {
        let Some(page) = sheet.page.checked_sub(1).and_then(|index| pages.get(index)) else { continue };
        let label = page.words.have_label(&sheet.label);
        verdict.judge(Check::Label, printed(label, "label", &sheet.label, paper, sheet, verdict));
        let edition = page.words.have_edition(&promises.edition);
        verdict.judge(Check::Label, printed(edition, "edition", &promises.edition, paper, sheet, verdict));
    }
}

fn printed(found: bool, what: &str, text: &str, paper: &Paper, sheet: &Sheet, verdict: &Verdict) -> Result<(), Diagnostic> {
    let missing = || {
        let message = format!("page {} does not carry its {what} `{text}` as text", sheet.page);
        Diagnostic::error("label-missing", message).at(verdict.place(&paper.file)).hint("build the package again")
    };
    found.then_some(()).ok_or_else(missing)
}
