//! Where there is no ink: an even raster of the drawing, asked for free windows.

use super::ink::Ink;
use super::raster::{Raster, Sums};
use super::{NOISE_MM, mm};
use crate::units::{Length, Point, Rect, Size};

/// Most cells that a map may have; a larger drawing gets coarser cells than 1 mm.
const MOST_CELLS: f64 = 8e6;

/// A map of taken cells.
#[derive(Clone, Debug)]
pub(super) struct FreeMap {
    cell: f64,
    raster: Raster,
    sums: Sums,
}

impl FreeMap {
    /// A map of the extent (in the drawing), with every cell taken that ink touches.
    pub(super) fn of(ink: &Ink, extent: Rect) -> Self {
        let r = extent.to_kurbo_mm();
        let cell = (r.area() / MOST_CELLS).sqrt().max(1.0);
        let lines = |from: f64, length: f64| (0..=(length / cell).ceil() as u32).map(|i| from + f64::from(i) * cell).collect();
        let mut raster = Raster::between(lines(r.x0, r.width()), lines(r.y0, r.height()));
        ink.outlines().for_each(|outline| raster.ink(outline, 1));
        let sums = raster.sums();
        Self { cell, raster, sums }
    }

    /// Marks rectangles (in the drawing) as taken too.
    pub(super) fn take(&mut self, areas: impl IntoIterator<Item = Rect>) {
        areas.into_iter().for_each(|area| self.raster.ink_box(area.to_kurbo_mm()));
        self.sums = self.raster.sums();
    }

    /// How many cells of a rectangle (in the drawing) are taken; outside of the map nothing is.
    pub(super) fn taken_in(&self, area: Rect) -> u32 {
        let r = area.to_kurbo_mm();
        self.sums.count(&self.raster.columns_of(r.x0, r.x1), &self.raster.rows_of(r.y0, r.y1))
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
        let steps = |spare: Length| ((spare.to_mm() + NOISE_MM) / self.cell).floor();
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
}

/// A rectangle around a point, in the drawing.
pub(super) fn around(at: Point, half_width: f64, half_height: f64) -> Rect {
    Rect::new(mm(at.x.to_mm() - half_width, at.y.to_mm() - half_height), Size::mm(2.0 * half_width, 2.0 * half_height))
}
