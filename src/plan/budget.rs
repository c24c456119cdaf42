//! What small errors of trimming and taping add up to, and in which order to join so that they stay small.

use super::layout::Budget;
use crate::units::Length;
use std::ops::Range;

/// A strip of more sheets than this is unwieldy and drifts; it is joined in blocks.
const LONGEST_STRIP: usize = 5;

/// The error budget of a grid: opposite corners are joined through one row and one column of joins.
pub(super) fn budget(rows: usize, columns: usize, join_error: Length) -> Budget {
    let joins = rows.saturating_sub(1) + columns.saturating_sub(1);
    Budget { joins, expected: join_error * (joins as f64).sqrt(), worst: join_error * joins as f64 }
}

/// The blocks to join first, as ranges of columns: as few as keep every strip short, as even as can be.
pub(super) fn blocks(columns: usize) -> Vec<Range<usize>> {
    let count = columns.div_ceil(LONGEST_STRIP).max(1);
    (0..count).map(|block| block * columns / count..(block + 1) * columns / count).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn errors_add_up_by_chance_or_in_full() {
        // Propagation of independent errors: root of the sum of squares (any textbook of measurement, e.g. ISO/IEC Guide 98-3).
        let budget = budget(3, 3, Length::mm(0.3));
        assert_eq!(budget.joins, 4);
        assert!(budget.expected.within(Length::mm(0.6), Length::mm(1e-9)));
        assert!(budget.worst.within(Length::mm(1.2), Length::mm(1e-9)));
    }

    #[test]
    fn long_rows_are_joined_in_even_blocks() {
        assert_eq!(blocks(5), [0..5]);
        assert_eq!(blocks(8), [0..4, 4..8]);
        assert_eq!(blocks(11), [0..3, 3..7, 7..11]);
    }
}
