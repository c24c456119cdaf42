//! The publisher's plain text, taken apart into paragraphs and lists.

use serde::Serialize;

/// A paragraph, or a list of short lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Block {
    /// Running text.
    Paragraph(String),
    /// Each line began with a hyphen.
    List(Vec<String>),
}

/// Takes a text apart: blank lines part paragraphs, a line break inside one is a blank, and lines that begin with a hyphen
/// and a blank are a list.
pub fn blocks(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut fresh = true;
    for line in text.lines().map(str::trim) {
        match (line, line.strip_prefix("- "), blocks.last_mut().filter(|_| !fresh)) {
            ("", ..) => {}
            (_, Some(item), Some(Block::List(items))) => items.push(item.trim_start().into()),
            (_, Some(item), _) => blocks.push(Block::List(vec![item.trim_start().into()])),
            (_, None, Some(Block::Paragraph(words))) => continue_with(words, line),
            // A line without a hyphen carries on the last line of a list.
            (_, None, Some(Block::List(items))) => items.last_mut().into_iter().for_each(|item| continue_with(item, line)),
            (_, None, None) => blocks.push(Block::Paragraph(line.into())),
        }
        fresh = line.is_empty();
    }
    blocks
}

fn continue_with(words: &mut String, line: &str) {
    words.extend([" ", line]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blank_lines_part_paragraphs_and_hyphens_make_lists() {
        let text =
            "First line\nof one.\r\n\r\n\nSecond.\n- thread\n  in black\n- two buttons\n\nThird - with a hyphen.\n-5 °C\n";
        let list = Block::List(vec!["thread in black".into(), "two buttons".into()]);
        let words = |text: &str| Block::Paragraph(text.into());
        let expected = [words("First line of one."), words("Second."), list, words("Third - with a hyphen. -5 °C")];
        assert_eq!(blocks(text), expected);
        assert_eq!(blocks(" \n\n"), []);
    }
}
