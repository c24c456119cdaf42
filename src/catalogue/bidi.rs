//! Words of two directions in one line: values and parts are held apart, so that neither reorders the other.

use unicode_bidi::{BidiClass, bidi_class};

/// First strong isolate and its end: the stretch between them finds its own direction and disturbs no other (UAX 9, 2.4).
const ISOLATE: (char, char) = ('\u{2068}', '\u{2069}');
/// Marks without a picture that count as a letter of their direction.
const MARKS: (char, char) = ('\u{200e}', '\u{200f}');

/// The first sign, by its byte, that would go on steering the words behind a text, or that ends what the text never began.
/// Signs that are closed within it steer nothing else (UAX 9, 2.1 to 2.5).
pub fn loose(text: &str) -> Option<(usize, char)> {
    let mut open: Vec<(usize, char)> = Vec::new();
    for (at, sign) in text.char_indices() {
        match sign {
            '\u{202a}' | '\u{202b}' | '\u{202d}' | '\u{202e}' | '\u{2066}'..='\u{2068}' => open.push((at, sign)),
            '\u{202c}' | '\u{2069}' => match open.pop() {
                Some((_, opened)) if is_isolate(opened) == is_isolate(sign) => {}
                _ => return Some((at, sign)),
            },
            _ => {}
        }
    }
    open.into_iter().next()
}

fn is_isolate(sign: char) -> bool {
    sign >= '\u{2066}'
}

/// A value as it goes into a pattern of a language that is read this way. Numbers need no help, nor does a value in words of
/// the language's own direction; a list of values stays one line of it.
pub fn isolated(pattern: &str, value: &str, rtl: bool) -> String {
    let number = value.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
    let foreign = if rtl { has_rtl(pattern) && !has_rtl(value) } else { has_rtl(value) };
    if foreign && !number { wrapped(value) } else { value.to_owned() }
}

/// Parts of a line with a dot between them, in the order of a language that is read this way.
pub fn line(parts: &[&str], rtl: bool) -> String {
    if !rtl && !parts.iter().any(|part| has_rtl(part)) {
        return parts.join(" · ");
    }
    let parts: Vec<String> = parts.iter().map(|part| wrapped(part)).collect();
    format!("{}{}", if rtl { MARKS.1 } else { MARKS.0 }, parts.join(" · "))
}

fn wrapped(text: &str) -> String {
    format!("{}{text}{}", ISOLATE.0, ISOLATE.1)
}

fn has_rtl(text: &str) -> bool {
    text.chars().any(|c| matches!(bidi_class(c), BidiClass::R | BidiClass::AL))
}

#[cfg(test)]
mod tests {
    use super::*;
    use unicode_bidi::BidiInfo;

    /// How a line stands on paper, from left to right, without steering signs.
    fn shown(line: &str) -> String {
        let info = BidiInfo::new(line, None);
        let paragraph = info.paragraphs.first().unwrap();
        info.reorder_line(paragraph, paragraph.range.clone())
            .chars()
            .filter(|c| !"\u{200e}\u{200f}\u{2068}\u{2069}".contains(*c))
            .collect()
    }

    #[test]
    fn signs_that_would_steer_other_words_are_found() {
        for fine in ["", "a\u{2067}b\u{2069}c", "\u{202e}a\u{2066}b\u{2069}\u{202c}", "a\u{200e}b\u{200f}"] {
            assert_eq!(loose(fine), None, "{fine:?}");
        }
        let bad = [
            ("a\u{202e}b", 1),
            ("a\u{2069}", 1),
            ("\u{202c}", 0),
            ("\u{2067}a\u{202c}", 4),
            ("\u{202a}a\u{2069}", 4),
            ("\u{2066}\u{2066}a\u{2069}", 0),
        ];
        for (text, at) in bad {
            assert_eq!(loose(text).map(|(at, _)| at), Some(at), "{text:?}");
        }
    }

    #[test]
    fn values_keep_their_own_order() {
        let pattern = "من {from} إلى {to}";
        let (from, to) = (isolated(pattern, "A1", true), isolated(pattern, "3-7", true));
        assert_eq!(shown(&format!("من {from} إلى {to}")), "3-7 ىلإ A1 نم");
        assert_eq!(isolated("sheet {n}", "A1", false), "A1");
        assert_eq!(isolated(pattern, "14", true), "14");
        assert_ne!(isolated("sheet {n}", "صفحة", false), "صفحة");
    }

    #[test]
    fn an_arabic_list_begins_on_the_right() {
        let arabic = crate::catalogue::Messages::builtin("ar").unwrap();
        let list = arabic.list(&["34", "36", "38", "40"].map(String::from));
        assert_eq!(
            shown(&arabic.count("guide.package.sizes", 4, &[("sizes", &list)])).split(':').next(),
            Some(".40و 38و 36و 34 ")
        );
    }

    #[test]
    fn parts_follow_the_language() {
        assert_eq!(shown(&line(&["Apron", "ورقة", "A4"], true)), "A4 · ةقرو · Apron");
        assert_eq!(shown(&line(&["Apron", "ورقة", "A4"], false)), "Apron · ةقرو · A4");
        assert_eq!(line(&["Apron", "A4"], false), "Apron · A4");
    }
}
