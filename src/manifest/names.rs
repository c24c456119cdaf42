//! Names of files that every system can hold, and names that some of them take for one.

use unicode_normalization::UnicodeNormalization;

/// Names that Windows keeps for devices, whatever ending follows; the last two have a digit behind them (from memory:
/// Microsoft, "Naming Files, Paths, and Namespaces").
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
const PORTS: [&str; 2] = ["com", "lpt"];
/// Digits that Windows takes for those of a port.
const DIGITS: [char; 13] = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', '¹', '²', '³'];
/// Signs that Windows has in no name.
const SIGNS: [char; 7] = ['<', '>', '"', '|', '?', '*', ':'];

/// Whether a name means a device on Windows, with or without an ending.
pub fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_lowercase();
    let port = stem.strip_suffix(DIGITS).is_some_and(|stem| PORTS.contains(&stem));
    DEVICES.contains(&stem.as_str()) || port
}

/// What keeps some system from having a file or folder of this name, as a clause without a subject.
pub fn problem(name: &str) -> Option<&'static str> {
    if is_device(name) {
        Some(words!("is-kept-by-windows"))
    } else if name.ends_with(['.', ' ']) {
        Some(words!("ends-in-dot-or-blank"))
    } else if name.starts_with(' ') || name.contains(is_odd) {
        Some(words!("has-signs-not-in-names"))
    } else {
        None
    }
}

/// A name like it that every system can hold.
pub fn suggestion(name: &str) -> String {
    let plain: String = name.chars().map(|c| if is_odd(c) { '-' } else { c }).collect();
    let plain = plain.trim_matches([' ', '.', '-']);
    match plain {
        "" => "file".into(),
        device if is_device(device) => format!("my-{device}"),
        plain => plain.into(),
    }
}

/// Signs that no name has everywhere, or that cannot be seen.
fn is_odd(c: char) -> bool {
    SIGNS.contains(&c)
        || c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// What a name is to a system that tells neither capitals nor ways of writing an accent apart.
pub fn folded(name: &str) -> String {
    name.nfc().flat_map(char::to_lowercase).nfc().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_some_system_cannot_have_are_told_and_mended() {
        let bad = [
            ("con", "my-con"),
            ("NUL.md", "my-NUL.md"),
            ("Aux.tar.gz", "my-Aux.tar.gz"),
            ("com1", "my-com1"),
            ("LPT9.svg", "my-LPT9.svg"),
            ("com².svg", "my-com².svg"),
            ("prn .txt", "my-prn .txt"),
            ("end.", "end"),
            ("end ", "end"),
            (" start", "start"),
            ("a?b", "a-b"),
            ("a\u{202e}b", "a-b"),
            ("...", "file"),
        ];
        for (name, better) in bad {
            assert!(problem(name).is_some(), "{name}");
            assert_eq!(suggestion(name), better, "{name}");
            assert_eq!(problem(better), None, "{better}");
        }
        for fine in ["console", "com10", "lpt", "con-1.md", "überzug é.svg", ".hidden", "a b"] {
            assert_eq!(problem(fine), None, "{fine}");
        }
    }

    #[test]
    fn capitals_and_accents_in_two_ways_make_no_difference() {
        assert_eq!(folded("Bücher.md"), folded("bu\u{308}CHER.md"));
        assert_ne!(folded("bucher.md"), folded("bücher.md"));
    }
}
