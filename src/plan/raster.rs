//! A raster between lines that need not be evenly spaced: which of its cells hold ink, exactly.
//!
//! With lines at every place where a tile's edge may come to lie, each tile is a union of cells, so that questions about
//! tiles have exact answers although they are asked of a bitmap.

use super::bitmap::{self, Bitmap};
use super::ink::Outline;
use super::lines::Lines;
use super::pen::{Crossing, Pen};
use std::ops::Range;

/// Cells between sorted vertical lines `xs` and level lines `ys`, in mm.
#[derive(Clone, Debug)]
pub(super) struct Raster {
    xs: Lines,
    ys: Lines,
    cells: Bitmap,
    /// Room for the pen's notes.
    crossings: Vec<Vec<Crossing>>,
}

/// Counts of inked cells above and left of every crossing of lines.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    width: usize,
    sums: Vec<u32>,
}

/// The counts above and below some rows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Band<'a> {
    above: &'a [u32],
    below: &'a [u32],
}

impl Raster {
    /// An empty raster between sorted lines, at least two each way.
    pub(super) fn between(xs: Lines, ys: Lines) -> Self {
        let cells = Bitmap::blank(ys.gaps(), xs.gaps());
        let crossings = vec![Vec::new(); ys.gaps()];
        Self { xs, ys, cells, crossings }
    }

    /// Inks every cell whose open inside an outline has area in.
    pub(super) fn ink(&mut self, outline: &Outline) {
        let corner = outline.bounds.origin();
        let (across, down) = (self.xs.finger(corner.x), self.ys.finger(corner.y));
        let (cells, crossings) = (&mut self.cells, &mut self.crossings);
        Pen { xs: &self.xs, ys: &self.ys, across, down, cells, crossings }.ink(outline);
    }

    /// All its cells.
    pub(super) fn cells(self) -> Bitmap {
        self.cells
    }
}

impl Sums {
    /// The counts of some cells, in rows of so many columns.
    pub(super) fn of(cells: &Bitmap, columns: usize) -> Self {
        let width = columns + 1;
        let mut sums = vec![0_u32; width];
        sums.reserve_exact(width * cells.rows().count());
        for cells in cells.rows() {
            let above = sums.len() - width;
            sums.extend_from_within(above..);
            let mut along = 0;
            for (column, sum) in sums.iter_mut().skip(above + width + 1).enumerate() {
                along += u32::from(bitmap::is_inked(cells, column));
                *sum += along;
            }
        }
        Self { width, sums }
    }

    /// Some rows, for questions about their columns.
    pub(super) fn band(&self, rows: &Range<usize>) -> Band<'_> {
        let line = |row: usize| self.sums.get(row * self.width..(row + 1) * self.width).unwrap_or_default();
        Band { above: line(rows.start), below: line(rows.end) }
    }
}

impl Band<'_> {
    /// How many inked cells lie in these columns.
    #[inline]
    pub(super) fn count(&self, columns: &Range<usize>) -> u32 {
        let sum = |line: &[u32], column: usize| line.get(column).copied().unwrap_or(0);
        (sum(self.below, columns.end) + sum(self.above, columns.start))
            - (sum(self.below, columns.start) + sum(self.above, columns.end))
    }
}
