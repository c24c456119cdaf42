//! All checks of one paper's file: it is there, can be read, has the promised pages, and measures what it should.

use super::archive::Files;
use super::ink::Wanted;
use super::pdf::{self, Page, Reading};
use super::promises::{Paper, Press, Promises, Sheet, point};
use super::verdict::{Check, Verdict};
use super::{controls, maps, marks, present};
use crate::diagnostic::{Diagnostic, counted};

/// The part of a tile that white grounds of plates and marks stay well below.
const WHITE: f64 = 0.25;

/// Checks one paper, and gives what was read of it.
pub(super) fn check(paper: &Paper, promises: &Promises, files: &Files, verdict: &mut Verdict) -> Option<Reading> {
    verdict.judge(Check::Promises, present(&paper.file, files, verdict));
    let bytes = files.get(&paper.file)?;
    let unreadable = |why| error!("pdf-unreadable", why).at(verdict.place(&paper.file));
    let read = pdf::read(bytes, &wanted(paper, promises)).map_err(unreadable);
    let reading = verdict.take(Check::Pdf, read)?;
    // What was read is judged even if something is missing: a buyer of findings wants all of them at once.
    whole(paper, &reading, verdict);
    for (number, page) in (1..).zip(&reading.pages) {
        page.boxes.check(paper, number, verdict);
    }
    // A wide sheet comes alone and needs no label to find its place.
    if paper.press == Press::Home {
        labels(paper, promises, &reading.pages, verdict);
        // Corrections keep the map of the whole paper.
        if !paper.is_partial() {
            maps::check(paper, &reading.pages, verdict);
        }
    }
    covered(paper, &reading.pages, verdict);
    marks::check(paper, &reading.pages, verdict);
    controls::check(paper, promises, &reading.pages, verdict);
    Some(reading)
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
    for finding in &reading.faults {
        verdict.judge(Check::Pdf, Err(finding.clone().at(verdict.place(&paper.file))));
    }
    let scaled = || error!("print-scaling").at(verdict.place(&paper.file));
    verdict.judge(Check::Pdf, reading.true_size.then_some(()).ok_or_else(scaled));
    let (found, promised) = (reading.pages.len(), paper.page_count());
    let miscounted = || error!("page-count", pages = counted(found, "page"), promised).at(verdict.place(&paper.file));
    verdict.judge(Check::Promises, (found == promised).then_some(()).ok_or_else(miscounted));
}

/// White ground beneath a mark is as small as the mark; more of it hides the drawing.
fn covered(paper: &Paper, pages: &[Page], verdict: &mut Verdict) {
    let most = paper.tile().area() * WHITE;
    for (number, _) in (1..).zip(pages).filter(|(_, page)| page.whites.iter().any(|white| white.area() > most)) {
        verdict.judge(Check::Sheets, Err(error!("ink-covered", number).at(verdict.place(&paper.file))));
    }
}

fn labels(paper: &Paper, promises: &Promises, pages: &[Page], verdict: &mut Verdict) {
    for sheet in &paper.sheets {
        let Some(page) = sheet.page.checked_sub(1).and_then(|index| pages.get(index)) else { continue };
        let label = page.words.have_label(&sheet.label);
        verdict.judge(Check::Label, printed(label, "label", &sheet.label, paper, sheet, verdict));
        // Titles may be translated with the drawing's words.
        let title = paper.language.is_some() || page.words.have_title(&promises.title);
        verdict.judge(Check::Label, printed(title, "title", &promises.title, paper, sheet, verdict));
        let edition = page.words.have_edition(&promises.edition);
        verdict.judge(Check::Label, printed(edition, "edition", &promises.edition, paper, sheet, verdict));
    }
}

fn printed(found: bool, what: &str, text: &str, paper: &Paper, sheet: &Sheet, verdict: &Verdict) -> Result<(), Diagnostic> {
    let missing = || error!("label-missing", page = sheet.page, what, text).at(verdict.place(&paper.file));
    found.then_some(()).ok_or_else(missing)
}
