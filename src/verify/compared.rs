//! One paper beside the reference: how far its lines are off, what is missing, what is more.

use super::assembly::{Laid, Seen, Shown};
use super::cover::{Gap, longest_gap};
use super::mark::{Mark, Part};
use super::promises::{Paper, Sheet, rect};
use super::sheets::{OFF, Reference, placed};
use super::verdict::{Check, Figure, Picture, Verdict, exact};
use crate::diagnostic::{Diagnostic, counted};
use crate::units::Length;
use kurbo::{Point, Rect};
use std::collections::BTreeMap;

/// How many times a distance fits into its picture, and the sides that a picture has, in mm.
const MAGNIFIED: f64 = 12.0;
const SMALLEST: f64 = 0.5;
const LARGEST: f64 = 30.0;
/// Pictures kept of one verification: more would tell no more.
const MAX_PICTURES: usize = 24;

/// Compares the sheets of one paper.
pub(super) fn check(paper: &Paper, sheets: &[Shown], reference: &Reference<'_>, verdict: &mut Verdict) {
    let laid = reference.assembly.lay(sheets);
    Comparison { paper, sheets, reference }.judge(&laid, verdict);
}

struct Comparison<'a> {
    paper: &'a Paper,
    sheets: &'a [Shown],
    reference: &'a Reference<'a>,
}

/// The farthest line of a sheet: how far it is off, in mm, and where it should be.
struct Moved<'a> {
    label: &'a str,
    at: Point,
    off: f64,
}

/// A mark of the reference, as a sheet shows it.
type Pair<'a> = (&'a Mark, &'a Seen);

impl Comparison<'_> {
    fn judge(&self, laid: &Laid, verdict: &mut Verdict) {
        let mut seen: Vec<Vec<Pair<'_>>> = vec![Vec::new(); self.paper.sheets.len()];
        for (mark, places) in self.reference.assembly.marks.iter().zip(&laid.seen) {
            places.iter().for_each(|place| seen.get_mut(place.sheet).into_iter().for_each(|list| list.push((mark, place))));
        }
        let mut moved = Vec::new();
        for ((index, sheet), own) in self.paper.sheets.iter().enumerate().zip(&seen) {
            moved.extend(self.place(index, sheet, own, verdict));
            let penned: Vec<&Mark> = own.iter().filter(|(_, seen)| self.in_another_pen(seen)).map(|(mark, _)| *mark).collect();
            self.tell(&penned, |lines, at| error!("ink-changed", label = sheet.label, lines, file = self.file(), at), verdict);
            let extra = laid.extra.iter().filter(|(on, mark)| *on == index && self.is_extra(mark));
            let extra: Vec<&Mark> = extra.map(|(_, mark)| mark).collect();
            self.tell(&extra, |lines, at| error!("ink-extra", label = sheet.label, lines, file = self.file(), at), verdict);
        }
        self.moved(&moved, verdict);
        self.missing(laid, verdict);
    }

    fn file(&self) -> &str {
        self.reference.file()
    }

    /// The figure for a sheet; gives its farthest line if that is too far off.
    fn place<'s>(&self, index: usize, sheet: &'s Sheet, own: &[Pair<'_>], verdict: &mut Verdict) -> Option<Moved<'s>> {
        let farthest = own.iter().max_by(|a, b| a.1.off.total_cmp(&b.1.off));
        let off = farthest.map_or(0.0, |(_, seen)| seen.off);
        let (fine, measured, tolerance) = (off <= OFF, Length::mm(off), Length::mm(OFF));
        let what = say!("distance-from", file = self.file());
        let (file, check, page) = (self.paper.file.clone(), Check::Sheets, Some(sheet.page));
        verdict.figures.push(Figure { check, file, page, what, promised: Length::ZERO, measured, tolerance, fine });
        match farthest.filter(|_| !fine) {
            None => {
                verdict.judge(check, Ok(()));
                None
            }
            Some((mark, _)) => Some(Moved { label: &sheet.label, at: self.farthest(index, mark, off), off }),
        }
    }

    /// One finding for all sheets on which the same line is off.
    fn moved(&self, moved: &[Moved<'_>], verdict: &mut Verdict) {
        let mut alike: BTreeMap<(String, String), Vec<&Moved<'_>>> = BTreeMap::new();
        for it in moved {
            alike.entry((placed(it.at), exact(Length::mm(it.off)))).or_default().push(it);
        }
        for ((at, measured), them) in alike {
            let Some(Moved { at: place, off, .. }) = them.first() else { continue };
            let sheets = them.iter().map(|it| format!("`{}`", it.label)).collect::<Vec<_>>().join(", ");
            let finding = error!("ink-moved", sheets, measured, file = self.file(), at);
            self.refuse(finding, *place, (off * MAGNIFIED).clamp(SMALLEST, LARGEST), verdict);
        }
    }

    /// Where a mark is that far from what a sheet shows of it.
    fn farthest(&self, sheet: usize, mark: &Mark, off: f64) -> Point {
        let shown = self.sheets.get(sheet).map_or(&[][..], Vec::as_slice);
        let other = shown.iter().map(|(other, _)| other).find(|other| (mark.off(other) - off).abs() < 1e-9);
        other.and_then(|other| mark.farthest(other)).unwrap_or_else(|| mark.start())
    }

    fn tell(&self, wrong: &[&Mark], finding: impl Fn(String, String) -> Diagnostic, verdict: &mut Verdict) {
        match wrong.first() {
            None => verdict.judge(Check::Sheets, Ok(())),
            Some(first) => {
                let lines = counted(wrong.len(), words!("line"));
                self.refuse(finding(lines, placed(first.start())), first.start(), LARGEST, verdict);
            }
        }
    }

    /// Flat files and files for projecting show the same lines in pens of their own.
    fn in_another_pen(&self, seen: &Seen) -> bool {
        !self.paper.is_redrawn() && (seen.pen_off > OFF || !seen.same_colour)
    }

    /// A file for projecting has each line twice, one beneath the other.
    fn is_extra(&self, mark: &Mark) -> bool {
        let foreign = mark.part == Part::Words && self.paper.language.as_deref() != self.reference.language();
        let beneath =
            self.paper.is_redrawn() && self.reference.assembly.nearest(mark, |_| true).is_some_and(|(_, off)| off <= OFF);
        !foreign && !beneath
    }

    /// Marks that no sheet shows whole, told by the sheet that should.
    fn missing(&self, laid: &Laid, verdict: &mut Verdict) {
        let mut gaps: BTreeMap<&str, Vec<Gap>> = BTreeMap::new();
        for ((mark, wanted), seen) in
            self.reference.wanted(self.paper).zip(&laid.seen).filter_map(|(it, seen)| Some((it?, seen)))
        {
            let shown: Vec<Rect> = seen.iter().map(|seen| seen.window).collect();
            if let Some(gap) = longest_gap(mark, &self.within(wanted), &shown) {
                gaps.entry(self.label_at(gap.at)).or_default().push(gap);
            }
        }
        verdict.judge(Check::Sheets, Ok(()));
        for (label, gaps) in gaps {
            let Some(longest) = gaps.iter().max_by(|a, b| a.length.total_cmp(&b.length)) else { continue };
            let (lines, length) = (counted(gaps.len(), words!("line")), exact(Length::mm(longest.length)));
            let (file, at) = (self.file(), placed(longest.at));
            let finding = match label {
                "" => error!("ink-missing/nowhere", lines, file, length, at),
                label => error!("ink-missing", label, lines, file, length, at),
            };
            self.refuse(finding, longest.at, LARGEST, verdict);
        }
    }

    /// The parts of the drawing in which the paper should show something: a file of corrections has some of the sheets alone.
    fn within(&self, wanted: &[Rect]) -> Vec<Rect> {
        if !self.paper.is_partial() {
            return wanted.to_vec();
        }
        let areas = || self.paper.sheets.iter().map(|sheet| rect(sheet.area_mm));
        let parts = wanted.iter().flat_map(|window| areas().map(|area| window.intersect(area)));
        parts.filter(|part| part.width() > 0.0 && part.height() > 0.0).collect()
    }

    /// The sheet that covers a place of the drawing; no label if none does.
    fn label_at(&self, place: Point) -> &str {
        let covers = |sheet: &&Sheet| rect(sheet.area_mm).contains(place);
        self.paper.sheets.iter().find(covers).map_or("", |sheet| &sheet.label)
    }

    /// Keeps a finding, with a picture of what runs around a place of the drawing, promised and found.
    fn refuse(&self, finding: Diagnostic, at: Point, side: f64, verdict: &mut Verdict) {
        if verdict.pictures.len() < MAX_PICTURES {
            let window = Rect::from_center_size(at, (side, side));
            let near = |mark: &&Mark| mark.reach().overlaps(window);
            let wanted = self.reference.assembly.marks.iter().filter(near).map(|mark| mark.path.clone()).collect();
            let found = self.sheets.iter().flatten().map(|(mark, _)| mark).filter(near).map(|mark| mark.path.clone()).collect();
            let caption = format!("{}: {}", self.paper.file, finding.message);
            verdict.pictures.push(Picture { caption, window, wanted, found });
        }
        verdict.judge(Check::Sheets, Err(finding.at(verdict.place(&self.paper.file))));
    }
}
