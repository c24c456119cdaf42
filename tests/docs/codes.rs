//! The table of findings in docs/messages.md holds every code of the program, and no other.

use super::{root, text};
use std::collections::BTreeSet;
use std::path::Path;

/// Words of the source that look like codes of a family, but name keys of the manifest, of SVG, or kinds of checks.
const OTHERS: [&str; 16] = [
    "catalogue-file",
    "catalogue-merge",
    "catalogue-status",
    "catalogue-update",
    "control-measurements",
    "fabric-table",
    "font-size",
    "margin-sets",
    "mark-colour",
    "scale-mark",
    "size-files",
    "size-lines",
    "size-names",
    "size-table",
    "transform-origin",
    "xml-stylesheet",
];

#[test]
fn codes_and_table_agree() {
    let (told, source) = (told(), source());
    let sure = sure(&source);
    assert!(sure.len() > 100, "only {} codes were found in the source", sure.len());
    let missing: Vec<_> = sure.difference(&told).collect();
    assert!(missing.is_empty(), "docs/messages.md lacks {missing:?}");

    let written = literals(&source);
    let stale: Vec<_> = told.difference(&written).collect();
    assert!(stale.is_empty(), "docs/messages.md has codes that no source holds: {stale:?}");

    let idle: Vec<_> = OTHERS.iter().filter(|word| !written.contains(**word)).collect();
    assert!(idle.is_empty(), "OTHERS of this test holds words that no source has: {idle:?}");

    // A code may be handed on by a helper; then its first word gives it away, as in `unsupported-…`.
    let families: BTreeSet<&str> = told.iter().filter_map(|code| code.split('-').next()).collect();
    let alike = |word: &&String| word.split('-').next().is_some_and(|first| families.contains(first));
    let untold: Vec<_> =
        written.iter().filter(alike).filter(|word| !told.contains(*word) && !OTHERS.contains(&word.as_str())).collect();
    assert!(untold.is_empty(), "codes for docs/messages.md, or words for OTHERS in this test: {untold:?}");
}

/// First cells of the rows of tables, in backticks. Each code stands once.
fn told() -> BTreeSet<String> {
    let text = text("docs/messages.md");
    let rows = text.lines().filter_map(|line| line.strip_prefix("| `")?.split_once("` |"));
    let mut told = BTreeSet::new();
    for (code, rest) in rows {
        assert!(told.insert(code.to_owned()), "`{code}` stands twice");
        assert_eq!(rest.matches('|').count(), 2, "the row of `{code}` has not three cells");
    }
    told
}

/// All source, without tests.
fn source() -> String {
    let mut files = Vec::new();
    collect(&root().join("src"), &mut files);
    files.sort();
    files.concat()
}

fn collect(folder: &Path, files: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).expect("source") {
        let path = entry.expect("entry").path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if name == "tests" || name.ends_with("tests.rs") {
            continue;
        }
        if path.is_dir() {
            collect(&path, files);
        } else if name.ends_with(".rs") {
            files.push(without_tests(&text(&path)).to_owned());
        }
    }
}

/// Tests that a file holds itself stand at its end; `mod tests;` is only a name.
fn without_tests(text: &str) -> &str {
    let starts = text.match_indices("#[cfg(test)]\nmod ").map(|(at, _)| at);
    let block = |at: &usize| text.get(*at..).and_then(|rest| rest.lines().nth(1)).is_some_and(|line| line.ends_with('{'));
    text.get(..starts.into_iter().find(block).unwrap_or(text.len())).unwrap_or_default()
}

/// Codes that stand in `error("…")` or `warning("…")`, whatever blanks are between.
fn sure(source: &str) -> BTreeSet<String> {
    let calls = ["error(", "warning("].into_iter().flat_map(|call| source.split(call).skip(1));
    let quoted = calls.filter_map(|rest| rest.trim_start().strip_prefix('"')?.split_once('"'));
    quoted.map(|(code, _)| code.to_owned()).filter(|code| kebab(code)).collect()
}

/// Every kebab-case text of the source.
fn literals(source: &str) -> BTreeSet<String> {
    let lines = source.lines().filter(|line| !line.trim_start().starts_with("//"));
    lines.flat_map(|line| line.split('"')).filter(|word| kebab(word)).map(str::to_owned).collect()
}

fn kebab(word: &str) -> bool {
    let part = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
    word.contains('-') && word.split('-').all(part)
}
