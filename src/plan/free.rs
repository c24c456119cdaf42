//! Where there is no ink: a bitmap of the drawing in cells of a millimetre, asked for free windows.

use super::ink::{Ink, Outline};
use super::mm;
use crate::units::{Length, Point, Rect, Size};

/// Most cells that a map may have; a larger drawing gets coarser cells.
const MOST_CELLS: f64 = 8e6;

/// Strokes up to two cells wide are covered by their two edges alone.
const SOLID_FROM_MM: f64 = 2.0;

/// A bitmap of taken cells and, for quick questions, the counts of taken cells above and left of each corner.
#[derive(Debug)]
pub(super) struct FreeMap {
    origin: kurbo::Point,
    cell: f64,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
    sums: Vec<u32>,
}

impl FreeMap {
    /// A map of the extent (in the drawing), with every cell taken that ink touches.
    pub(super) fn of(ink: &Ink, extent: Rect) -> Self {
        let r = extent.to_kurbo_mm();
        let cell = (r.area() / MOST_CELLS).sqrt().max(1.0);
        let (columns, rows) = ((r.width() / cell).ceil().max(1.0) as usize, (r.height() / cell).ceil().max(1.0) as usize);
        let mut map = Self { origin: r.origin(), cell, columns, rows, taken: vec![false; columns * rows], sums: Vec::new() };
        for outline in ink.outlines() {
            map.take_outline(outline);
        }
        map.count();
        map
    }

    /// Marks rectangles (in the drawing) as taken too.
    pub(super) fn take(&mut self, areas: impl IntoIterator<Item = Rect>) {
        for area in areas {
            let (x0, y0, x1, y1) = self.reach(area.to_kurbo_mm());
            (y0..y1).for_each(|row| self.take_row(row, x0, x1));
        }
        self.count();
    }

    /// How many cells of a rectangle (in the drawing) are taken; outside of the map nothing is.
    pub(super) fn taken_in(&self, area: Rect) -> u32 {
        let (x0, y0, x1, y1) = self.reach(area.to_kurbo_mm());
        let sum = |x: usize, y: usize| self.sums.get(y * (self.columns + 1) + x).copied().unwrap_or(0);
        (sum(x1, y1) + sum(x0, y0)) - (sum(x0, y1) + sum(x1, y0))
    }

    /// The free window of a size inside a room that is nearest to its bottom left corner, if there is any.
    pub(super) fn window(&self, room: Rect, size: Size) -> Option<Rect> {
        self.windows(room, size).find(|window| self.taken_in(*window) == 0)
    }

    /// The window of a size inside a room with the least ink, nearest to its bottom left corner.
    pub(super) fn emptiest(&self, room: Rect, size: Size) -> Option<Rect> {
        self.windows(room, size).min_by_key(|window| self.taken_in(*window))
    }

    /// All windows of a size inside a room at steps of a cell, nearest to its bottom left corner first.
    fn windows(&self, room: Rect, size: Size) -> impl Iterator<Item = Rect> {
        let steps = |spare: Length| (spare.to_mm() / self.cell).floor();
        let (across, down) = (steps(room.width() - size.width), steps(room.height() - size.height));
        let fits = across >= 0.0 && down >= 0.0;
        let (across, down) = if fits { (across as usize + 1, down as usize + 1) } else { (0, 0) };
        let mut places: Vec<(usize, usize)> = (0..down).flat_map(|up| (0..across).map(move |right| (up, right))).collect();
        places.sort_by_key(|&(up, right)| (up * up + right * right, up));
        let cell = Length::mm(self.cell);
        places.into_iter().map(move |(up, right)| {
            let at = Point::new(room.min.x + cell * right as f64, room.max.y - size.height - cell * up as f64);
            Rect::new(at, size)
        })
    }

    fn take_outline(&mut self, outline: &Outline) {
        for (a, b) in outline.edges() {
            self.take_edge(a, b, outline.limit);
        }
        if outline.bounds.width().min(outline.bounds.height()) > SOLID_FROM_MM {
            self.take_inside(outline);
        }
    }

    /// Takes every cell that an edge passes through, row by row.
    fn take_edge(&mut self, a: kurbo::Point, b: kurbo::Point, limit: kurbo::Rect) {
        let reach = kurbo::Rect::from_points(a, b).intersect(limit);
        if reach.width() < 0.0 || reach.height() < 0.0 {
            return;
        }
        let (_, y0, _, y1) = self.reach(Rect::from_kurbo_mm(reach).to_kurbo_mm());
        for row in y0..y1 {
            let (top, bottom) = (self.row_y(row), self.row_y(row + 1));
            let at = |y: f64| if a.y == b.y { [a.x, b.x] } else { [a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y); 2] };
            let ends = [at(top.clamp(reach.y0, reach.y1)), at(bottom.clamp(reach.y0, reach.y1))].concat();
            let (from, to) = ends.iter().fold((f64::MAX, f64::MIN), |(low, high), &x| (low.min(x), high.max(x)));
            let (x0, _, x1, _) = self.reach(kurbo::Rect::new(from.max(limit.x0), top, to.min(limit.x1), bottom));
            self.take_row(row, x0, x1);
        }
    }

    /// Takes the cells whose middle lies inside an area, one scan line a row.
    fn take_inside(&mut self, outline: &Outline) {
        let (_, y0, _, y1) = self.reach(outline.bounds);
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); y1 - y0];
        for (a, b) in outline.edges() {
            let (_, from, _, to) = self.reach(kurbo::Rect::from_points(a, b).intersect(outline.bounds));
            for row in from..to {
                let y = self.row_y(row) + self.cell / 2.0;
                if (a.y <= y) != (b.y <= y) {
                    let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
                    crossings.get_mut(row - y0).into_iter().for_each(|list| list.push((x, if a.y <= y { 1 } else { -1 })));
                }
            }
        }
        for (row, mut list) in crossings.into_iter().enumerate() {
            list.sort_by(|a, b| a.0.total_cmp(&b.0));
            self.take_spans(row + y0, &list, outline);
        }
    }

    fn take_spans(&mut self, row: usize, crossings: &[(f64, i32)], outline: &Outline) {
        let mut winding = 0;
        for pair in crossings.windows(2) {
            let [(from, turn), (to, _)] = pair else { continue };
            winding += turn;
            if if outline.even_odd { winding % 2 != 0 } else { winding != 0 } {
                let y = self.row_y(row) + self.cell / 2.0;
                let span = kurbo::Rect::new(from.max(outline.limit.x0), y, to.min(outline.limit.x1), y);
                let (x0, _, x1, _) = self.reach(span);
                self.take_row(row, x0, x1);
            }
        }
    }

    fn take_row(&mut self, row: usize, from: usize, to: usize) {
        let start = row * self.columns;
        self.taken.get_mut(start + from..start + to.max(from)).into_iter().flatten().for_each(|cell| *cell = true);
    }

    fn row_y(&self, row: usize) -> f64 {
        self.origin.y + row as f64 * self.cell
    }

    /// The cells that a box touches: first column and row, and one past the last; none if it lies outside.
    fn reach(&self, area: kurbo::Rect) -> (usize, usize, usize, usize) {
        let low = |at: f64, count: usize| (at / self.cell).floor().clamp(0.0, count as f64) as usize;
        let high = |at: f64, count: usize| ((at / self.cell).floor() + 1.0).clamp(0.0, count as f64) as usize;
        let (x, y) = (area.x0 - self.origin.x, area.y0 - self.origin.y);
        let (x1, y1) = (area.x1 - self.origin.x, area.y1 - self.origin.y);
        (low(x, self.columns), low(y, self.rows), high(x1, self.columns), high(y1, self.rows))
    }

    fn count(&mut self) {
        let width = self.columns + 1;
        let mut sums = vec![0_u32; width * (self.rows + 1)];
        for (row, cells) in self.taken.chunks(self.columns).enumerate() {
            let mut along = 0;
            for (column, &taken) in cells.iter().enumerate() {
                along += u32::from(taken);
                let above = sums.get(row * width + column + 1).copied().unwrap_or(0);
                sums.get_mut((row + 1) * width + column + 1).into_iter().for_each(|sum| *sum = above + along);
            }
        }
        self.sums = sums;
    }
}

/// A rectangle around a point, in the drawing.
pub(super) fn around(at: Point, half_width: f64, half_height: f64) -> Rect {
    Rect::new(mm(at.x.to_mm() - half_width, at.y.to_mm() - half_height), Size::mm(2.0 * half_width, 2.0 * half_height))
}
