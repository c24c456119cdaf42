//! Sheet labels: a letter for the row, a number for the column.

/// `A1` for the top left sheet; after row Z comes AA. Rows and columns count from 0.
pub fn sheet_label(row: usize, column: usize) -> String {
    let mut letters = Vec::new();
    let mut left = row + 1;
    while left > 0 {
        left -= 1;
        letters.push(char::from(b'A' + u8::try_from(left % 26).unwrap_or(0)));
        left /= 26;
    }
    letters.iter().rev().chain((column + 1).to_string().chars().collect::<Vec<_>>().iter()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        let labels =
            [(0, 0, "A1"), (1, 9, "B10"), (25, 0, "Z1"), (26, 2, "AA3"), (51, 0, "AZ1"), (52, 0, "BA1"), (702, 0, "AAA1")];
        for (row, column, label) in labels {
            assert_eq!(sheet_label(row, column), label);
        }
    }
}
