//! Inks an outline on a raster: the cells that its edges pass through, then those inside.

use super::bitmap::{self, Bitmap};
use super::edge::within;
use super::ink::Outline;
use super::lines::{Finger, Lines};
use kurbo::{Point, Rect};

/// A pen on a raster's cells.
pub(super) struct Pen<'a> {
    pub(super) xs: &'a Lines,
    pub(super) ys: &'a Lines,
    /// Where it is among the upright lines.
    pub(super) across: Finger<'a>,
    /// Where it is among the level lines.
    pub(super) down: Finger<'a>,
    pub(super) cells: &'a mut Bitmap,
}

impl Pen<'_> {
    /// Inks every cell whose open inside an outline has area in.
    pub(super) fn ink(&mut self, outline: &Outline) {
        // Where curves are drawn finely, most edges stay in the cell that one before them has inked.
        let mut inked = None;
        for (a, b) in outline.edges() {
            if inked.is_none_or(|cell| !(holds(cell, a) && holds(cell, b))) {
                self.edge(a, b, outline.limit);
                inked = self.inked_around(b);
            }
        }
        self.inside(outline);
    }

    /// The cell around a point, if it is inked already.
    fn inked_around(&mut self, at: Point) -> Option<Rect> {
        let (column, row) = (self.across.gap(at.x)?, self.down.gap(at.y)?);
        let cell = || Rect::new(self.xs.line(column), self.ys.line(row), self.xs.line(column + 1), self.ys.line(row + 1));
        bitmap::is_inked(self.cells.row(row), column).then(cell)
    }

    fn edge(&mut self, a: Point, b: Point, limit: Rect) {
        let Some((from, to)) = within(a, b, limit) else { return };
        let (a, b) = (a.lerp(b, from), a.lerp(b, to));
        let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
        for row in self.down.span(top, bottom) {
            let (above, below) = (self.ys.line(row), self.ys.line(row + 1));
            let (left, right) = stretch(a, b, above.max(top), below.min(bottom));
            let columns = self.across.span(left, right);
            self.cells.ink(row, &columns);
        }
    }

    /// Inks the cells inside an area; those that its edges pass through are inked already, and the rest of a row is inside or
    /// outside all along the middle of what the clips leave of it.
    fn inside(&mut self, outline: &Outline) {
        let rows = self.down.span(outline.bounds.y0, outline.bounds.y1);
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); rows.len()];
        // An edge that stays in the half of a row that the one before it ended in crosses no middle.
        let mut half = None;
        for (a, b) in outline.edges() {
            if half.is_some_and(|(above, below)| above < a.y.min(b.y) && a.y.max(b.y) < below) {
                continue;
            }
            let (top, bottom) = (a.y.min(b.y).max(outline.bounds.y0), a.y.max(b.y).min(outline.bounds.y1));
            for row in self.down.span(top, bottom) {
                let y = self.row_middle(row, outline.bounds);
                if (a.y <= y) != (b.y <= y) {
                    let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
                    let turn = if a.y <= y { 1 } else { -1 };
                    crossings.get_mut(row - rows.start).into_iter().for_each(|list| list.push((x, turn)));
                }
            }
            half = self.half_around(b.y, outline.bounds);
        }
        for (row, mut list) in rows.zip(crossings) {
            list.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
            self.spans(row, &list, outline);
        }
    }

    fn spans(&mut self, row: usize, crossings: &[(f64, i32)], outline: &Outline) {
        let mut winding = 0;
        for pair in crossings.windows(2) {
            let [(from, turn), (to, _)] = pair else { continue };
            winding += turn;
            let inside = if outline.even_odd { winding % 2 != 0 } else { winding != 0 };
            if inside {
                let columns = self.across.span(from.max(outline.limit.x0), to.min(outline.limit.x1));
                self.cells.ink(row, &columns);
            }
        }
    }

    /// The half of a row that a level lies in.
    fn half_around(&mut self, y: f64, within: Rect) -> Option<(f64, f64)> {
        let row = self.down.gap(y)?;
        let middle = self.row_middle(row, within);
        let (above, below) = (self.ys.line(row), self.ys.line(row + 1));
        Some(if y <= middle { (above, middle.min(below)) } else { (middle.max(above), below) })
    }

    fn row_middle(&self, row: usize, within: Rect) -> f64 {
        (self.ys.line(row).max(within.y0) + self.ys.line(row + 1).min(within.y1)) / 2.0
    }
}

/// Whether a point lies in a box or on its border.
fn holds(area: Rect, p: Point) -> bool {
    area.x0 <= p.x && p.x <= area.x1 && area.y0 <= p.y && p.y <= area.y1
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
