//! Joins: the marks of two neighbours, found in the ink along their common edge, close to each other and bear one number.

use super::mark::{Mark, Part};
use super::pdf::Page;
use super::promises::{Paper, Sheet, rect};
use super::verdict::{Check, Figure, Verdict, exact};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use kurbo::{ParamCurve, PathSeg, Point, Rect, Vec2};

/// How far two halves may be from meeting, in mm: the error budget.
const OFF: f64 = 0.01;
/// How far from the edge a foot is looked for, in mm: lines of marks are a millimetre apart.
const NEAR_EDGE: f64 = 0.6;
/// How far from a corner the lines are those of the corner's own cross, in mm.
const CORNER: f64 = 0.5;
/// How far from a mark's middle its number and the neighbour's name begin at most, in mm.
const NEARBY: f64 = 12.0;
/// Feet that a mark has at least: a ring's two ends and one line.
const FEWEST: usize = 3;

/// Judges all joins of one paper.
pub(super) fn check(paper: &Paper, pages: &[Page], verdict: &mut Verdict) {
    for first in &paper.sheets {
        let right = |other: &&Sheet| other.row == first.row && other.column == first.column + 1;
        let below = |other: &&Sheet| other.column == first.column && other.row == first.row + 1;
        let right = paper.sheets.iter().find(right).map(|second| (second, false));
        let below = paper.sheets.iter().find(below).map(|second| (second, true));
        for (second, level) in right.into_iter().chain(below) {
            Join { paper, first, second, level }.judge(pages, verdict);
        }
    }
}

/// The common edge of two neighbours.
struct Join<'a> {
    paper: &'a Paper,
    first: &'a Sheet,
    second: &'a Sheet,
    /// Whether the second lies below the first, not beside it.
    level: bool,
}

impl Join<'_> {
    fn judge(&self, pages: &[Page], verdict: &mut Verdict) {
        let page = |sheet: &Sheet| sheet.page.checked_sub(1).and_then(|index| pages.get(index));
        let (Some(one), Some(two)) = (page(self.first), page(self.second)) else { return };
        let (mine, theirs) = (self.feet(one, self.first), self.feet(two, self.second));
        let off = match mine.len() == theirs.len() && mine.len() >= FEWEST {
            true => mine.iter().zip(&theirs).map(|(one, two)| (*one - *two).hypot()).fold(0.0, f64::max),
            false => f64::INFINITY,
        };
        let (check, tolerance) = (Check::Joins, Length::mm(OFF));
        if off.is_finite() {
            let what = say!("marks-between", first = self.first.label, second = self.second.label);
            let (file, measured) = (self.paper.file.clone(), Length::mm(off));
            let figure =
                Figure { check, file, page: None, what, promised: Length::ZERO, measured, tolerance, fine: off <= OFF };
            verdict.figures.push(figure);
        }
        let how = match off {
            off if off <= OFF => None,
            off if off.is_finite() => Some(say!("marks-miss", by = exact(Length::mm(off)))),
            _ => Some(say!("marks-do-not-pair", one = mine.len(), other = theirs.len())),
        };
        verdict.judge(check, self.refused(how, verdict));
        // In a flat file numbers are outlines, which nobody can read.
        if !self.paper.is_redrawn() {
            verdict.judge(check, self.refused(self.misnumbered(one, two, &mine), verdict));
        }
    }

    fn refused(&self, how: Option<String>, verdict: &Verdict) -> Result<(), Diagnostic> {
        how.map_or(Ok(()), |how| {
            Err(error!("join-off", label = self.first.label, second = self.second.label, how)
                .at(verdict.place(&self.paper.file)))
        })
    }

    /// The edge on the page of one of the two.
    fn edge(&self, sheet: &Sheet) -> f64 {
        let tile = self.paper.tile();
        match (self.level, sheet.page == self.first.page) {
            (true, true) => tile.y1,
            (true, false) => tile.y0,
            (false, true) => tile.x1,
            (false, false) => tile.x0,
        }
    }

    /// Where lines of marks end on the edge: along it in the drawing, rising, and how far beyond it.
    fn feet(&self, page: &Page, sheet: &Sheet) -> Vec<Point> {
        let (edge, tile) = (self.edge(sheet), self.paper.tile());
        let (start, end) = if self.level { (tile.x0, tile.x1) } else { (tile.y0, tile.y1) };
        let area = rect(sheet.area_mm);
        let shift = if self.level { area.x0 - tile.x0 } else { area.y0 - tile.y0 };
        // Trim lines and the short lines at corners run along the edge; lines of marks end on it.
        let runs_along = |reach: Rect| (if self.level { reach.height() } else { reach.width() }) <= NEAR_EDGE;
        let lines = page.marks.iter().filter(|mark| mark.part == Part::Frame && mark.pen.width.is_some());
        let within = lines.map(|mark| (mark, mark.path.control_box())).filter(|(_, reach)| lies_in(*reach, tile));
        let ends = within.filter(|(_, reach)| !runs_along(*reach)).flat_map(|(mark, _)| ends(mark));
        let along = |end: &Point| if self.level { end.x } else { end.y };
        let away = |end: &Point| if self.level { end.y } else { end.x };
        let on_edge = ends.map(|end| Point::new(along(&end), away(&end) - edge)).filter(|foot| foot.y.abs() <= NEAR_EDGE);
        let inner = on_edge.filter(|foot| foot.x > start + CORNER && foot.x < end - CORNER);
        let mut feet: Vec<Point> = inner.map(|foot| foot + Vec2::new(shift, 0.0)).collect();
        feet.sort_by(|a, b| a.x.total_cmp(&b.x));
        feet
    }

    /// Each sheet names the other beside the marks, and both bear the same number.
    fn misnumbered(&self, one: &Page, two: &Page, feet: &[Point]) -> Option<String> {
        let (mine, theirs) = (self.words(one, self.first, feet), self.words(two, self.second, feet));
        let number = |word: &&String| word.chars().all(|c| c.is_ascii_digit());
        if !mine.contains(&self.second.label) || !theirs.contains(&self.first.label) {
            return Some(words!("marks-do-not-name").into());
        }
        let common = mine.iter().filter(number).any(|word| theirs.contains(word));
        (!common).then(|| words!("marks-differ").into())
    }

    /// Words beside the marks.
    fn words(&self, page: &Page, sheet: &Sheet, feet: &[Point]) -> Vec<String> {
        let (edge, area, tile) = (self.edge(sheet), rect(sheet.area_mm), self.paper.tile());
        let place = |foot: &Point| match self.level {
            true => Point::new(foot.x - area.x0 + tile.x0, edge),
            false => Point::new(edge, foot.x - area.y0 + tile.y0),
        };
        let places: Vec<Point> = feet.iter().map(place).collect();
        let near = |at: Point| tile.contains(at) && places.iter().any(|place| place.distance(at) <= NEARBY);
        page.words.runs().filter(|(at, _)| near(*at)).map(|(_, text)| text.trim().to_owned()).collect()
    }
}

/// Whether a line lies on the tile, not beyond it.
fn lies_in(reach: Rect, tile: Rect) -> bool {
    let room = tile.inflate(NEAR_EDGE, NEAR_EDGE);
    room.union(reach) == room
}

fn ends(mark: &Mark) -> Vec<Point> {
    let segments: Vec<PathSeg> = mark.path.segments().collect();
    let first = segments.first().map(PathSeg::start);
    first.into_iter().chain(segments.last().map(PathSeg::end)).collect()
}
