//! Holds the catalogue against the sources: no key that does not exist, no text that nobody uses.

use super::Messages;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// All files below a folder with that extension.
fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if entry.is_dir() {
            found.extend(files(&entry, extension));
        } else if entry.extension().is_some_and(|e| e == extension) {
            found.push(entry);
        }
    }
    found
}

/// Texts of all our sources and templates, with their paths; this file and other tests are left out.
fn sources() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let paths = files(&root.join("src"), "rs").into_iter().chain(files(&root.join("templates"), "html"));
    let read = paths.filter(|path| !path.ends_with("uses.rs") && !path.to_string_lossy().ends_with("tests.rs"));
    let cut = |text: String| text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default().to_owned();
    read.map(|path| (path.clone(), cut(std::fs::read_to_string(&path).unwrap()))).collect()
}

/// What stands in double quotes right behind each `call(`, blanks and line breaks aside.
fn arguments<'a>(text: &'a str, call: &str) -> Vec<&'a str> {
    let behind = text.split(call).skip(1).filter_map(|rest| rest.trim_start().strip_prefix('"'));
    behind.filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn every_key_that_is_asked_for_exists() {
    let messages = Messages::builtin("en").unwrap();
    let mut asked = 0;
    for (path, text) in sources() {
        for key in [".text(", ".count(", "key="].iter().flat_map(|call| arguments(&text, call)) {
            // Other types have a `text` or `count` too: only dotted words are keys there.
            let is_key = key.contains('.') && !key.contains(' ');
            assert!(!is_key || messages.has(key), "{} asks for `{key}`, which the catalogue does not have", path.display());
            asked += usize::from(is_key);
        }
    }
    assert!(asked > 50, "the search found next to nothing: {asked}");
}

#[test]
fn every_text_is_used() {
    let messages = Messages::builtin("en").unwrap();
    let sources = sources();
    let used = |key: &&str| sources.iter().any(|(_, text)| text.contains(&format!("\"{key}\"")));
    let unused: BTreeSet<&str> = messages.keys().filter(|key| !used(key)).collect();
    assert!(unused.is_empty(), "nobody uses {unused:?}");
}

#[test]
fn holes_are_marked_for_the_tools_of_translators() {
    // GNU gettext checks placeholders of an entry only if it carries this flag.
    let (entries, _) = super::po::parse("en.po", include_str!("../../templates/languages/en.po"));
    for entry in entries {
        let flagged = entry.flags.contains(&"python-brace-format".into());
        assert_eq!(flagged, entry.id.contains('{'), "{:?}", entry.context);
    }
}
