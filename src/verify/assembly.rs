//! The drawing as the sheets of one paper show it together: each mark once, and where sheets show it.

use super::mark::{Mark, Part};
use super::pdf::Page;
use super::promises::{Paper, Sheet};
use kurbo::{Rect, Vec2};
use std::collections::BTreeMap;

/// How far apart two marks may be and still be taken for one, in mm: more, and one is missing and another one too many.
pub(super) const REACH: f64 = 1.0;
/// How much worse a mark on another layer is than one on the same, in mm: enough to choose between twins.
const OTHER_LAYER: f64 = 0.001;
/// Side of the cells in which marks are sought by their start, in mm.
const CELL: f64 = REACH;

/// The marks of a drawing, each once, as some sheets show them.
#[derive(Default)]
pub(super) struct Assembly {
    /// In the drawing's mm.
    pub marks: Vec<Mark>,
    cells: BTreeMap<(usize, i64, i64), Vec<usize>>,
}

/// What a sheet shows: marks in the drawing's mm, each with the window in which it shows.
pub(super) type Shown = Vec<(Mark, Rect)>;

/// A mark of the assembly on a sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// Index among the paper's sheets.
    pub sheet: usize,
    /// The part of the drawing in which the sheet shows it.
    pub window: Rect,
    /// How far its path is from the assembly's, in mm.
    pub off: f64,
    /// How far its pen is, in mm; endless for another kind of line.
    pub pen_off: f64,
    /// Whether colour and opacity are the same.
    pub same_colour: bool,
}

/// How the sheets of a paper compare with an assembly.
pub(super) struct Laid {
    /// For each mark of the assembly where it was seen.
    pub seen: Vec<Vec<Seen>>,
    /// Marks that the assembly does not have, with the sheet that shows them.
    pub extra: Vec<(usize, Mark)>,
}

impl Assembly {
    /// All that some sheets show of the drawing.
    pub fn of(sheets: &[Shown]) -> Self {
        let mut assembly = Self::default();
        for sheet in sheets {
            // A mark that runs over several sheets is on each of them.
            let new = assembly.lay_sheet(0, sheet, &mut vec![Vec::new(); assembly.marks.len()]);
            new.into_iter().for_each(|(_, mark)| assembly.add(mark));
        }
        assembly
    }

    /// Lays some sheets over the assembly.
    pub fn lay(&self, sheets: &[Shown]) -> Laid {
        let (mut seen, mut extra) = (vec![Vec::new(); self.marks.len()], Vec::new());
        for (index, sheet) in sheets.iter().enumerate() {
            extra.extend(self.lay_sheet(index, sheet, &mut seen));
        }
        Laid { seen, extra }
    }

    /// Lays one sheet's marks, nearest first come; gives those that found no partner.
    fn lay_sheet(&self, sheet: usize, marks: &Shown, seen: &mut [Vec<Seen>]) -> Vec<(usize, Mark)> {
        let mut extra = Vec::new();
        for (mark, window) in marks {
            let free = |index: &usize| seen.get(*index).is_some_and(|seen| seen.iter().all(|seen| seen.sheet != sheet));
            let Some((index, off)) = self.nearest(mark, free) else {
                extra.push((sheet, mark.clone()));
                continue;
            };
            if let (Some(list), Some(own)) = (seen.get_mut(index), self.marks.get(index)) {
                let (pen_off, same_colour) = (own.pen.off(&mark.pen), own.pen.colour == mark.pen.colour);
                list.push(Seen { sheet, window: *window, off, pen_off, same_colour });
            }
        }
        extra
    }

    /// The mark of the assembly that lies nearest, within reach, with its distance in mm.
    pub fn nearest(&self, mark: &Mark, free: impl Fn(&usize) -> bool) -> Option<(usize, f64)> {
        let near = self.around(mark).filter(free).filter_map(|index| {
            let own = self.marks.get(index)?;
            let kind = own.part == mark.part && own.pen.width.is_some() == mark.pen.width.is_some();
            let off = if kind { own.off(mark) } else { f64::INFINITY };
            let rank = off + if own.layer == mark.layer { 0.0 } else { OTHER_LAYER };
            (off <= REACH).then_some((index, off, rank))
        });
        near.min_by(|a, b| a.2.total_cmp(&b.2)).map(|(index, off, _)| (index, off))
    }

    /// Marks with as many segments that begin nearby.
    fn around<'a>(&'a self, mark: &Mark) -> impl Iterator<Item = usize> + 'a {
        let (count, x, y) = cell(mark);
        let cells = (x - 1..=x + 1).flat_map(move |x| (y - 1..=y + 1).map(move |y| (count, x, y)));
        cells.filter_map(|cell| self.cells.get(&cell)).flatten().copied()
    }

    fn add(&mut self, mark: Mark) {
        self.cells.entry(cell(&mark)).or_default().push(self.marks.len());
        self.marks.push(mark);
    }
}

fn cell(mark: &Mark) -> (usize, i64, i64) {
    let (count, start) = (mark.path.elements().len(), mark.start());
    (count, (start.x / CELL).floor() as i64, (start.y / CELL).floor() as i64)
}

/// What each sheet of a paper shows of the drawing after trimming.
pub(super) fn shown(paper: &Paper, pages: &[Page]) -> Vec<Shown> {
    paper.sheets.iter().map(|sheet| shown_on(paper, sheet, pages)).collect()
}

fn shown_on(paper: &Paper, sheet: &Sheet, pages: &[Page]) -> Shown {
    let (tile, shift): (Rect, Vec2) = (paper.tile(), paper.move_of(sheet));
    let marks = sheet.page.checked_sub(1).and_then(|index| pages.get(index)).map_or(&[][..], |page| &page.marks);
    let drawn = marks.iter().filter(|mark| matches!(mark.part, Part::Drawing | Part::Words));
    let within = drawn.map(|mark| (mark, mark.clip.intersect(tile))).filter(|(mark, window)| mark.reach().overlaps(*window));
    within.map(|(mark, window)| (mark.moved(-shift), window - shift)).collect()
}
