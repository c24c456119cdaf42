//! The sheets of every paper, put together, against the drawing as the largest sheets of the package show it: the same
//! marks in the same places, none missing, none more.

use super::archive::Files;
use super::assembly::{Assembly, Laid, Seen, Shown, shown};
use super::cover::{Gap, longest_gap};
use super::mark::{Mark, Part};
use super::pdf;
use super::promises::{Paper, Press, Promises};
use super::verdict::{Check, Figure, Picture, Verdict, exact};
use crate::diagnostic::{Diagnostic, counted};
use crate::units::Length;
use kurbo::{Point, Rect};
use std::collections::{BTreeMap, BTreeSet};

/// How far a mark may be off, in mm: the error budget.
pub(super) const OFF: f64 = 0.01;

/// How many times a distance fits into its picture, and the sides that a picture has, in mm.
const MAGNIFIED: f64 = 12.0;
const SMALLEST: f64 = 0.5;
const LARGEST: f64 = 30.0;
/// Pictures kept of one verification: more would tell no more.
const MAX_PICTURES: usize = 24;

/// The drawing as one paper shows it, against which all others are laid.
pub(super) struct Reference<'a> {
    paper: &'a Paper,
    assembly: Assembly,
    /// For each mark where the paper shows it.
    windows: Vec<Vec<Rect>>,
}

impl<'a> Reference<'a> {
    /// The first wide paper with all sizes, or else the first paper; none if it cannot be read, which is told elsewhere.
    pub fn of(promises: &'a Promises, files: &Files) -> Option<Self> {
        let whole = |paper: &&Paper| paper.language.is_none() && paper.variant.is_none() && !paper.one_of_many_sizes;
        let mut papers = promises.papers.iter().filter(whole);
        let first = papers.clone().next();
        let paper = papers.find(|paper| paper.press == Press::Wide).or(first)?;
        let reading = pdf::read(files.get(&paper.file)?, &[]).ok()?;
        let sheets = shown(paper, &reading.pages);
        let assembly = Assembly::of(&sheets);
        let laid = assembly.lay(&sheets);
        let windows = laid.seen.iter().map(|seen| seen.iter().map(|seen| seen.window).collect()).collect();
        Some(Self { paper, assembly, windows })
    }

    /// Its file.
    pub fn file(&self) -> &str {
        &self.paper.file
    }

    /// For each mark how far those that were found in its place are from it, in mm; then those that belong to no place. Some
    /// files do not tell letters from lines.
    pub fn find(&self, marks: &[Mark]) -> (Vec<Vec<f64>>, Vec<Mark>) {
        let (mut seen, mut extra) = (vec![Vec::new(); self.assembly.marks.len()], Vec::new());
        for mark in marks {
            let free = |index: &usize| seen.get(*index).is_some_and(Vec::is_empty);
            let letter = Mark { part: Part::Words, ..mark.clone() };
            match self.assembly.nearest(mark, free).or_else(|| self.assembly.nearest(&letter, free)) {
                Some((index, off)) => seen.get_mut(index).into_iter().for_each(|list| list.push(off)),
                None => extra.push(mark.clone()),
            }
        }
        (seen, extra)
    }

    /// Where marks begin that a paper should show and that were not found.
    pub fn lost(&self, paper: &Paper, found: &[Vec<f64>]) -> Vec<Point> {
        let marks = self.assembly.marks.iter().zip(found);
        marks.filter(|(mark, found)| found.is_empty() && self.wants(paper, mark)).map(|(mark, _)| mark.start()).collect()
    }

    /// Whether a paper should show a mark: words of its own language, lines of its own sizes.
    fn wants(&self, paper: &Paper, mark: &Mark) -> bool {
        let own_words = mark.part != Part::Words || paper.language == self.paper.language;
        let shown: BTreeSet<&str> = paper.sizes.iter().map(|size| size.size.as_str()).collect();
        let layer = |size: &&super::promises::SizePages| size.layer.is_some() && size.layer.as_deref() == mark.layer.as_deref();
        let size = self.paper.sizes.iter().find(layer);
        own_words && size.is_none_or(|size| shown.contains(size.size.as_str()))
    }
}

/// Compares the sheets of one paper.
pub(super) fn check(paper: &Paper, sheets: &[Shown], reference: &Reference<'_>, verdict: &mut Verdict) {
    let laid = reference.assembly.lay(sheets);
    Comparison { paper, sheets, reference }.judge(&laid, verdict);
}

/// A paper beside the reference.
struct Comparison<'a> {
    paper: &'a Paper,
    sheets: &'a [Shown],
    reference: &'a Reference<'a>,
}

/// A mark that is wrong on a sheet, with where and how far.
struct Wrong {
    at: Point,
    off: f64,
}

impl Comparison<'_> {
    fn judge(&self, laid: &Laid, verdict: &mut Verdict) {
        let seen = || laid.seen.iter().enumerate().flat_map(|(mark, seen)| seen.iter().map(move |seen| (mark, seen)));
        for (index, sheet) in self.paper.sheets.iter().enumerate() {
            let own: Vec<(usize, &Seen)> = seen().filter(|(_, seen)| seen.sheet == index).collect();
            let farthest = own.iter().max_by(|a, b| a.1.off.total_cmp(&b.1.off));
            let farthest = farthest.map_or(Wrong { at: Point::ZERO, off: 0.0 }, |(mark, seen)| self.wrong(*mark, seen.off));
            self.place(sheet.page, &sheet.label, &farthest, verdict);
            let penned =
                own.iter().filter(|(_, seen)| self.in_another_pen(seen)).map(|(mark, seen)| self.wrong(*mark, seen.off));
            self.tell(
                "ink-changed",
                &sheet.label,
                "has in another width, dash or colour",
                &penned.collect::<Vec<_>>(),
                verdict,
            );
            let extra = laid.extra.iter().filter(|(on, mark)| *on == index && self.is_extra(mark));
            let extra: Vec<Wrong> = extra.map(|(_, mark)| Wrong { at: mark.start(), off: 0.0 }).collect();
            self.tell("ink-extra", &sheet.label, "has not", &extra, verdict);
        }
        self.missing(laid, verdict);
    }

    fn wrong(&self, mark: usize, off: f64) -> Wrong {
        Wrong { at: self.reference.assembly.marks.get(mark).map(Mark::start).unwrap_or_default(), off }
    }

    /// The figure for a sheet, and the finding if it is too far off.
    fn place(&self, page: usize, label: &str, farthest: &Wrong, verdict: &mut Verdict) {
        let fine = farthest.off <= OFF;
        let (measured, tolerance) = (Length::mm(farthest.off), Length::mm(OFF));
        let what = format!("distance from {}", self.reference.paper.file);
        let (file, check) = (self.paper.file.clone(), Check::Sheets);
        verdict.figures.push(Figure { check, file, page: Some(page), what, promised: Length::ZERO, measured, tolerance, fine });
        let finding = || {
            let message = format!(
                "a line on sheet `{label}` is {} from where `{}` has it, {}",
                exact(measured),
                self.reference.paper.file,
                placed(farthest.at)
            );
            Diagnostic::error("ink-moved", message).at(verdict.place(&self.paper.file)).hint(HINT)
        };
        let result = if fine { Ok(()) } else { Err(finding()) };
        let off = result.is_err();
        verdict.judge(check, result);
        if off {
            let side = (farthest.off * MAGNIFIED).clamp(SMALLEST, LARGEST);
            self.picture(&format!("sheet {label}: {} off", exact(measured)), farthest.at, side, verdict);
        }
    }

    fn tell(&self, code: &'static str, label: &str, how: &str, wrong: &[Wrong], verdict: &mut Verdict) {
        if let Some(first) = wrong.first() {
            self.picture(
                &format!("sheet {label}: {} that the other {how}", counted(wrong.len(), "line")),
                first.at,
                LARGEST,
                verdict,
            );
        }
        let result = wrong.first().map_or(Ok(()), |first| {
            let (count, file) = (counted(wrong.len(), "line"), &self.reference.paper.file);
            let message = format!("sheet `{label}` has {count} that `{file}` {how}, the first {}", placed(first.at));
            Err(Diagnostic::error(code, message).at(verdict.place(&self.paper.file)).hint(HINT))
        });
        verdict.judge(Check::Sheets, result);
    }

    /// Flat files and files for projecting show the same lines in pens of their own.
    fn in_another_pen(&self, seen: &Seen) -> bool {
        self.paper.variant.is_none() && (seen.pen_off > OFF || !seen.same_colour)
    }

    /// A file for projecting has each line twice, one beneath the other.
    fn is_extra(&self, mark: &Mark) -> bool {
        let foreign = mark.part == Part::Words && self.paper.language != self.reference.paper.language;
        let twin = || self.reference.assembly.nearest(mark, |_| true).is_some_and(|(_, off)| off <= OFF);
        !foreign && !(self.paper.variant.is_some() && twin())
    }

    /// Marks that no sheet shows whole, told by the sheet that should.
    fn missing(&self, laid: &Laid, verdict: &mut Verdict) {
        let mut gaps: BTreeMap<&str, Vec<Gap>> = BTreeMap::new();
        let marks = self.reference.assembly.marks.iter().zip(&self.reference.windows).zip(&laid.seen);
        for ((mark, wanted), seen) in marks.filter(|((mark, _), _)| self.reference.wants(self.paper, mark)) {
            let shown: Vec<Rect> = seen.iter().map(|seen| seen.window).collect();
            if let Some(gap) = longest_gap(mark, wanted, &shown) {
                gaps.entry(self.label_at(gap.at)).or_default().push(gap);
            }
        }
        verdict.judge(Check::Sheets, Ok(()));
        for (label, gaps) in gaps {
            let Some(longest) = gaps.iter().max_by(|a, b| a.length.total_cmp(&b.length)) else { continue };
            let (count, file) = (counted(gaps.len(), "line"), &self.reference.paper.file);
            let where_to = if label.is_empty() { "no sheet shows".to_owned() } else { format!("sheet `{label}` lacks") };
            let length = exact(Length::mm(longest.length));
            let message = format!("{where_to} {count} of `{file}`, at most {length} of it, {}", placed(longest.at));
            let finding = Diagnostic::error("ink-missing", message).at(verdict.place(&self.paper.file)).hint(HINT);
            verdict.judge(Check::Sheets, Err(finding));
            self.picture(&format!("{where_to} {count}"), longest.at, LARGEST, verdict);
        }
    }

    /// Keeps a picture of what runs around a place of the drawing, promised and found.
    fn picture(&self, caption: &str, at: Point, side: f64, verdict: &mut Verdict) {
        if verdict.pictures.len() >= MAX_PICTURES {
            return;
        }
        let window = Rect::from_center_size(at, (side, side));
        let near = |mark: &&Mark| mark.reach().overlaps(window);
        let wanted = self.reference.assembly.marks.iter().filter(near).map(|mark| mark.path.clone()).collect();
        let found = self.sheets.iter().flatten().map(|(mark, _)| mark).filter(near).map(|mark| mark.path.clone()).collect();
        let caption = format!("{}: {caption}", self.paper.file);
        verdict.pictures.push(Picture { caption, window, wanted, found });
    }

    /// The sheet that covers a place of the drawing; no label if none does.
    fn label_at(&self, place: Point) -> &str {
        let covers = |sheet: &&super::promises::Sheet| super::promises::rect(sheet.area_mm).contains(place);
        self.paper.sheets.iter().find(covers).map_or("", |sheet| &sheet.label)
    }
}

/// What to do about ink that differs.
const HINT: &str = "keep this package back and build it again";

/// A place of the drawing in words.
pub(super) fn placed(at: Point) -> String {
    format!("{} from the left and {} from the top of the drawing", exact(Length::mm(at.x)), exact(Length::mm(at.y)))
}
