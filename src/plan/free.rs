//! Where there is no ink: an even raster of the drawing, and what marks have taken of it since.

use super::NOISE_MM;
use super::bitmap::{self, Bitmap};
use super::ink::{Ink, Outline};
use super::lines::Lines;
use super::raster::{Raster, Sums};
use super::room::{Room, Stretch};
use crate::units::{Point, Rect, Size};
use rayon::prelude::*;
use std::ops::Range;
use std::sync::OnceLock;

/// Side of a cell in mm: well below the air around any mark.
const CELL_MM: f64 = 0.5;

/// Most cells that a map may have; a larger drawing gets coarser cells.
const MOST_CELLS: f64 = 8e6;

/// In how many parts the ink is drawn.
const PARTS: usize = 4;

/// A map of the cells that ink touches; around it, all is free.
#[derive(Debug)]
pub(super) struct FreeMap {
    from: kurbo::Point,
    cell: f64,
    columns: usize,
    rows: usize,
    cells: Bitmap,
    /// Counts of inked cells, once they are asked for: most maps are only asked what is free.
    sums: OnceLock<Sums>,
}

impl FreeMap {
    /// A map of all ink, which has a bounding box.
    pub(super) fn of(ink: &Ink, bounds: Rect) -> Self {
        let r = bounds.to_kurbo_mm();
        let cell = (r.area() / MOST_CELLS).sqrt().max(CELL_MM);
        let lines = |from: f64, length: f64| (0..=(length / cell).ceil() as u32).map(|i| from + f64::from(i) * cell).collect();
        let (xs, ys) = (Lines::of(lines(r.x0, r.width())), Lines::of(lines(r.y0, r.height())));
        let (columns, rows) = (xs.gaps(), ys.gaps());
        let inked = |pieces: &[Vec<Outline>]| {
            let mut raster = Raster::between(xs.clone(), ys.clone());
            pieces.iter().flatten().for_each(|outline| raster.ink(outline));
            raster.cells()
        };
        // In a few parts, each on a core: ink is ink, in whatever order it comes.
        let parts: Vec<Bitmap> = ink.pieces.par_chunks(ink.pieces.len().div_ceil(PARTS).max(1)).map(inked).collect();
        let mut cells = Bitmap::blank(rows, columns);
        parts.iter().for_each(|part| cells.add(part));
        Self { from: r.origin(), cell, columns, rows, cells, sums: OnceLock::new() }
    }

    /// How many cells with ink a rectangle (in the drawing) reaches.
    fn inked(&self, area: Rect) -> u32 {
        let (rows, columns) = self.cells_of(area);
        self.sums.get_or_init(|| Sums::of(&self.cells, self.columns)).band(&rows).count(&columns)
    }

    /// Whether a rectangle (in the drawing) reaches no cell with ink.
    fn is_free(&self, area: Rect) -> bool {
        let (rows, columns) = self.cells_of(area);
        self.cells.band(&rows).all(|row| !bitmap::any_inked(row, &columns))
    }

    /// The rows and columns that a rectangle (in the drawing) reaches.
    fn cells_of(&self, area: Rect) -> (Range<usize>, Range<usize>) {
        let r = area.to_kurbo_mm();
        (self.rows_of((r.y0, r.y1)), self.columns_of((r.x0, r.x1)))
    }

    /// The columns that a stretch across reaches.
    fn columns_of(&self, (left, right): Stretch) -> Range<usize> {
        span(left - self.from.x, right - self.from.x, self.cell, self.columns)
    }

    /// The rows that a stretch down reaches.
    fn rows_of(&self, (top, bottom): Stretch) -> Range<usize> {
        span(top - self.from.y, bottom - self.from.y, self.cell, self.rows)
    }
}

/// The cells that a stretch reaches, of so many from 0 on.
fn span(from: f64, to: f64, cell: f64, count: usize) -> Range<usize> {
    let first = ((from + NOISE_MM) / cell).floor().max(0.0) as usize;
    let past = ((to - NOISE_MM) / cell).ceil().max(0.0) as usize;
    first.min(count)..past.clamp(first.min(count), count)
}

/// What is still free: no ink, and no mark yet.
#[derive(Clone, Debug)]
pub(super) struct Free<'a> {
    map: &'a FreeMap,
    taken: Vec<Rect>,
}

impl<'a> Free<'a> {
    /// All that holds no ink.
    pub(super) const fn of(map: &'a FreeMap) -> Self {
        Self { map, taken: Vec::new() }
    }

    /// Marks rectangles (in the drawing) as taken too.
    pub(super) fn take(&mut self, areas: impl IntoIterator<Item = Rect>) {
        self.taken.extend(areas);
    }

    /// Whether a rectangle (in the drawing) is free.
    pub(super) fn is_free(&self, area: Rect) -> bool {
        self.map.is_free(area) && !self.taken.iter().any(|taken| meet(*taken, area))
    }

    /// How much ink a rectangle (in the drawing) reaches, in cells of the map.
    pub(super) fn inked(&self, area: Rect) -> u32 {
        self.map.inked(area)
    }

    /// What is free in a part of the drawing, for many questions about it.
    pub(super) fn room(&self, area: Rect) -> Room {
        Room::of(area, |across, down| self.cells(across, down))
    }

    /// Which cells between stretches across and down are taken.
    fn cells(&self, across: &[Stretch], down: &[Stretch]) -> Bitmap {
        let columns: Vec<Range<usize>> = across.iter().map(|&cell| self.map.columns_of(cell)).collect();
        let all = columns.first().map_or(0, |first| first.start)..columns.last().map_or(0, |last| last.end);
        let mut taken = Bitmap::blank(down.len(), across.len());
        for (row, &cell) in down.iter().enumerate() {
            let ink = self.map.cells.gathered_row(&self.map.rows_of(cell));
            // Both rise, so that one walk along the row is enough.
            let mut first = 0;
            for inked in bitmap::runs(&ink, &all) {
                first += columns.iter().skip(first).take_while(|columns| columns.end <= inked.start).count();
                let reached = columns.iter().skip(first).take_while(|columns| columns.start < inked.end).count();
                taken.ink(row, &(first..first + reached));
            }
        }
        for area in self.taken.iter().map(|area| area.to_kurbo_mm()) {
            let columns = meeting(across, (area.x0, area.x1));
            meeting(down, (area.y0, area.y1)).for_each(|row| taken.ink(row, &columns));
        }
        taken
    }
}

/// Which of cells that follow each other meet a stretch.
fn meeting(cells: &[Stretch], own: Stretch) -> Range<usize> {
    let first = cells.iter().position(|cell| overlap(*cell, own)).unwrap_or_default();
    let past = cells.iter().rposition(|cell| overlap(*cell, own)).map_or(0, |last| last + 1);
    first..past
}

/// Whether two rectangles share more than an edge.
fn meet(a: Rect, b: Rect) -> bool {
    let (a, b) = (a.to_kurbo_mm(), b.to_kurbo_mm());
    overlap((a.x0, a.x1), (b.x0, b.x1)) && overlap((a.y0, a.y1), (b.y0, b.y1))
}

/// Whether two stretches share more than an end.
fn overlap(a: Stretch, b: Stretch) -> bool {
    a.1.min(b.1) - a.0.max(b.0) > NOISE_MM
}

/// A rectangle around a point, in the drawing.
pub(super) fn around(at: Point, half_width: f64, half_height: f64) -> Rect {
    let corner = super::mm(at.x.to_mm() - half_width, at.y.to_mm() - half_height);
    Rect::new(corner, Size::mm(2.0 * half_width, 2.0 * half_height))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::tests::sample::{Drawn, Sample, home};
    use crate::plan::tests::shapes::Mark;

    #[test]
    fn what_ink_and_marks_leave_is_free() {
        // A block from (10, 20) to (30, 25), and a mark that was taken since.
        let corners = [(10.0, 20.0), (30.0, 20.0), (30.0, 25.0), (10.0, 25.0)].map(kurbo::Point::from).to_vec();
        let drawn = vec![Drawn { mark: Mark::Block(corners), clip: None, layer: 0 }];
        let ink = Ink::of(&Sample { drawn, sizes: 0, setup: home(90.0, 90.0, [0.0; 4], 0.0) }.drawing(kurbo::Vec2::ZERO));
        let map = FreeMap::of(&ink, ink.bounds().unwrap());
        let mut free = Free::of(&map);
        free.take([Rect::mm(40.0, 20.0, 5.0, 5.0)]);
        for (x, y, width, height, is_free) in [
            (0.0, 0.0, 10.0, 90.0, true),
            (0.0, 0.0, 10.1, 90.0, false),
            (30.0, 0.0, 10.0, 90.0, true),
            (29.9, 0.0, 10.0, 90.0, false),
            (30.0, 0.0, 10.1, 90.0, false),
            (45.0, 0.0, 9.0, 90.0, true),
            (44.9, 22.0, 9.0, 1.0, false),
            (0.0, 0.0, 90.0, 20.0, true),
            (0.0, 0.0, 90.0, 20.1, false),
            (0.0, 25.0, 90.0, 20.0, true),
            (12.0, 24.9, 1.0, 20.0, false),
            (20.0, 22.0, 1.0, 1.0, false),
        ] {
            assert_eq!(free.is_free(Rect::mm(x, y, width, height)), is_free, "{x} {y} {width} {height}");
        }
        // Cells of half a millimetre.
        assert_eq!((free.inked(Rect::mm(10.0, 20.0, 20.0, 5.0)), free.inked(Rect::mm(0.0, 0.0, 11.0, 21.0))), (400, 4));
        let room = free.room(Rect::mm(8.0, 18.0, 40.0, 10.0));
        let size = room.largest();
        assert_eq!((size.width.to_mm().round(), size.height.to_mm().round()), (40.0, 3.0));
        assert_eq!(around(crate::plan::mm(5.0, 7.0), 2.0, 3.0), Rect::mm(3.0, 4.0, 4.0, 6.0));
    }
}
