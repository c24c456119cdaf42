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
