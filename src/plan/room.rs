//! The free places of a part of the drawing.
//!
//! Where a place of some size is free is told for all places at once, a word of cells at a time. The largest one is found by the histogram
//! method: row by row the free cells above each cell of the row are its bar; the rectangles that a row of bars holds are found in
//! one pass with a stack (Morgan, "Programming from Specifications", 1990; from memory), so that the cost is that of the cells.

use super::NOISE_MM;
use super::bitmap::{self, Bitmap};
use crate::units::{Length, Point, Rect, Size};

/// Side of a cell: places for words are told apart no finer.
const CELL: Length = Length::mm(1.0);

/// From one place to another along an axis, in mm.
pub(super) type Stretch = (f64, f64);

/// A part of the drawing in cells of a millimetre, counted from its bottom left corner.
#[derive(Debug)]
pub(super) struct Room {
    area: Rect,
    columns: usize,
    /// Row by row from the bottom.
    taken: Bitmap,
}

impl Room {
    /// The room of an area (in the drawing), from where its columns of cells lie across, and its rows down from the lowest one up; to
    /// be told is which cells are taken.
    pub(super) fn of(area: Rect, cells_taken: impl Fn(&[Stretch], &[Stretch]) -> Bitmap) -> Self {
        let cells = |length: Length| (((length + Length::mm(NOISE_MM)) / CELL).floor()).max(0.0) as usize;
        let (columns, rows) = (cells(area.width()), cells(area.height()));
        let room = Self { area, columns, taken: Bitmap::blank(0, 0) };
        let cell = |left, up| room.place(left, up, Size::new(CELL, CELL)).to_kurbo_mm();
        let across: Vec<Stretch> = (0..columns).map(|left| cell(left, 0)).map(|cell| (cell.x0, cell.x1)).collect();
        let down: Vec<Stretch> = (0..rows).map(|up| cell(0, up)).map(|cell| (cell.y0, cell.y1)).collect();
        Self { taken: cells_taken(&across, &down), ..room }
    }

    /// The free place of a size that is nearest to the bottom left corner, if there is any.
    pub(super) fn nearest(&self, size: Size) -> Option<Rect> {
        let cells = |length: Length| ((length - Length::mm(NOISE_MM)) / CELL).ceil().max(1.0) as usize;
        let (width, height) = (cells(size.width), cells(size.height));
        let places = (self.columns + 1).checked_sub(width)?;
        let taken = self.taken.reached(width, height);
        let nearest_of_row = |(up, row)| bitmap::first_blank(row, places).map(|left: usize| (up * up + left * left, up, left));
        let (_, up, left) = taken.rows().enumerate().filter_map(nearest_of_row).min()?;
        Some(self.place(left, up, size))
    }

    /// The size of the largest free place by area.
    pub(super) fn largest(&self) -> Size {
        let mut bars = vec![0; self.columns];
        let rows: Vec<&[u64]> = self.taken.rows().collect();
        let mut largest = (0, 0);
        for row in rows.iter().rev() {
            bars.iter_mut().enumerate().for_each(|(at, bar)| *bar = if bitmap::is_inked(row, at) { 0 } else { *bar + 1 });
            rectangles(&bars, |width, height| {
                if width * height >= largest.0 * largest.1 {
                    largest = (width, height);
                }
            });
        }
        Size::new(CELL * largest.0 as f64, CELL * largest.1 as f64)
    }

    /// All places of a size at steps of a cell.
    pub(super) fn places(&self, size: Size) -> impl Iterator<Item = Rect> {
        let steps = |room: Length, length: Length| ((room - length + Length::mm(NOISE_MM)) / CELL).floor();
        let count = |steps: f64| if steps < 0.0 { 0 } else { steps as usize + 1 };
        let across = count(steps(self.area.width(), size.width));
        let down = count(steps(self.area.height(), size.height));
        (0..down).flat_map(move |up| (0..across).map(move |left| self.place(left, up, size)))
    }

    /// A size with its bottom left corner on a cell's.
    fn place(&self, left: usize, up: usize, size: Size) -> Rect {
        let at = Point::new(self.area.min.x + CELL * left as f64, self.area.max.y - CELL * up as f64 - size.height);
        Rect::new(at, size)
    }
}

/// Tells width and height of every rectangle under a row of bars that cannot grow sideways or up.
fn rectangles(bars: &[usize], mut each: impl FnMut(usize, usize)) {
    // Bars that still go on to the right, rising, each with where its height begins.
    let mut open: Vec<(usize, usize)> = Vec::new();
    for (at, &bar) in bars.iter().chain([&0]).enumerate() {
        let mut from = at;
        while let Some((left, height)) = open.pop_if(|(_, height)| *height > bar) {
            each(at - left, height);
            from = left;
        }
        if bar > 0 && open.last().is_none_or(|(_, height)| *height < bar) {
            open.push((from, bar));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SIDE: usize = 9;

    fn room(taken: &[(usize, usize)]) -> Room {
        let area = Rect::new(Point::default(), Size::mm(SIDE as f64, SIDE as f64));
        let cells_taken = |across: &[Stretch], down: &[Stretch]| {
            let mut cells = Bitmap::blank(down.len(), across.len());
            taken.iter().for_each(|(left, up)| cells.ink(*up, &(*left..left + 1)));
            cells
        };
        Room::of(area, cells_taken)
    }

    fn all_free(room: &Room, (left, up): (usize, usize), (width, height): (usize, usize)) -> bool {
        room.taken.band(&(up..up + height)).all(|row| !bitmap::any_inked(row, &(left..left + width)))
    }

    #[test]
    fn places_are_all_corners_that_a_size_fits_at() {
        let places: Vec<Rect> = room(&[]).places(Size::mm(4.0, 6.5)).collect();
        // Six across, three up, from the bottom left corner.
        assert_eq!((places.len(), places[0], places[17]), (18, Rect::mm(0.0, 2.5, 4.0, 6.5), Rect::mm(5.0, 0.5, 4.0, 6.5)));
        assert_eq!(room(&[]).places(Size::mm(9.0, 9.0)).count(), 1);
        assert_eq!(room(&[]).places(Size::mm(9.1, 1.0)).count() + room(&[]).places(Size::mm(1.0, 9.1)).count(), 0);
    }

    proptest! {
        #[test]
        fn the_nearest_place_is_free_and_none_is_nearer_or_larger(taken in prop::collection::vec((0..SIDE, 0..SIDE), 0..20), width in 1..=SIDE, height in 1..=SIDE) {
            let room = room(&taken);
            let corners = (0..=SIDE - height).flat_map(|up| (0..=SIDE - width).map(move |left| (left, up)));
            let best = corners.filter(|&at| all_free(&room, at, (width, height))).min_by_key(|&(left, up)| (up * up + left * left, up));
            let size = Size::mm(width as f64, height as f64);
            prop_assert_eq!(room.nearest(size), best.map(|(left, up)| room.place(left, up, size)));
            let largest = (1..=SIDE).flat_map(|w| (1..=SIDE).map(move |h| (w, h))).filter(|&(w, h)| {
                (0..=SIDE - h).any(|up| (0..=SIDE - w).any(|left| all_free(&room, (left, up), (w, h))))
            }).map(|(w, h)| w * h).max().unwrap_or(0);
            let found = room.largest();
            prop_assert_eq!((found.width.to_mm() * found.height.to_mm()).round() as usize, largest);
        }
    }
}
