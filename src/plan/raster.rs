//! A raster between lines that need not be evenly spaced: which of its cells hold ink, exactly.
//!
//! With lines at every place where a tile's edge may come to lie, each tile is a union of cells, so that questions about
//! tiles have exact answers although they are asked of a bitmap.

use super::edge::within;
use super::ink::Outline;
use super::lines::Lines;
use kurbo::{Point, Rect};
use std::ops::Range;

/// Cells between sorted vertical lines `xs` and level lines `ys`, in mm.
#[derive(Clone, Debug)]
pub(super) struct Raster {
    xs: Lines,
    ys: Lines,
    /// Row by row, a bit for everyone whose ink is there.
    marks: Vec<u32>,
}

/// Counts of inked cells above and left of every crossing of lines.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    width: usize,
    sums: Vec<u32>,
}

impl Raster {
    /// An empty raster between sorted lines, at least two each way.
    pub(super) fn between(xs: Lines, ys: Lines) -> Self {
        let cells = xs.gaps() * ys.gaps();
        Self { xs, ys, marks: vec![0; cells] }
    }

    /// Marks every cell whose open inside an outline has area in.
    pub(super) fn ink(&mut self, outline: &Outline, mark: u32) {
        for (a, b) in outline.edges() {
            self.ink_edge(a, b, outline.limit, mark);
        }
        self.ink_inside(outline, mark);
    }

    /// The marks of all cells, a row after the other.
    pub(super) fn rows(&self) -> std::slice::Chunks<'_, u32> {
        self.marks.chunks(self.columns().max(1))
    }

    /// Counts for quick questions.
    pub(super) fn sums(&self) -> Sums {
        let columns = self.columns();
        let width = columns + 1;
        let mut sums = vec![0_u32; width];
        for cells in self.rows() {
            let mut along = 0;
            let above = sums.len() - width;
            sums.push(0);
            for (column, &mark) in cells.iter().enumerate() {
                along += u32::from(mark != 0);
                let up = sums.get(above + column + 1).copied().unwrap_or(0);
                sums.push(up + along);
            }
        }
        Sums { width, sums }
    }

    fn columns(&self) -> usize {
        self.xs.gaps()
    }

    fn ink_edge(&mut self, a: Point, b: Point, limit: Rect, mark: u32) {
        let Some((from, to)) = within(a, b, limit) else { return };
        let (a, b) = (a.lerp(b, from), a.lerp(b, to));
        let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
        for row in self.ys.span(top, bottom) {
            let (above, below) = (self.ys.line(row), self.ys.line(row + 1));
            let (left, right) = stretch(a, b, above.max(top), below.min(bottom));
            let columns = self.xs.span(left, right);
            self.ink_row(row, columns, mark);
        }
    }

    /// Inks the cells inside an area; those that its edges pass through are inked already, and the rest of a row is inside or
    /// outside all along the middle of what the clips leave of it.
    fn ink_inside(&mut self, outline: &Outline, mark: u32) {
        let rows = self.ys.span(outline.bounds.y0, outline.bounds.y1);
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); rows.len()];
        for (a, b) in outline.edges() {
            let (top, bottom) = (a.y.min(b.y).max(outline.bounds.y0), a.y.max(b.y).min(outline.bounds.y1));
            for row in self.ys.span(top, bottom) {
                let y = self.row_middle(row, outline.bounds);
                if (a.y <= y) != (b.y <= y) {
                    let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
                    let turn = if a.y <= y { 1 } else { -1 };
                    crossings.get_mut(row - rows.start).into_iter().for_each(|list| list.push((x, turn)));
                }
            }
        }
        for (row, mut list) in rows.zip(crossings) {
            list.sort_by(|a, b| a.0.total_cmp(&b.0));
            self.ink_spans(row, &list, outline, mark);
        }
    }

    fn ink_spans(&mut self, row: usize, crossings: &[(f64, i32)], outline: &Outline, mark: u32) {
        let mut winding = 0;
        for pair in crossings.windows(2) {
            let [(from, turn), (to, _)] = pair else { continue };
            winding += turn;
            let inside = if outline.even_odd { winding % 2 != 0 } else { winding != 0 };
            if inside {
                let columns = self.xs.span(from.max(outline.limit.x0), to.min(outline.limit.x1));
                self.ink_row(row, columns, mark);
            }
        }
    }

    fn row_middle(&self, row: usize, within: Rect) -> f64 {
        let line = |index: usize| self.ys.line(index);
        (line(row).max(within.y0) + line(row + 1).min(within.y1)) / 2.0
    }

    fn ink_row(&mut self, row: usize, columns: Range<usize>, mark: u32) {
        let start = row * self.columns();
        self.marks.get_mut(start + columns.start..start + columns.end).into_iter().flatten().for_each(|cell| *cell |= mark);
    }
}

impl Sums {
    /// How many inked cells lie in these columns and rows.
    pub(super) fn count(&self, columns: &Range<usize>, rows: &Range<usize>) -> u32 {
        let sum = |x: usize, y: usize| self.sums.get(y * self.width + x).copied().unwrap_or(0);
        (sum(columns.end, rows.end) + sum(columns.start, rows.start))
            - (sum(columns.start, rows.end) + sum(columns.end, rows.start))
    }
}

/// Left and right end of an edge between two levels that it spans.
fn stretch(a: Point, b: Point, top: f64, bottom: f64) -> (f64, f64) {
    if a.y == b.y {
        return (a.x.min(b.x), a.x.max(b.x));
    }
    let at = |y: f64| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
    let (one, other) = (at(top), at(bottom));
    (one.min(other), one.max(other))
}
