//! Files of another language against those of the source language: the same pages, the same sheets, the same lines; what
//! differs can only be words.

use super::archive::Files;
use super::mark::{Mark, Part};
use super::pdf::{self, Page};
use super::promises::{FILE, Paper, Press, Promises, Sheet};
use super::verdict::{Check, Verdict};
use crate::diagnostic::{Diagnostic, counted};
use kurbo::Rect;

/// How far a line may be off, in mm: the error budget.
const OFF: f64 = 0.01;

/// Compares one paper's file, if it is one of another language.
pub(super) fn check(paper: &Paper, promises: &Promises, files: &Files, verdict: &mut Verdict) {
    let Some(language) = &paper.language else { return };
    let twin = promises.papers.iter().find(|other| other.language.is_none() && spoken(&other.file, language) == paper.file);
    let alone = || error!("promises-bad", file = paper.file).at(verdict.place(FILE));
    let Some(twin) = verdict.take(Check::Languages, twin.ok_or_else(alone)) else { return };
    verdict.judge(Check::Languages, same_plan(paper, twin, verdict));
    // A file that is missing or cannot be read is told where it is looked for first.
    let read = |paper: &Paper| files.get(&paper.file).and_then(|bytes| pdf::read(bytes, &[]).ok());
    let (Some(mine), Some(theirs)) = (read(paper), read(twin)) else { return };
    let pages = (1..).zip(mine.pages.iter().zip(&theirs.pages));
    for (number, (mine, theirs)) in pages.filter(|(number, _)| paper.check_page != Some(*number)) {
        verdict.judge(
            Check::Languages,
            same_lines(number, paper.tile(), mine, theirs).map_err(|why| differs(paper, twin, &why, verdict)),
        );
    }
}

/// The name of a file in a language.
fn spoken(file: &str, language: &str) -> String {
    file.strip_suffix(".pdf").map_or_else(|| file.to_owned(), |stem| format!("{stem}-{language}.pdf"))
}

fn differs(paper: &Paper, twin: &Paper, why: &str, verdict: &Verdict) -> Diagnostic {
    error!("language-differs", file = twin.file, why).at(verdict.place(&paper.file))
}

/// As many pages of the same size, with the same parts of the drawing on them.
fn same_plan(paper: &Paper, twin: &Paper, verdict: &Verdict) -> Result<(), Diagnostic> {
    // The label of a page for projecting is in words.
    let label = |sheet: &Sheet| Some(sheet.label.clone()).filter(|_| paper.press == Press::Home);
    let sheets = |paper: &Paper| -> Vec<_> {
        paper.sheets.iter().map(|sheet| (label(sheet), sheet.page, sheet.row, sheet.column, sheet.area_mm)).collect()
    };
    let place = |paper: &Paper| (paper.width_mm, paper.height_mm, paper.origin_mm, paper.tile_mm, paper.page_count());
    let same = place(paper) == place(twin) && sheets(paper) == sheets(twin);
    same.then_some(()).ok_or_else(|| differs(paper, twin, words!("plan-is-another-one"), verdict))
}

/// Whether a mark is the same in every language: words are not, nor are fills of the frame, among which are letters, nor what
/// lies in the border, where hatching leaves room for words.
fn is_line(mark: &Mark, tile: Rect) -> bool {
    let room = tile.inflate(OFF, OFF);
    match mark.part {
        Part::Drawing => true,
        Part::Frame => mark.pen.width.is_some() && room.union(mark.path.control_box()) == room,
        Part::Words | Part::Names => false,
    }
}

/// The same lines and areas in the same order.
fn same_lines(number: usize, tile: Rect, mine: &Page, theirs: &Page) -> Result<(), String> {
    let lines = |page: &Page| page.marks.iter().filter(|mark| is_line(mark, tile)).cloned().collect::<Vec<Mark>>();
    let (mine, theirs) = (lines(mine), lines(theirs));
    if mine.len() != theirs.len() {
        let (mine, theirs) = (counted(mine.len(), "line"), theirs.len());
        return Err(say!("page-has", page = number, mine, theirs));
    }
    let off = |(mine, theirs): (&Mark, &Mark)| mine.off(theirs).max(mine.pen.off(&theirs.pen)).max(mine.clip_off(theirs));
    match mine.iter().zip(&theirs).map(off).fold(0.0, f64::max) {
        off if off <= OFF => Ok(()),
        off if off.is_finite() => Err(say!("line-is-off", page = number, off = format_args!("{off:.2}"))),
        _ => Err(say!("line-on-page", page = number)),
    }
}
