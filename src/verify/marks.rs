//! Printed scale marks: found where line ends stand, and measured between what was found.

use super::pdf::Page;
use super::promises::{Paper, ScaleMark, point};
use super::verdict::{Check, Figure, Verdict, exact};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use kurbo::Point;

/// How far a found end may stand from where it was promised, in mm. A rule has a stroke every millimetre: shrunk by a
/// hundredth, its next stroke would stand for the right one.
const MOVED: f64 = 0.05;

/// Measures the marks of one paper.
pub(super) fn check(paper: &Paper, pages: &[Page], verdict: &mut Verdict) {
    if paper.scale_marks.is_empty() {
        verdict.judge(Check::ScaleMark, Err(warning!("scale-mark-missing").at(verdict.place(&paper.file))));
    }
    for mark in &paper.scale_marks {
        let ends = mark.page.checked_sub(1).and_then(|index| pages.get(index)).map_or(&[][..], |page| &page.ends);
        let found = (nearest(ends, point(mark.from_mm)), nearest(ends, point(mark.to_mm)));
        match found {
            (Some(from), Some(to)) => measure(paper, mark, from, to, verdict),
            _ => verdict.judge(Check::ScaleMark, Err(missing(paper, mark, verdict))),
        }
    }
}

fn measure(paper: &Paper, mark: &ScaleMark, from: Point, to: Point, verdict: &mut Verdict) {
    let figure = figure(paper, mark, from.distance(to));
    // A wrong length says enough; that one of its ends is elsewhere would be the same finding twice.
    let fine = figure.fine;
    verdict.measure(figure, code!("scale-off"), words!("trusted-mark"));
    let moved = from.distance(point(mark.from_mm)).max(to.distance(point(mark.to_mm)));
    if fine && moved > MOVED {
        let moved = exact(Length::mm(moved));
        verdict.judge(
            Check::ScaleMark,
            Err(error!("scale-mark-moved", what = mark.what, page = mark.page, moved).at(verdict.place(&paper.file))),
        );
    }
}

fn figure(paper: &Paper, mark: &ScaleMark, measured: f64) -> Figure {
    let (promised, measured) = (Length::mm(mark.length_mm), Length::mm(measured));
    let tolerance = Length::mm(mark.tolerance_mm);
    let (fine, file, what) = (measured.within(promised, tolerance), paper.file.clone(), mark.what.clone());
    Figure { check: Check::ScaleMark, file, page: Some(mark.page), what, promised, measured, tolerance, fine }
}

fn missing(paper: &Paper, mark: &ScaleMark, verdict: &Verdict) -> Diagnostic {
    error!("scale-mark-missing/lost", what = mark.what, page = mark.page).at(verdict.place(&paper.file))
}

/// The end nearest to a place, of those that were kept.
pub(super) fn nearest(ends: &[Point], place: Point) -> Option<Point> {
    let near = ends.iter().copied().filter(|end| end.distance(place) <= super::ink::REACH);
    near.min_by(|a, b| a.distance_squared(place).total_cmp(&b.distance_squared(place)))
}
