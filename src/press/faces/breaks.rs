//! Where a line of words may be broken: at blanks, and between the letters of scripts that write without blanks.

use super::runs::reads_rtl;
use unicode_script::{Script, UnicodeScript};

/// Never at the beginning of a line (JIS X 4051, the signs among them that our texts can hold).
const NOT_FIRST: &str = "、。，．・：；？！ー）」』】〕〉》〜…‥ぁぃぅぇぉっゃゅょァィゥェォッャュョ々ゝゞ)]}%:;,.!?";
/// Never at the end of a line.
const NOT_LAST: &str = "（「『【〔〈《([{";

/// Words broken into the fewest lines of which each `fits`; a word that fits no line stays whole.
pub fn wrapped(text: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for piece in pieces(text) {
        match lines.last_mut() {
            Some(line) if fits(format!("{line}{piece}").trim_end()) => line.push_str(piece),
            _ => lines.push(piece.into()),
        }
    }
    let rtl = reads_rtl(text);
    lines.iter().map(|line| facing(line.trim_end_matches(' '), rtl)).collect()
}

/// A line that is read the way of its text, though its own first letter may point elsewhere.
fn facing(line: &str, rtl: bool) -> String {
    match (rtl, reads_rtl(line)) {
        (true, false) => format!("\u{200f}{line}"),
        (false, true) => format!("\u{200e}{line}"),
        _ => line.into(),
    }
}

/// Pieces that stay whole, each with the blanks behind it.
fn pieces(text: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let (mut start, mut before) = (0, None);
    for (at, c) in text.char_indices() {
        if before.is_some_and(|before| may_break(before, c)) {
            pieces.extend(text.get(start..at));
            start = at;
        }
        before = Some(c);
    }
    pieces.extend(text.get(start..).filter(|rest| !rest.is_empty()));
    pieces
}

/// A no-break space is no blank here: it holds number and unit together.
fn may_break(before: char, after: char) -> bool {
    if before == ' ' || before == '\n' {
        return after != ' ' && after != '\n';
    }
    let ideographic = |c: char| {
        matches!(c.script(), Script::Han | Script::Hiragana | Script::Katakana)
            || "、。，．：；？！ー（）「」『』・〜".contains(c)
    };
    ideographic(before)
        && (ideographic(after) || after.is_alphanumeric())
        && !NOT_FIRST.contains(after)
        && !NOT_LAST.contains(before)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn by_letters(text: &str, most: usize) -> Vec<String> {
        wrapped(text, |line| line.chars().count() <= most)
    }

    #[test]
    fn words_break_at_blanks_and_a_long_word_stays_whole() {
        assert_eq!(by_letters("a bc def", 4), ["a bc", "def"]);
        assert_eq!(by_letters("extraordinary is", 4), ["extraordinary", "is"]);
        assert_eq!(by_letters("100\u{a0}mm wide", 6), ["100\u{a0}mm", "wide"]);
        assert_eq!(by_letters("", 4), Vec::<String>::new());
    }

    // JIS X 4051, 4.3: signs that never begin or end a line. Its text is not free; the rule is given from memory.
    #[test]
    fn japanese_breaks_between_letters_but_not_before_a_stop_or_after_a_bracket() {
        assert_eq!(by_letters("縦と横を測る。", 6), ["縦と横を測", "る。"]);
        assert_eq!(by_letters("用紙「実寸」で", 3), ["用紙", "「実", "寸」で"]);
        assert_eq!(by_letters("1ページだけ", 4), ["1ページ", "だけ"]);
    }

    #[test]
    fn every_line_of_a_text_reads_the_same_way() {
        let lines = by_letters("\u{635}\u{641}\u{62d}\u{629} PDF file", 5);
        assert_eq!(lines, ["\u{635}\u{641}\u{62d}\u{629}", "\u{200f}PDF", "\u{200f}file"]);
    }
}
