//! Every relative link and picture leads to a file, and every `#` to a heading.

use super::{documents, root, text};
use std::path::Path;

#[test]
fn links_lead_somewhere() {
    let mut count = 0;
    let mut lost = Vec::new();
    for document in documents() {
        let folder = document.parent().unwrap_or(Path::new(""));
        for target in targets(&prose(&text(&document))) {
            count += 1;
            if !leads_somewhere(&document, folder, &target) {
                lost.push(format!("{}: {target}", document.display()));
            }
        }
    }
    assert!(count > 20, "only {count} links were found");
    assert!(lost.is_empty(), "links into the void: {lost:#?}");
}

#[test]
fn every_document_is_on_the_contents_page() {
    let contents = targets(&text("docs/README.md"));
    for document in documents().iter().filter(|name| name.starts_with("docs") && !name.ends_with("README.md")) {
        let name = document.file_name().and_then(|name| name.to_str()).expect("name");
        // Why each library was chosen is for contributors, not for publishers.
        assert!(
            name == "dependencies.md" || contents.iter().any(|target| target == name),
            "docs/README.md does not name {name}"
        );
    }
}

/// Pictures stay small, so that a clone does: 120 KB each.
#[test]
fn pictures_are_small() {
    for entry in std::fs::read_dir(root().join("docs/images")).expect("pictures") {
        let entry = entry.expect("entry");
        assert!(entry.metadata().expect("size").len() <= 120_000, "{:?} is too large", entry.file_name());
    }
}

fn leads_somewhere(document: &Path, folder: &Path, target: &str) -> bool {
    if target.contains("://") {
        return true;
    }
    let (file, heading) = target.split_once('#').unwrap_or((target, ""));
    let path = if file.is_empty() { document.to_path_buf() } else { folder.join(file) };
    root().join(&path).is_file() && (heading.is_empty() || headings(&text(&path)).iter().any(|known| known == heading))
}

/// What stands in round brackets behind square ones. Our documents have no other way to link.
fn targets(text: &str) -> Vec<String> {
    text.split("](").skip(1).filter_map(|rest| rest.split_once(')')).map(|(target, _)| target.to_owned()).collect()
}

/// The text without fenced blocks.
fn prose(text: &str) -> String {
    text.split("```").step_by(2).collect()
}

/// Headings as links name them: lower case, hyphens for blanks, no punctuation (common practice of hosting sites).
fn headings(text: &str) -> Vec<String> {
    let heading = |line: &str| line.starts_with('#').then(|| line.trim_start_matches('#').trim().to_lowercase());
    let keep = |c: &char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_');
    text.lines().filter_map(heading).map(|line| line.chars().filter(keep).collect::<String>().replace(' ', "-")).collect()
}
