//! The documents against the program: links, command lines, codes, schemas, and results as they are told.

// A test that cannot go on must stop loudly, and helpers stand outside the `#[test]` functions that the lints spare.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, clippy::string_slice)]
#![allow(clippy::disallowed_methods)]

mod codes;
mod commands;
mod links;
mod outputs;
mod provoked;
mod readme;
mod schema;

use std::path::{Path, PathBuf};

/// The root of the repository.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A file of the repository as text, whatever line ends the checkout gave it.
fn text(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    text.replace("\r\n", "\n")
}

/// README.md and every document of the manual, relative to the root.
fn documents() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(root().join("docs")).expect("docs");
    let names = entries.map(|entry| Path::new("docs").join(entry.expect("entry").file_name()));
    let mut documents: Vec<PathBuf> = names.filter(|name| name.extension().is_some_and(|e| e == "md")).collect();
    documents.sort();
    assert!(documents.len() >= 5, "the manual has gone");
    documents.insert(0, "README.md".into());
    documents
}

/// Lines of fenced blocks, each with the word behind its fence; a block without a word has an empty one.
fn fenced(text: &str) -> Vec<(&str, &str)> {
    let mut inside: Option<&str> = None;
    let mut lines = Vec::new();
    for line in text.lines() {
        match (line.trim_start().strip_prefix("```"), inside) {
            (Some(word), None) => inside = Some(word.trim()),
            (Some(_), Some(_)) => inside = None,
            (None, Some(word)) => lines.push((word, line)),
            (None, None) => {}
        }
    }
    assert!(inside.is_none(), "a fence is never closed");
    lines
}

/// Compares a committed text with what the program says now; `KITWRIGHT_UPDATE=1` rewrites it instead.
fn same_or_update(path: &str, now: &str) {
    if std::env::var_os("KITWRIGHT_UPDATE").is_some_and(|value| value == "1") {
        std::fs::write(root().join(path), now).expect(path);
    }
    let committed = text(path);
    assert!(committed == now, "{path} is behind the program: run the tests with KITWRIGHT_UPDATE=1 and commit it");
}

/// The program with the root as its folder, and colours and settings of the caller out of the way.
fn kitwright() -> assert_cmd::Command {
    let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_kitwright"));
    command.current_dir(root()).env_remove("NO_COLOR");
    command
}
