//! Names that a file in a package may have: safe to unpack on any computer.

/// Names that Windows keeps for devices, with any ending (Microsoft, "Naming Files, Paths, and Namespaces").
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "conin$", "conout$"];

/// Words that are looked up only once a name is refused.
type Why = fn() -> &'static str;

/// Why a name is refused, if it is.
pub(super) fn fault(name: &str) -> Option<&'static str> {
    // The most telling reason first: a path to the root also lies in a folder.
    let part = |wrong: fn(&str) -> bool| name.split('/').any(wrong);
    let faults: [(bool, Why); 7] = [
        (name.is_empty(), || words!("is-empty")),
        (name.starts_with('/'), || words!("starts-at-root")),
        (has_drive(name), || words!("names-drive")),
        (name.contains('\\'), || words!("holds-backslash")),
        (part(|part| part == ".." || part == "." || part.is_empty()), || words!("leads-out-of-folder")),
        (part(is_device), || words!("is-name-of-device")),
        (part(has_bad_characters), || words!("holds-characters-windows-refuses")),
    ];
    faults.iter().find(|(wrong, _)| *wrong).map(|(_, why)| why())
}

/// Whether a file lies in a folder, which only translators' bundles have.
pub(super) fn in_folder(name: &str) -> bool {
    name.contains('/')
}

fn has_drive(name: &str) -> bool {
    let mut chars = name.chars();
    matches!((chars.next(), chars.next()), (Some(letter), Some(':')) if letter.is_ascii_alphabetic())
}

fn is_device(name: &str) -> bool {
    // Windows takes `con.txt` and `con .txt` for the device as well.
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_lowercase();
    let numbered = |prefix: &str| {
        // The superscript digits count too, says the same page of Microsoft's.
        stem.strip_prefix(prefix).is_some_and(|rest| rest.chars().count() == 1 && rest.contains(is_port))
    };
    DEVICES.contains(&stem.as_str()) || numbered("com") || numbered("lpt")
}

fn is_port(digit: char) -> bool {
    digit.is_ascii_digit() || "¹²³".contains(digit)
}

fn has_bad_characters(name: &str) -> bool {
    name.ends_with(['.', ' ']) || name.contains(|c: char| c.is_control() || "<>:\"|?*".contains(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_refused_for_its_most_telling_reason() {
        let reasons = [
            (words!("is-empty"), vec![""]),
            (words!("starts-at-root"), vec!["/", "/x", "//host/x", "/../x"]),
            (words!("names-drive"), vec!["c:", "C:/x", "z:\\x"]),
            (words!("holds-backslash"), vec!["a\\b", "..\\x"]),
            (words!("leads-out-of-folder"), vec!["..", ".", "../x", "a/../b", "a/./b", "a//b", "a/"]),
            (words!("is-name-of-device"), vec!["con", "CON.txt", "a/prn", "nul .pdf", "com1", "lpt9.txt", "COM²", "conout$"]),
            (words!("holds-characters-windows-refuses"), vec!["a.", "a ", "a?b", "1:2", "a\u{7}b", "x|y", "a*/b", "a./b"]),
        ];
        for (why, names) in reasons {
            for name in names {
                assert_eq!(fault(name), Some(why), "{name}");
            }
        }
    }

    #[test]
    fn plain_names_are_none_of_these() {
        for name in ["a.pdf", "a/b.txt", "...x", ".hidden", "console", "com", "com10", "lpt", "comx", "1", "Größe 38.pdf"] {
            assert_eq!(fault(name), None, "{name}");
        }
        assert!(in_folder("a/b") && !in_folder("a-b"));
    }
}
