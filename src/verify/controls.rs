//! Control measurements: ends found in the ink of all sheets, put back into the drawing, and measured there.

use super::pdf::Page;
use super::promises::{Control, Paper, Promises, point};
use super::verdict::{Check, Figure, Verdict, exact};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use kurbo::Point;

/// How far from a promised place an end is looked for, in mm.
const REACH: f64 = 0.5;
/// How far a found end may lie from its place if the length is right, in mm: more, and it is another line.
const MOVED: f64 = 0.05;
/// How far outside its tile an end may lie and still count, in mm: the error budget.
const TILE_SLACK: f64 = 0.01;

/// Adds to each page the places where ends of controls should lie.
pub(super) fn want(paper: &Paper, promises: &Promises, wanted: &mut [Vec<Point>]) {
    let tile = paper.tile().inflate(REACH, REACH);
    for sheet in &paper.sheets {
        let Some(list) = sheet.page.checked_sub(1).and_then(|index| wanted.get_mut(index)) else { continue };
        // An end on a join may be shown by either sheet, or by both.
        let ends = promises.controls.iter().flat_map(|control| [control.from_mm, control.to_mm]);
        list.extend(ends.map(|end| point(end) + paper.move_of(sheet)).filter(|place| tile.contains(*place)));
    }
}

/// Measures the controls on one paper. Files of one size are spared: the same paper's file with all sizes has them.
pub(super) fn check(paper: &Paper, promises: &Promises, pages: &[Page], verdict: &mut Verdict) {
    if paper.one_of_many_sizes {
        return;
    }
    for control in &promises.controls {
        let find = |end| nearest(paper, pages, point(end));
        match (find(control.from_mm), find(control.to_mm)) {
            (Some(from), Some(to)) => measure(paper, control, from, to, verdict),
            _ => verdict.judge(Check::Control, Err(missing(paper, control, verdict))),
        }
    }
}

/// An end that was found.
#[derive(Clone, Copy)]
struct Found {
    page: usize,
    /// In the drawing.
    at: Point,
    /// How far from its place, in mm.
    off: f64,
}

/// The ink nearest to a place of the drawing, on whatever sheet shows it.
fn nearest(paper: &Paper, pages: &[Page], place: Point) -> Option<Found> {
    let tile = paper.tile().inflate(TILE_SLACK, TILE_SLACK);
    let on_sheet = |sheet: &super::promises::Sheet| {
        let (page, shift) = (sheet.page, paper.move_of(sheet));
        let ends = page.checked_sub(1).and_then(|index| pages.get(index)).map_or(&[][..], |page| &page.ends);
        // Marks beside the tile belong to the sheet, not to the drawing.
        let shown = ends.iter().copied().filter(move |end| tile.contains(*end));
        shown.map(move |end| Found { page, at: end - shift, off: (end - shift).distance(place) })
    };
    let near = paper.sheets.iter().flat_map(on_sheet).filter(|found| found.off <= REACH);
    near.min_by(|a, b| a.off.total_cmp(&b.off))
}

fn measure(paper: &Paper, control: &Control, from: Found, to: Found, verdict: &mut Verdict) {
    let figure = figure(paper, control, from, to);
    let fine = figure.fine;
    verdict.measure(figure, code!("control-off"), words!("keep-back"));
    let moved = from.off.max(to.off);
    if fine && moved > MOVED {
        verdict.judge(
            Check::Control,
            Err(error!("control-moved", name = control.name, moved = exact(Length::mm(moved))).at(verdict.place(&paper.file))),
        );
    }
}

fn figure(paper: &Paper, control: &Control, from: Found, to: Found) -> Figure {
    let (promised, measured) = (Length::mm(control.promised_mm), Length::mm(from.at.distance(to.at)));
    let tolerance = Length::mm(control.tolerance_mm);
    let (fine, page) = (measured.within(promised, tolerance), (from.page == to.page).then_some(from.page));
    let (file, what) = (paper.file.clone(), control.name.clone());
    Figure { check: Check::Control, file, page, what, promised, measured, tolerance, fine }
}

fn missing(paper: &Paper, control: &Control, verdict: &Verdict) -> Diagnostic {
    error!("control-missing", name = control.name).at(verdict.place(&paper.file))
}
