//! Every code of a finding is provoked by some test: its name stands in one, in Rust, in a judge, or in what a faulty kit must give.

use super::{root, text};
use std::collections::BTreeSet;
use std::path::Path;

/// Faults of kitwright itself, which nobody can bring about from outside, and a zip larger than the format can hold.
const NOT_FROM_OUTSIDE: [&str; 8] =
    ["bug-bundle", "bug-languages", "bug-lay", "bug-pdf", "bug-svg", "bug-table", "guide-template", "package-limit"];

#[test]
fn every_code_is_provoked_by_some_test() {
    let mut texts = Vec::new();
    collect(&root().join("tests"), &mut texts, &|_, text| Some(text));
    collect(&root().join("src"), &mut texts, &|path, text| match path.to_string_lossy().contains("tests") {
        true => Some(text),
        false => text.split_once("#[cfg(test)]").map(|(_, tests)| tests.to_owned()),
    });
    let named: BTreeSet<&str> =
        texts.iter().flat_map(|text| text.split(|c: char| !(c.is_ascii_lowercase() || c == '-'))).collect();
    let idle: Vec<String> = super::codes::codes().into_iter().filter(|code| !named.contains(code.as_str())).collect();
    assert_eq!(idle, NOT_FROM_OUTSIDE, "codes that no test provokes");
}

/// Texts of all tests beneath a folder, this file's own list left out.
fn collect(folder: &Path, texts: &mut Vec<String>, keep: &dyn Fn(&Path, String) -> Option<String>) {
    for entry in std::fs::read_dir(folder).expect("folder") {
        let path = entry.expect("entry").path();
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        if path.is_dir() {
            collect(&path, texts, keep);
        } else if ["rs", "py", "txt"].contains(&ending) && !path.ends_with("docs/provoked.rs") {
            texts.extend(keep(&path, text(&path)));
        }
    }
}
