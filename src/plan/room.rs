//! The free rectangles of a part of the drawing, every one of them, by the histogram method.
//!
//! Row by row the free cells above each cell of the row are its bar; the rectangles that a row of bars holds are found in
//! one pass with a stack (Morgan, "Programming from Specifications", 1990; from memory), so that the cost is that of the cells.

use super::NOISE_MM;
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
    free: Vec<bool>,
}

/// A free rectangle in cells that cannot grow any way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gap {
    left: usize,
    up: usize,
    width: usize,
    height: usize,
}

impl Room {
    /// The room of an area (in the drawing), from where its columns of cells lie across, and its rows down from the lowest one up; to
    /// be told is which cells are free, a row after the other.
    pub(super) fn of(area: Rect, cells_free: impl Fn(&[Stretch], &[Stretch]) -> Vec<bool>) -> Self {
        let cells = |length: Length| (((length + Length::mm(NOISE_MM)) / CELL).floor()).max(0.0) as usize;
        let (columns, rows) = (cells(area.width()), cells(area.height()));
        let room = Self { area, columns, free: Vec::new() };
        let cell = |left, up| room.place(left, up, Size::new(CELL, CELL)).to_kurbo_mm();
        let across: Vec<Stretch> = (0..columns).map(|left| cell(left, 0)).map(|cell| (cell.x0, cell.x1)).collect();
        let down: Vec<Stretch> = (0..rows).map(|up| cell(0, up)).map(|cell| (cell.y0, cell.y1)).collect();
        Self { free: cells_free(&across, &down), ..room }
    }

    /// All its free rectangles, but those that are a part of a larger one.
    pub(super) fn gaps(&self) -> Vec<Gap> {
        let mut bars = vec![0; self.columns];
        let mut gaps = Vec::new();
        let rows: Vec<&[bool]> = self.free.chunks(self.columns.max(1)).collect();
        for (up, row) in rows.iter().enumerate().rev() {
            bars.iter_mut().zip(*row).for_each(|(bar, &free)| *bar = if free { *bar + 1 } else { 0 });
            let below = up.checked_sub(1).and_then(|below| rows.get(below)).map(|row| taken_before(row));
            let taken = |to: usize| below.as_ref().and_then(|below| below.get(to));
            let whole = |(left, width, _): &(usize, usize, usize)| below.is_none() || taken(*left) != taken(left + width);
            gaps.extend(rectangles(&bars).filter(whole).map(|(left, width, height)| Gap { left, up, width, height }));
        }
        gaps
    }

    /// The place of a size in one of the gaps that is nearest to the bottom left corner, if there is any.
    pub(super) fn nearest(&self, gaps: &[Gap], size: Size) -> Option<Rect> {
        let cells = |length: Length| ((length - Length::mm(NOISE_MM)) / CELL).ceil().max(0.0) as usize;
        let (width, height) = (cells(size.width), cells(size.height));
        let holding = gaps.iter().filter(|gap| gap.width >= width && gap.height >= height);
        let gap = holding.min_by_key(|gap| (gap.up * gap.up + gap.left * gap.left, gap.up))?;
        Some(self.place(gap.left, gap.up, size))
    }

    /// The size of the largest of the gaps by area.
    pub(super) fn largest(&self, gaps: &[Gap]) -> Size {
        let gap = gaps.iter().max_by_key(|gap| gap.width * gap.height);
        gap.map(|gap| Size::new(CELL * gap.width as f64, CELL * gap.height as f64)).unwrap_or_default()
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

/// How many cells of a row are taken before each, and before its end.
fn taken_before(row: &[bool]) -> Vec<usize> {
    let count = |sum: &mut usize, free: &bool| {
        *sum += usize::from(!free);
        Some(*sum)
    };
    [0].into_iter().chain(row.iter().scan(0, count)).collect()
}

/// Left, width and height of every rectangle under a row of bars that cannot grow sideways or up.
fn rectangles(bars: &[usize]) -> impl Iterator<Item = (usize, usize, usize)> {
    let mut found = Vec::new();
    // Bars that still go on to the right, rising, each with where its height begins.
    let mut open: Vec<(usize, usize)> = Vec::new();
    for (at, &bar) in bars.iter().chain([&0]).enumerate() {
        let mut from = at;
        while let Some((left, height)) = open.pop_if(|(_, height)| *height > bar) {
            found.push((left, at - left, height));
            from = left;
        }
        if bar > 0 && open.last().is_none_or(|(_, height)| *height < bar) {
            open.push((from, bar));
        }
    }
    found.into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SIDE: usize = 9;

    fn room(taken: &[(usize, usize)]) -> Room {
        let area = Rect::new(Point::default(), Size::mm(SIDE as f64, SIDE as f64));
        let mut room = Room::of(area, |across, down| vec![true; across.len() * down.len()]);
        taken.iter().for_each(|(left, up)| room.free[up * SIDE + left] = false);
        room
    }

    fn all_free(room: &Room, (left, up): (usize, usize), (width, height): (usize, usize)) -> bool {
        (up..up + height).all(|row| (left..left + width).all(|column| room.free[row * SIDE + column]))
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
        fn gaps_are_free_and_no_place_is_nearer(taken in prop::collection::vec((0..SIDE, 0..SIDE), 0..20), width in 1..=SIDE, height in 1..=SIDE) {
            let room = room(&taken);
            let gaps = room.gaps();
            for gap in &gaps {
                prop_assert!(all_free(&room, (gap.left, gap.up), (gap.width, gap.height)));
            }
            let corners = (0..=SIDE - height).flat_map(|up| (0..=SIDE - width).map(move |left| (left, up)));
            let best = corners.filter(|&at| all_free(&room, at, (width, height))).min_by_key(|&(left, up)| (up * up + left * left, up));
            let size = Size::mm(width as f64, height as f64);
            prop_assert_eq!(room.nearest(&gaps, size), best.map(|(left, up)| room.place(left, up, size)));
            let largest = (1..=SIDE).flat_map(|w| (1..=SIDE).map(move |h| (w, h))).filter(|&(w, h)| {
                (0..=SIDE - h).any(|up| (0..=SIDE - w).any(|left| all_free(&room, (left, up), (w, h))))
            }).map(|(w, h)| w * h).max().unwrap_or(0);
            let found = room.largest(&gaps);
            prop_assert_eq!((found.width.to_mm() * found.height.to_mm()).round() as usize, largest);
        }
    }
}
