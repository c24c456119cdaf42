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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verify::mark::Pen;
    use kurbo::{BezPath, Line, Shape};

    const WINDOW: Rect = Rect::new(-100.0, -100.0, 100.0, 100.0);

    /// A level line of 5 mm.
    fn line(x: f64, y: f64) -> Mark {
        let path: BezPath = Line::new((x, y), (x + 5.0, y)).to_path(0.1);
        let pen = Pen { width: Some(0.2), dashes: Vec::new(), colour: [0; 4] };
        Mark { part: Part::Drawing, layer: None, path, pen, clip: WINDOW }
    }

    fn assembly(marks: impl IntoIterator<Item = Mark>) -> Assembly {
        Assembly::of(&[marks.into_iter().map(|mark| (mark, WINDOW)).collect()])
    }

    #[test]
    fn the_nearest_mark_within_a_millimetre_is_found_on_every_side() {
        for (x, y) in [(0.0, 0.0), (-7.3, 12.6), (0.99, -0.99)] {
            let near = assembly([line(x, y)]);
            for (right, down, found) in [
                (0.9, 0.0, true),
                (-0.9, 0.0, true),
                (0.0, 0.9, true),
                (0.0, -0.9, true),
                (0.6, -0.6, true),
                (1.1, 0.0, false),
                (0.0, -1.1, false),
                (0.8, 0.8, false),
            ] {
                let nearest = near.nearest(&line(x + right, y + down), |_| true);
                assert_eq!(nearest.map(|it| it.0), found.then_some(0), "{x} {y} {right} {down}");
            }
        }
    }

    #[test]
    fn of_several_marks_the_nearest_free_one_is_taken_and_of_twins_the_one_on_its_layer() {
        let some = assembly([line(0.0, 0.0), line(0.0, 0.4), line(0.0, 0.5)]);
        let nearest = |y: f64, taken: usize| some.nearest(&line(0.0, y), |index| *index != taken).map(|it| it.0);
        assert_eq!((nearest(0.1, 9), nearest(0.1, 0), nearest(0.39, 9), nearest(0.6, 9)), (Some(0), Some(1), Some(1), Some(2)));
        let on = |layer: &str| Mark { layer: Some(layer.into()), ..line(0.0, 0.0) };
        let twins = assembly([on("small"), on("large")]);
        assert_eq!(twins.nearest(&on("large"), |_| true), Some((1, 0.0)));
        assert_eq!(twins.nearest(&on("small"), |_| true), Some((0, 0.0)));
        // A layer that is called otherwise is no reason to miss a line.
        assert_eq!(twins.nearest(&on("other"), |_| true).map(|it| it.1), Some(0.0));
        let own = assembly([line(0.0, 0.0)]);
        let filled = Mark { pen: Pen { width: None, ..line(0.0, 0.0).pen }, ..line(0.0, 0.0) };
        assert_eq!(own.nearest(&filled, |_| true), None);
        assert_eq!(own.nearest(&Mark { part: Part::Words, ..line(0.0, 0.0) }, |_| true), None);
    }

    #[test]
    fn a_mark_on_two_sheets_is_one_and_two_on_one_sheet_are_two() {
        let sheet = |marks: &[Mark]| -> Shown { marks.iter().map(|mark| (mark.clone(), WINDOW)).collect() };
        let sheets = [sheet(&[line(0.0, 0.0), line(0.0, 0.0)]), sheet(&[line(0.0, 0.0), line(9.0, 0.0)])];
        let all = Assembly::of(&sheets);
        assert_eq!(all.marks.len(), 3);
        let laid = all.lay(&[sheet(&[line(0.0, 0.3), line(50.0, 0.0)]), sheet(&[line(9.0, 0.0)])]);
        let seen: Vec<Vec<(usize, f64)>> =
            laid.seen.iter().map(|seen| seen.iter().map(|seen| (seen.sheet, seen.off)).collect()).collect();
        assert_eq!(seen, [vec![(0, 0.3)], vec![], vec![(1, 0.0)]]);
        assert_eq!(laid.extra.iter().map(|(sheet, mark)| (*sheet, mark.start().x)).collect::<Vec<_>>(), [(0, 50.0)]);
    }

    #[test]
    fn marks_far_apart_lie_in_cells_of_their_own_so_that_few_are_looked_at() {
        let places = [(0.0, 0.0), (3.0, 0.0), (0.0, 3.0), (-3.0, 0.0), (0.0, -3.0), (300.0, 200.0)];
        let all = assembly(places.map(|(x, y)| line(x, y)));
        assert_eq!(all.cells.len(), places.len());
        for (x, y) in places {
            assert_eq!(all.around(&line(x + 0.4, y - 0.4)).count(), 1, "{x} {y}");
        }
    }
}
