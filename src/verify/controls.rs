//! Control measurements: ends and lines found in the ink of all sheets, put back into the drawing, and measured there.

use super::ink::Wanted;
use super::pdf::Page;
use super::promises::{Control, Measure, Paper, Part, Promises, Sheet};
use super::trails::{self, Run, Trail, assembled};
use super::verdict::{Check, Figure, Verdict, exact};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use kurbo::Point;
use std::cell::Cell;

/// How far from a promised place an end or line is looked for, in mm.
const REACH: f64 = 0.5;
/// How far a found end or line may lie from its place if the length is right, in mm: more, and it is another one.
const MOVED: f64 = 0.05;
/// How far outside its tile an end may lie and still count, in mm: the error budget.
const TILE_SLACK: f64 = 0.01;
/// Segments that one paper's lines may be compared with: a hundred times those of the largest kit, and over in a minute.
const MOST_COMPARED: usize = 50_000_000;
/// How much better a line must fit its points to be taken before one of the promised length, in mm: the error budget.
const ALIKE: f64 = 0.01;

/// Adds to each page the places and lines of controls that should be there.
pub(super) fn want(paper: &Paper, promises: &Promises, wanted: &mut [Wanted]) {
    let tile = paper.tile().inflate(REACH, REACH);
    let parts: Vec<Part> = promises.controls.iter().filter(|control| paper.shows(control)).flat_map(Control::parts).collect();
    for sheet in &paper.sheets {
        let Some(list) = sheet.page.checked_sub(1).and_then(|index| wanted.get_mut(index)) else { continue };
        let shift = paper.move_of(sheet);
        for part in &parts {
            let points = part.points().map(|point| point + shift);
            if part.measure.is_along() {
                // A line may cross a sheet between two of its points.
                list.lines.extend(trails::around(points).filter(|area| area.overlaps(tile)));
            } else {
                // An end on a join may be shown by either sheet, or by both.
                list.ends.extend(points.filter(|place| tile.contains(*place)));
            }
        }
    }
}

/// One paper's pages, searched until it has taken too long.
struct Search<'a> {
    paper: &'a Paper,
    pages: &'a [Page],
    /// Segments that may still be compared with points.
    left: Cell<usize>,
}

/// Measures the controls on one paper; of a file for one size those that its buyers get.
pub(super) fn check(paper: &Paper, promises: &Promises, pages: &[Page], verdict: &mut Verdict) {
    let search = Search { paper, pages, left: Cell::new(MOST_COMPARED) };
    for control in promises.controls.iter().filter(|control| paper.shows(control)) {
        let parts = control.parts();
        // A promise that says nothing was told of when it was read.
        if parts.is_empty() {
            continue;
        }
        let found: Option<Vec<Found>> = parts.iter().map(|part| search.find(control, part)).collect();
        match found {
            Some(found) => measure(paper, control, &found, verdict),
            None => verdict.judge(Check::Control, Err(missing(paper, control, verdict))),
        }
    }
}

/// A part that was found.
#[derive(Clone, Copy)]
struct Found {
    /// Page from 1, if one shows all of it.
    page: Option<usize>,
    /// In mm; what is taken away is negative.
    length: f64,
    /// How far from its place, in mm.
    off: f64,
}

impl Search<'_> {
    fn find(&self, control: &Control, part: &Part) -> Option<Found> {
        let found = if part.measure.is_along() { self.line(control, part) } else { self.ends(part) }?;
        Some(if part.minus { Found { length: -found.length, ..found } } else { found })
    }

    /// The sheets that have a page.
    fn sheets(&self) -> impl Iterator<Item = (&Sheet, &Page)> {
        self.paper.sheets.iter().filter_map(|sheet| Some((sheet, self.pages.get(sheet.page.checked_sub(1)?)?)))
    }

    /// The distance between two ends.
    fn ends(&self, part: &Part) -> Option<Found> {
        let mut places = part.points();
        let (from, to) = (self.nearest(places.next()?)?, self.nearest(places.next()?)?);
        let way = to.at - from.at;
        let length = match part.measure {
            Measure::Width => way.x.abs(),
            Measure::Height => way.y.abs(),
            _ => way.hypot(),
        };
        Some(Found { page: (from.page == to.page).then_some(from.page), length, off: from.off.max(to.off) })
    }

    /// The ink nearest to a place of the drawing, on whatever sheet shows it.
    fn nearest(&self, place: Point) -> Option<End> {
        let tile = self.paper.tile().inflate(TILE_SLACK, TILE_SLACK);
        let on_sheet = |(sheet, page): (&Sheet, &Page)| -> Option<End> {
            let shift = self.paper.move_of(sheet);
            // Marks beside the tile belong to the sheet, not to the drawing.
            let shown = page.ends.iter().copied().filter(|end| tile.contains(*end));
            let ends = shown.map(|end| End { page: sheet.page, at: end - shift, off: (end - shift).distance(place) });
            ends.min_by(|a, b| a.off.total_cmp(&b.off))
        };
        let near = self.sheets().filter_map(on_sheet).filter(|found| found.off <= REACH);
        near.min_by(|a, b| a.off.total_cmp(&b.off))
    }

    /// The length along a line, put together from all sheets that show it.
    fn line(&self, control: &Control, part: &Part) -> Option<Found> {
        let runs: Vec<Run> = self.sheets().filter_map(|(sheet, page)| self.run(sheet, page, control, part)).collect();
        let (length, page) = assembled(&runs)?;
        Some(Found { page, length, off: runs.iter().map(|run| run.off).fold(0.0, f64::max) })
    }

    /// The line that lies nearest to a part's points on one sheet.
    fn run(&self, sheet: &Sheet, page: &Page, control: &Control, part: &Part) -> Option<Run> {
        let shift = self.paper.move_of(sheet);
        let tile = self.paper.tile().inflate(TILE_SLACK, TILE_SLACK) - shift;
        let wanted = trails::around(part.points().map(|point| point + shift))?;
        let near = page.trails.iter().filter(|trail| trails::may_hold(trail.bounds, wanted) && self.spend(trail));
        let runs: Vec<Run> = near.filter_map(|trail| Run::find(part, trail, sheet.page, shift, tile, REACH)).collect();
        let best = runs.iter().map(|run| run.off).reduce(f64::min)?;
        // Lines of two sizes may share their course and differ in a notch: one of them has the promised length.
        let wrong = |run: &Run| (run.length - control.promised_mm.abs()).abs();
        runs.into_iter().filter(|run| run.off <= best + ALIKE).min_by(|a, b| wrong(a).total_cmp(&wrong(b)))
    }

    /// Whether there is time for one more line.
    fn spend(&self, trail: &Trail) -> bool {
        let left = self.left.get().checked_sub(trail.segments.len());
        self.left.set(left.unwrap_or(0));
        left.is_some()
    }
}

/// An end that was found.
#[derive(Clone, Copy)]
struct End {
    page: usize,
    /// In the drawing.
    at: Point,
    /// How far from its place, in mm.
    off: f64,
}

fn measure(paper: &Paper, control: &Control, found: &[Found], verdict: &mut Verdict) {
    let figure = figure(paper, control, found);
    let fine = figure.fine;
    verdict.measure(figure, code!("control-off"), words!("keep-back"));
    let moved = found.iter().map(|found| found.off).fold(0.0, f64::max);
    if fine && moved > MOVED {
        verdict.judge(
            Check::Control,
            Err(error!("control-moved", name = control.name, moved = exact(Length::mm(moved))).at(verdict.place(&paper.file))),
        );
    }
}

fn figure(paper: &Paper, control: &Control, found: &[Found]) -> Figure {
    let measured = Length::mm(found.iter().map(|found| found.length).sum());
    let (promised, tolerance) = (Length::mm(control.promised_mm), Length::mm(control.tolerance_mm));
    let same = found.iter().map(|found| found.page).reduce(|a, b| a.filter(|_| a == b)).flatten();
    let (file, what, fine) = (paper.file.clone(), control.name.clone(), measured.within(promised, tolerance));
    Figure { check: Check::Control, file, page: same, what, promised, measured, tolerance, fine }
}

fn missing(paper: &Paper, control: &Control, verdict: &Verdict) -> Diagnostic {
    error!("control-missing", name = control.name).at(verdict.place(&paper.file))
}
