//! Texts with holes: `sheet {n} of {total}`, filled by name; `{{` and `}}` stand for braces.

use std::collections::BTreeSet;

/// A stretch of a pattern.
#[derive(Debug, PartialEq, Eq)]
enum Part<'a> {
    /// Words as they are.
    Words(&'a str),
    /// A hole, by name.
    Hole(&'a str),
}

/// The pattern with its holes filled; a hole without a value stays as it is written, so that the fault can be seen.
pub fn fill(pattern: &str, values: &[(&str, &str)]) -> String {
    let mut filled = String::with_capacity(pattern.len());
    for part in parts(pattern) {
        match part {
            Part::Words(words) => filled.push_str(words),
            Part::Hole(name) => match values.iter().find(|(known, _)| *known == name) {
                Some((_, value)) => filled.push_str(value),
                None => filled.extend(["{", name, "}"]),
            },
        }
    }
    filled
}

/// Names of the holes of a pattern.
pub fn holes(pattern: &str) -> BTreeSet<&str> {
    let names = parts(pattern).into_iter().filter_map(|part| match part {
        Part::Hole(name) => Some(name),
        Part::Words(_) => None,
    });
    names.collect()
}

/// Takes a pattern apart. A brace without its partner counts as words.
fn parts(pattern: &str) -> Vec<Part<'_>> {
    let mut parts = Vec::new();
    let mut rest = pattern;
    while let Some(at) = rest.find(['{', '}']) {
        let (words, braced) = rest.split_at(at);
        let (part, after) = braced_part(braced);
        parts.extend([Part::Words(words), part]);
        rest = after;
    }
    parts.push(Part::Words(rest));
    parts
}

/// Reads the hole, doubled brace or lone brace that a text begins with, and gives what follows it.
fn braced_part(text: &str) -> (Part<'_>, &str) {
    let doubled = text.starts_with("{{") || text.starts_with("}}");
    let hole = text.strip_prefix('{').filter(|_| !doubled).and_then(|inside| inside.split_once('}'));
    match hole {
        Some((name, after)) => (Part::Hole(name), after),
        None => {
            let brace = if text.starts_with('{') { "{" } else { "}" };
            let after = text.strip_prefix(brace).unwrap_or_default();
            (Part::Words(brace), after.strip_prefix(brace).filter(|_| doubled).unwrap_or(after))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // The rules of braces are those of Python's str.format, "Format String Syntax", which `python-brace-format` names.
    #[test]
    fn holes_are_filled_by_name() {
        assert_eq!(fill("sheet {n} of {total}", &[("total", "14"), ("n", "3")]), "sheet 3 of 14");
        assert_eq!(fill("{{n}} is {n}", &[("n", "é")]), "{n} is é");
        assert_eq!(holes("{b} and {a} and {b}, {{c}}").into_iter().collect::<Vec<_>>(), ["a", "b"]);
    }

    #[test]
    fn a_value_is_never_read_as_a_pattern() {
        assert_eq!(fill("{a}{b}", &[("a", "{b}"), ("b", "x")]), "{b}x");
    }

    #[test]
    fn what_cannot_be_filled_stays_visible() {
        assert_eq!(fill("{n} of {total", &[]), "{n} of {total");
        assert_eq!(fill("}{", &[]), "}{");
        assert_eq!(fill("", &[]), "");
    }
}
