//! Pseudo-languages, which show before any translator has worked whether a layout bears other languages.
//!
//! Their tags are those of CLDR: `en-XA`, words that are longer and full of accents, and `ar-XB`, words that run from right to
//! left. What the words say can still be read.

/// Words with accents, a third longer.
pub const ACCENTS: &str = "en-XA";
/// Words from right to left.
pub const MIRRORED: &str = "ar-XB";

/// Whether a tag is that of a pseudo-language.
pub fn is_pseudo(language: &str) -> bool {
    [ACCENTS, MIRRORED].contains(&language)
}

/// The words of a text in a pseudo-language. Placeholders, addresses, code and character references stay as they are.
pub fn pseudo(language: &str, text: &str) -> String {
    let mut said = String::with_capacity(text.len() * 2);
    let mut words = 0_usize;
    for (part, is_words) in parts(text) {
        match is_words {
            true => {
                words += part.chars().filter(|letter| letter.is_alphabetic()).count();
                said.push_str(&if language == MIRRORED { mirrored(part) } else { part.chars().map(accented).collect() });
            }
            false => said.push_str(part),
        }
    }
    if language == ACCENTS && words > 0 {
        // German needs about a third more room than English, short words more (from memory).
        let more = (words / 3).max(1);
        let filler: String =
            "one two three four five six seven eight nine ten ".chars().cycle().take(more).map(accented).collect();
        return format!("{} {}", said, filler.trim());
    }
    said
}

/// Stretches of a text, with whether they are words.
fn parts(text: &str) -> Vec<(&str, bool)> {
    const FENCES: [(&str, &str); 5] = [("{", "}"), ("](", ")"), ("`", "`"), ("<", ">"), ("&", ";")];
    let mut parts = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let next = FENCES.iter().filter_map(|(open, close)| {
            let (before, after) = rest.split_once(open)?;
            let inside = after.split_once(close)?.0;
            (!inside.contains(' ') || *open == "`").then_some((before.len(), open.len() + inside.len() + close.len()))
        });
        let Some((at, length)) = next.min() else { break };
        let (words, after) = rest.split_at(at);
        let (fenced, after) = after.split_at(length);
        parts.extend([(words, true), (fenced, false)]);
        rest = after;
    }
    parts.push((rest, true));
    parts
}

/// Letters that look like the plain ones, with marks above and below.
fn accented(letter: char) -> char {
    const PLAIN: &str = "AaCcDdEeGgHhIiJjKkLlNnOoRrSsTtUuWwYyZz";
    const MARKED: &str = "ÅåÇçĐđÉéĞğĤĥÎîĴĵĶķĻļÑñÖöŘřŠšŢţÛûŴŵÝýŽž";
    PLAIN.chars().zip(MARKED.chars()).find(|(plain, _)| *plain == letter).map_or(letter, |(_, marked)| marked)
}

/// Each word in an embedding that turns it round (U+202E, closed by U+202C: Unicode Standard Annex 9).
fn mirrored(words: &str) -> String {
    let word = |word: &str| match word.chars().any(char::is_alphanumeric) {
        true => format!("\u{202e}{word}\u{202c}"),
        false => word.to_owned(),
    };
    words
        .split_inclusive(' ')
        .map(|part| {
            let bare = part.trim_end_matches(' ');
            word(bare) + part.get(bare.len()..).unwrap_or_default()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_change_and_what_must_not_does_not() {
        let text = "Print {n} sheets, see [this](https://example.com/a) &amp; `code here`";
        let long = pseudo(ACCENTS, text);
        for kept in ["{n}", "](https://example.com/a)", "&amp;", "`code here`"] {
            assert!(long.contains(kept), "{kept}: {long}");
        }
        // 18 letters of words, so a blank and six more.
        assert!(long.chars().count() >= text.chars().count() + 7, "{long}");
        assert!(long.starts_with("Přîñţ"), "{long}");
        assert_eq!(pseudo(MIRRORED, "a {n} b"), "\u{202e}a\u{202c} {n} \u{202e}b\u{202c}");
        assert_eq!(pseudo(ACCENTS, "{mm}"), "{mm}");
    }
}
