//! Where there is no ink: an even raster of the drawing, and what marks have taken of it since.

use super::NOISE_MM;
use super::ink::Ink;
use super::lines::Lines;
use super::raster::{Raster, Sums};
use super::room::Room;
use crate::units::{Point, Rect, Size};
use std::ops::Range;

/// Side of a cell in mm: well below the air around any mark.
const CELL_MM: f64 = 0.5;

/// Most cells that a map may have; a larger drawing gets coarser cells.
const MOST_CELLS: f64 = 8e6;

/// A map of the cells that ink touches; around it, all is free.
#[derive(Debug)]
pub(super) struct FreeMap {
    from: kurbo::Point,
    cell: f64,
    columns: usize,
    rows: usize,
    sums: Sums,
}

impl FreeMap {
    /// A map of all ink, which has a bounding box.
    pub(super) fn of(ink: &Ink, bounds: Rect) -> Self {
        let r = bounds.to_kurbo_mm();
        let cell = (r.area() / MOST_CELLS).sqrt().max(CELL_MM);
        let lines = |from: f64, length: f64| (0..=(length / cell).ceil() as u32).map(|i| from + f64::from(i) * cell).collect();
        let (xs, ys) = (Lines::of(lines(r.x0, r.width())), Lines::of(lines(r.y0, r.height())));
        let (columns, rows) = (xs.gaps(), ys.gaps());
        let mut raster = Raster::between(xs, ys);
        ink.outlines().for_each(|outline| raster.ink(outline, 1));
        Self { from: r.origin(), cell, columns, rows, sums: raster.sums() }
    }

    /// How many cells with ink a rectangle (in the drawing) reaches.
    fn inked(&self, area: Rect) -> u32 {
        let r = area.to_kurbo_mm();
        let span = |from: f64, to: f64, start: f64, count: usize| -> Range<usize> {
            let first = ((from - start + NOISE_MM) / self.cell).floor().max(0.0) as usize;
            let past = ((to - start - NOISE_MM) / self.cell).ceil().max(0.0) as usize;
            first.min(count)..past.clamp(first.min(count), count)
        };
        let columns = span(r.x0, r.x1, self.from.x, self.columns);
        self.sums.count(&columns, &span(r.y0, r.y1, self.from.y, self.rows))
    }
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
        self.map.inked(area) == 0 && !self.taken.iter().any(|taken| meet(*taken, area))
    }

    /// How much ink a rectangle (in the drawing) reaches, in cells of the map.
    pub(super) fn inked(&self, area: Rect) -> u32 {
        self.map.inked(area)
    }

    /// What is free in a part of the drawing, for many questions about it.
    pub(super) fn room(&self, area: Rect) -> Room {
        let near = Self { map: self.map, taken: self.taken.iter().copied().filter(|taken| meet(*taken, area)).collect() };
        Room::of(area, |cell| near.is_free(cell))
    }
}

/// Whether two rectangles share more than an edge.
fn meet(a: Rect, b: Rect) -> bool {
    let shared = a.to_kurbo_mm().intersect(b.to_kurbo_mm());
    shared.width() > NOISE_MM && shared.height() > NOISE_MM
}

/// A rectangle around a point, in the drawing.
pub(super) fn around(at: Point, half_width: f64, half_height: f64) -> Rect {
    let corner = super::mm(at.x.to_mm() - half_width, at.y.to_mm() - half_height);
    Rect::new(corner, Size::mm(2.0 * half_width, 2.0 * half_height))
}
