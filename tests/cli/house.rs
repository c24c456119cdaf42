//! The house rules that a machine can see: every source file opens with what it is for, and documents name files that exist.

use crate::scene::project;
use std::path::{Path, PathBuf};

/// Lines that no source file may exceed: longer ones hold two subjects.
const LONGEST_FILE: usize = 500;

fn sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in ["src", "tests/cli", "kits/draft"] {
        gather(&project().join(folder), &mut found);
    }
    assert!(found.len() > 20, "where is the source?");
    found
}

fn gather(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn every_source_file_opens_with_what_it_is_for() {
    for path in sources() {
        let text = std::fs::read_to_string(&path).unwrap();
        let opening = text.lines().next().unwrap_or_default();
        assert!(opening.starts_with("//! ") && opening.len() > 20, "{} opens with `{opening}`", path.display());
    }
}

#[test]
fn no_source_file_is_too_long() {
    for path in sources() {
        let lines = std::fs::read_to_string(&path).unwrap().lines().count();
        assert!(lines <= LONGEST_FILE, "{} has {lines} lines", path.display());
    }
}

/// Paths that a document names, in links or in backticks: those that begin with one of the project's own folders or files.
fn named_paths(document: &str) -> Vec<String> {
    let quoted = document.split('`').skip(1).step_by(2).map(str::to_owned);
    let linked = document.split("](").skip(1).filter_map(|rest| rest.split([')', '#']).next()).map(str::to_owned);
    let ours = |path: &String| {
        let first = path.split('/').next().unwrap_or_default();
        ["src", "tests", "kits", "docs", "templates", ".ci"].contains(&first) || (path.ends_with(".md") && !path.contains(' '))
    };
    quoted.chain(linked).filter(ours).filter(|path| !path.contains(['*', ' ', '<', '…', '{'])).collect()
}

#[test]
fn documents_name_files_that_exist() {
    let mut seen = 0;
    for document in ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "docs/dependencies.md"] {
        let text = std::fs::read_to_string(project().join(document)).unwrap_or_else(|error| panic!("{document}: {error}"));
        for path in named_paths(&text) {
            seen += 1;
            let beside = project().join(document).parent().unwrap().join(&path);
            let made = path.split('/').any(|part| part == "out") || path.starts_with("target");
            assert!(made || project().join(&path).exists() || beside.exists(), "{document} names `{path}`, which is not there");
        }
    }
    assert!(seen > 10, "the documents name hardly any file");
}
