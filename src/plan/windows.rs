//! Which marks lie in a window of cells, for all windows as long as a block of them, from one pass forth and one back.
//!
//! A window that is as long as a block reaches over at most one border of blocks, so that two looks answer for it: what
//! lies from its first cell to the border, and what lies from there to its last (van Herk 1992; Gil and Werman 1993).

use std::ops::Range;

/// Marks of cells in a row, gathered up to and from every border of a block.
#[derive(Debug)]
pub(super) struct Windows {
    /// From the border before each cell up to it.
    before: Vec<u32>,
    /// From each cell up to the border behind it.
    behind: Vec<u32>,
}

impl Windows {
    /// Over cells whose blocks begin at the borders; rising, and none twice.
    pub(super) fn over(cells: &[u32], borders: &[usize]) -> Self {
        let gather = |all: u32, cell: &mut u32| {
            *cell |= all;
            *cell
        };
        let mut before = cells.to_vec();
        let mut behind = cells.to_vec();
        let (first, last) = ([0], [cells.len()]);
        for (&from, &to) in first.iter().chain(borders).zip(borders.iter().chain(&last)) {
            before.get_mut(from..to).unwrap_or_default().iter_mut().fold(0, gather);
            behind.get_mut(from..to).unwrap_or_default().iter_mut().rev().fold(0, gather);
        }
        Self { before, behind }
    }

    /// All marks in a window that is a block, or reaches over one border and no more.
    pub(super) fn marks(&self, window: &Range<usize>) -> u32 {
        let at = |side: &[u32], cell: usize| side.get(cell).copied().unwrap_or(0);
        at(&self.behind, window.start) | at(&self.before, window.end.saturating_sub(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn windows_hold_what_their_cells_hold(cells in prop::collection::vec(0..8_u32, 1..60), length in 1..20_usize, first in 0..20_usize) {
            let borders: Vec<usize> = (first..cells.len()).step_by(length).collect();
            let windows = Windows::over(&cells, &borders);
            // Whole windows, and those that the end cuts behind a border.
            for start in 0..cells.len() {
                let window = start..(start + length).min(cells.len());
                if borders.iter().any(|border| (window.start..window.end).contains(border)) {
                    prop_assert_eq!(windows.marks(&window), cells[window].iter().fold(0, |all, cell| all | cell));
                }
            }
        }
    }
}
