//! Inks an outline on a raster: the cells that its edges pass through, then those inside.

use super::bitmap::Bitmap;
use super::edge::{holds, within};
use super::ink::Outline;
use super::lines::{Finger, Lines};
use kurbo::{Point, Rect};
use std::ops::Range;

/// A pen on a raster's cells.
pub(super) struct Pen<'a> {
    pub(super) xs: &'a Lines,
    pub(super) ys: &'a Lines,
    /// Where it is among the upright lines.
    pub(super) across: Finger<'a>,
    /// Where it is among the level lines.
    pub(super) down: Finger<'a>,
    pub(super) cells: &'a mut Bitmap,
    /// A row each, all empty.
    pub(super) crossings: &'a mut [Vec<Crossing>],
}

/// Where an edge passes the middle of a row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    x: f64,
    /// Down 1, up −1.
    turn: i32,
    /// The first column that holds ink from here on.
    first: u32,
    /// The column behind the last that holds ink up to here.
    past: u32,
}

impl Crossing {
    /// A crossing with its columns, by a finger that is near.
    #[inline]
    fn of(across: &mut Finger, x: f64, turn: i32) -> Self {
        let Range { start, end } = across.ends(x, x);
        Self { x, turn, first: start as u32, past: end as u32 }
    }
}

/// Column and row of a cell.
type Cell = (usize, usize);

impl Pen<'_> {
    /// Inks every cell whose open inside an outline has area in.
    pub(super) fn ink(&mut self, outline: &Outline) {
        let mut last = (Point::new(f64::NAN, f64::NAN), None);
        // The cell that was inked last, and the middle of its row.
        let mut here = (None, 0.0);
        for run in outline.runs() {
            let whole = holds(outline.limit, run.bounds);
            for (a, b) in run.edges() {
                let from = if last.0 == a { last.1 } else { self.cell(a) };
                let to = self.cell(b);
                match (from.filter(|_| whole), to.filter(|_| whole)) {
                    (Some(from), Some(to)) if from == to && here.0 == Some(to) => self.cross_at(a, b, to.1, here.1),
                    (Some(from), Some(to)) => {
                        self.step((a, from), (b, to), outline);
                        here = (Some(to), self.row_middle(to.1, outline.bounds));
                    }
                    _ => self.edge(a, b, outline),
                }
                last = (b, to);
            }
        }
        self.inside(outline);
    }

    /// The cell that a point lies in and well off its sides.
    #[inline]
    fn cell(&mut self, at: Point) -> Option<Cell> {
        Some((self.across.inner(at.x)?, self.down.inner(at.y)?))
    }

    /// An edge that no clip cuts between two cells. Where curves are drawn finely, most edges stay in a cell, in a row or in a column.
    #[inline]
    fn step(&mut self, (a, (column, row)): (Point, Cell), (b, (to_column, to_row)): (Point, Cell), outline: &Outline) {
        let (columns, rows) = (column.min(to_column)..column.max(to_column) + 1, row.min(to_row)..row.max(to_row) + 1);
        if rows.len() > 1 && columns.len() > 1 {
            self.pass(a, b, rows.clone());
        } else {
            rows.clone().for_each(|row| self.cells.ink(row, &columns));
        }
        self.cross(a, b, rows, outline.bounds);
    }

    /// An edge that clips may cut, or that ends on a line.
    fn edge(&mut self, a: Point, b: Point, outline: &Outline) {
        if let Some((from, to)) = within(a, b, outline.limit) {
            let (a, b) = (a.lerp(b, from), a.lerp(b, to));
            let rows = self.down.span(a.y.min(b.y), a.y.max(b.y));
            self.pass(a, b, rows);
        }
        let rows = self.down.span(a.y.min(b.y).max(outline.bounds.y0), a.y.max(b.y).min(outline.bounds.y1));
        self.cross(a, b, rows, outline.bounds);
    }

    /// Inks the cells of some rows that an edge passes through.
    fn pass(&mut self, a: Point, b: Point, rows: Range<usize>) {
        let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
        for row in rows {
            let (above, below) = (self.ys.line(row), self.ys.line(row + 1));
            let (left, right) = stretch(a, b, above.max(top), below.min(bottom));
            let columns = self.across.span(left, right);
            self.cells.ink(row, &columns);
        }
    }

    /// Notes where an edge passes the middles of some rows.
    #[inline]
    fn cross(&mut self, a: Point, b: Point, rows: Range<usize>, bounds: Rect) {
        for row in rows {
            self.cross_at(a, b, row, self.row_middle(row, bounds));
        }
    }

    /// Notes where an edge passes the middle of a row, if it does.
    #[inline]
    fn cross_at(&mut self, a: Point, b: Point, row: usize, middle: f64) {
        if (a.y <= middle) != (b.y <= middle) {
            let x = a.x + (b.x - a.x) * (middle - a.y) / (b.y - a.y);
            let crossing = Crossing::of(&mut self.across, x, if a.y <= middle { 1 } else { -1 });
            self.crossings.get_mut(row).into_iter().for_each(|list| list.push(crossing));
        }
    }

    /// Inks the cells inside an area; those that its edges pass through are inked already, and the rest of a row is inside or
    /// outside all along the middle of what the clips leave of it.
    fn inside(&mut self, outline: &Outline) {
        let [left, right] = [outline.limit.x0, outline.limit.x1].map(|x| Crossing::of(&mut self.xs.finger(x), x, 0));
        for row in self.down.span(outline.bounds.y0, outline.bounds.y1) {
            let Some(crossings) = self.crossings.get_mut(row) else { continue };
            crossings.sort_unstable_by(|a, b| a.x.total_cmp(&b.x));
            let mut winding = 0;
            for pair in crossings.windows(2) {
                let [from, to] = pair else { continue };
                winding += from.turn;
                let inside = if outline.even_odd { winding % 2 != 0 } else { winding != 0 };
                if inside && from.x.max(left.x) <= to.x.min(right.x) {
                    self.cells.ink(row, &(from.first.max(left.first) as usize..to.past.min(right.past) as usize));
                }
            }
            crossings.clear();
        }
    }

    fn row_middle(&self, row: usize, within: Rect) -> f64 {
        (self.ys.line(row).max(within.y0) + self.ys.line(row + 1).min(within.y1)) / 2.0
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
