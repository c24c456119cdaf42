//! Rows of bits: which cells of a raster hold ink.

use std::ops::Range;

/// Bits of a word.
const BITS: usize = u64::BITS as usize;

/// Cells in rows and columns, a bit each.
#[derive(Clone, Debug)]
pub(super) struct Bitmap {
    /// Words of a row.
    words: usize,
    bits: Vec<u64>,
}

impl Bitmap {
    /// So many rows and columns without ink.
    pub(super) fn blank(rows: usize, columns: usize) -> Self {
        let words = columns.div_ceil(BITS);
        Self { words, bits: vec![0; rows * words] }
    }

    /// Inks some cells of a row.
    #[inline]
    pub(super) fn ink(&mut self, row: usize, columns: &Range<usize>) {
        let row = self.bits.get_mut(row * self.words..(row + 1) * self.words).unwrap_or_default();
        for (word, mask) in masks(columns) {
            row.get_mut(word).into_iter().for_each(|bits| *bits |= mask);
        }
    }

    /// Inks all that is inked on another one of the same size.
    pub(super) fn add(&mut self, other: &Self) {
        add(&mut self.bits, &other.bits);
    }

    /// All rows.
    pub(super) fn rows(&self) -> impl Iterator<Item = &[u64]> {
        self.bits.chunks(self.words.max(1))
    }

    /// Some of its rows.
    pub(super) fn band(&self, rows: &Range<usize>) -> impl Iterator<Item = &[u64]> {
        let band = self.bits.get(rows.start * self.words..rows.end * self.words).unwrap_or_default();
        band.chunks(self.words.max(1))
    }

    /// A row with the ink of all of some rows.
    pub(super) fn gathered_row(&self, rows: &Range<usize>) -> Vec<u64> {
        let mut all = vec![0; self.words];
        self.band(rows).for_each(|row| add(&mut all, row));
        all
    }

    /// For each cell whether any of so many columns from it on, in so many rows from it on, is inked: what a block with its first
    /// corner there reaches, in columns that are there. There is no row for blocks that reach over the last one.
    pub(super) fn reached(&self, columns: usize, rows: usize) -> Self {
        let mut reached = self.clone();
        // Twice as many at a time: a block is two blocks of half the size.
        for step in steps(columns) {
            reached.bits.chunks_mut(self.words.max(1)).for_each(|row| add_shifted(row, step));
        }
        for step in steps(rows) {
            for at in 0..reached.bits.len().saturating_sub(step * self.words) {
                let ahead = reached.bits.get(at + step * self.words).copied().unwrap_or_default();
                reached.bits.get_mut(at).into_iter().for_each(|bits| *bits |= ahead);
            }
        }
        let past = self.bits.len().saturating_sub(rows.saturating_sub(1) * self.words);
        reached.bits.truncate(past);
        reached
    }

    /// For each window of rows a row with the ink of all of them, gathered from one pass forth and one back.
    ///
    /// Blocks begin at the borders, which rise; each window is a block, or reaches over one border and no more, so that two looks
    /// answer for it: what lies from its first row to the border, and what lies from there to its last (van Herk 1992; Gil and
    /// Werman 1993).
    pub(super) fn gathered(&self, windows: &[Range<usize>], borders: &[usize]) -> Self {
        let (mut before, mut behind) = (self.bits.clone(), self.bits.clone());
        let (first, last) = ([0], [self.bits.len() / self.words.max(1)]);
        for (from, to) in first.iter().chain(borders).zip(borders.iter().chain(&last)) {
            let block = from * self.words..to * self.words;
            let rows = before.get_mut(block.clone()).unwrap_or_default().chunks_mut(self.words.max(1));
            rows.reduce(|above, row| {
                add(row, above);
                row
            });
            let rows = behind.get_mut(block).unwrap_or_default().chunks_mut(self.words.max(1));
            rows.rev().reduce(|below, row| {
                add(row, below);
                row
            });
        }
        let row = |side: &[u64], row: usize| -> Vec<u64> {
            side.get(row * self.words..(row + 1) * self.words).unwrap_or_default().to_vec()
        };
        let both = |window: &Range<usize>| {
            let mut all = row(&behind, window.start);
            add(&mut all, &row(&before, window.end.saturating_sub(1)));
            all
        };
        Self { words: self.words, bits: windows.iter().flat_map(both).collect() }
    }
}

/// Whether a cell of a row is inked.
#[inline]
pub(super) fn is_inked(row: &[u64], column: usize) -> bool {
    row.get(column / BITS).is_some_and(|bits| bits >> (column % BITS) & 1 == 1)
}

/// Whether any of some cells of a row is inked.
#[inline]
pub(super) fn any_inked(row: &[u64], columns: &Range<usize>) -> bool {
    masks(columns).any(|(word, mask)| row.get(word).is_some_and(|bits| bits & mask != 0))
}

/// The runs of inked cells within some cells of a row.
pub(super) fn runs(row: &[u64], within: &Range<usize>) -> impl Iterator<Item = Range<usize>> {
    let Range { start: mut past, end } = *within;
    std::iter::from_fn(move || {
        let start = next(row, past, end, true);
        past = next(row, start, end, false);
        (start < end).then_some(start..past)
    })
}

/// The first of so many cells of a row that is not inked.
pub(super) fn first_blank(row: &[u64], columns: usize) -> Option<usize> {
    Some(next(row, 0, columns, false)).filter(|first| *first < columns)
}

/// The stretches of a row of so many cells that hold no ink and are no shorter than asked: first cell, and the one behind the last.
pub(super) fn gaps(row: &[u64], columns: usize, least: usize) -> Vec<(usize, usize)> {
    let mut gaps = Vec::new();
    let mut past = 0;
    while past < columns {
        let start = next(row, past, columns, false);
        past = next(row, start, columns, true);
        if past - start >= least.max(1) {
            gaps.push((start, past));
        }
    }
    gaps
}

/// The next cell with ink, or without, from one of them on; the number of all, if there is none.
fn next(row: &[u64], from: usize, columns: usize, inked: bool) -> usize {
    let flip = if inked { 0 } else { u64::MAX };
    let words = row.iter().enumerate().skip(from / BITS);
    let found = words.filter_map(|(word, bits)| {
        let ahead = u64::MAX << from.saturating_sub(word * BITS).min(BITS - 1);
        let bits = (bits ^ flip) & if word == from / BITS { ahead } else { u64::MAX };
        (bits != 0).then(|| word * BITS + bits.trailing_zeros() as usize)
    });
    found.into_iter().next().unwrap_or(columns).min(columns)
}

/// The words that hold some cells, each with their bits in it.
#[inline]
fn masks(columns: &Range<usize>) -> impl Iterator<Item = (usize, u64)> + use<> {
    let Range { start, end } = *columns;
    (start / BITS..end.div_ceil(BITS)).map(move |word| {
        let (from, to) = (start.saturating_sub(word * BITS), (end - word * BITS).min(BITS));
        (word, u64::MAX << from & u64::MAX >> (BITS - to))
    })
}

/// Steps that take one to a number, each at most as far as one has come.
fn steps(number: usize) -> impl Iterator<Item = usize> {
    let step = move |come: &usize| Some(come * 2).filter(|come| *come < number);
    std::iter::successors(Some(1).filter(|one| *one < number), step).map(move |come| come.min(number - come))
}

/// Inks each cell of a row if the one so many columns behind it is inked.
fn add_shifted(row: &mut [u64], columns: usize) {
    let (words, bits) = (columns / BITS, columns % BITS);
    for at in 0..row.len() {
        let word = |index: usize| row.get(index).copied().unwrap_or_default();
        let (near, far) = (word(at + words), word(at + words + 1));
        let shifted = near >> bits | far.checked_shl((BITS - bits) as u32).unwrap_or_default();
        row.get_mut(at).into_iter().for_each(|bits| *bits |= shifted);
    }
}

fn add(one: &mut [u64], other: &[u64]) {
    one.iter_mut().zip(other).for_each(|(one, other)| *one |= other);
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const WIDE: usize = 200;

    fn bitmap(rows: usize, cells: &[(usize, usize)]) -> Bitmap {
        let mut bitmap = Bitmap::blank(rows, WIDE);
        cells.iter().for_each(|(row, column)| bitmap.ink(row % rows, &(*column..column + 1)));
        bitmap
    }

    fn row_of(bitmap: &Bitmap, row: usize) -> &[u64] {
        bitmap.rows().nth(row).unwrap()
    }

    proptest! {
        #[test]
        fn cells_are_inked_or_in_a_gap(stretches in prop::collection::vec((0..WIDE, 1..90_usize), 0..5), least in 1..40_usize) {
            let mut bitmap = Bitmap::blank(3, WIDE);
            let mut cells = [false; WIDE];
            for (from, length) in stretches {
                bitmap.ink(1, &(from..(from + length).min(WIDE)));
                cells.iter_mut().skip(from).take(length).for_each(|cell| *cell = true);
            }
            prop_assert!((0..WIDE).all(|column| is_inked(row_of(&bitmap, 1), column) == cells[column]));
            prop_assert!((0..WIDE).all(|column| !is_inked(row_of(&bitmap, 0), column) && !is_inked(row_of(&bitmap, 2), column)));
            let held: Vec<usize> = runs(row_of(&bitmap, 1), &(least..WIDE - 7)).flatten().collect();
            prop_assert_eq!(held, (least..WIDE - 7).filter(|column| cells[*column]).collect::<Vec<_>>());
            let gaps = gaps(row_of(&bitmap, 1), WIDE, least);
            let mut after = 0;
            let free = cells.chunk_by(|one, other| one == other).filter_map(|run| {
                after += run.len();
                (!run[0] && run.len() >= least).then_some((after - run.len(), after))
            });
            prop_assert_eq!(gaps, free.collect::<Vec<_>>());
        }

        #[test]
        fn blocks_reach_what_their_cells_hold(cells in prop::collection::vec((0..12_usize, 0..WIDE), 0..40), width in 1..150_usize, height in 1..=12_usize) {
            let bitmap = bitmap(12, &cells);
            let reached = bitmap.reached(width, height);
            prop_assert_eq!(reached.rows().count(), 13 - height);
            for (up, row) in reached.rows().enumerate() {
                for left in 0..=WIDE - width {
                    let inked = cells.iter().any(|(row, column)| (up..up + height).contains(row) && (left..left + width).contains(column));
                    prop_assert_eq!(is_inked(row, left), inked);
                }
                let first = (0..=WIDE - width).find(|left| !is_inked(row, *left));
                prop_assert_eq!(first_blank(row, WIDE - width + 1), first);
            }
        }

        #[test]
        fn windows_hold_what_their_rows_hold(
            rows in 1..40_usize,
            cells in prop::collection::vec((0..40_usize, 0..WIDE), 0..60),
            length in 1..20_usize,
            first in 0..20_usize,
        ) {
            let bitmap = bitmap(rows, &cells);
            let borders: Vec<usize> = (first..rows).step_by(length).collect();
            // Whole windows, and those that the end cuts behind a border.
            let windows = (0..rows).map(|start| start..(start + length).min(rows));
            let windows: Vec<_> = windows.filter(|window| borders.iter().any(|border| window.contains(border))).collect();
            let gathered = bitmap.gathered(&windows, &borders);
            prop_assert_eq!(gathered.rows().count(), windows.len());
            for (window, row) in windows.iter().zip(gathered.rows()) {
                let all = window.clone().fold(vec![0; row.len()], |mut all, row| {
                    add(&mut all, row_of(&bitmap, row));
                    all
                });
                prop_assert_eq!(row, all);
            }
        }
    }
}
