//! Paths of files that a kit uses: always relative, never far from the kit.

use crate::diagnostic::Diagnostic;
use crate::manifest::names;

/// A path within the kit's folder or the folder above it, with `/` between its parts and without detours.
pub fn inside(path: &str) -> Result<String, Diagnostic> {
    let path = path.trim();
    // Judged by its text alone: whether the file exists is found when it is opened, and links are followed there.
    let problem = if path.contains('\\') {
        words!("has-backslashes")
    } else if path.contains(':') {
        words!("has-drive-letter")
    } else if path.starts_with('/') {
        words!("begins-at-root")
    } else if path.chars().any(char::is_control) {
        words!("has-control-characters")
    } else {
        match shortened(path) {
            Some(short) if short.starts_with("../../") => words!("lies-more-than-one"),
            Some(short) => return named(short),
            None => words!("names-folder-not-file"),
        }
    };
    Err(error!("path-outside", path, problem))
}

/// The same path, if every system can have each of its names.
fn named(path: String) -> Result<String, Diagnostic> {
    let odd = path.split('/').filter(|part| *part != "..").find_map(|part| Some((part, names::problem(part)?)));
    match odd {
        Some((part, problem)) => Err(error!("file-name", part, problem, suggestion = names::suggestion(part))),
        None => Ok(path),
    }
}

/// The path of a shared file's file, seen from the kit's folder.
pub fn joined(shared: &str, path: &str) -> String {
    match shared.rsplit_once('/') {
        Some((folder, _)) if !path.trim_start().starts_with('/') => format!("{folder}/{}", path.trim_start()),
        _ => path.to_owned(),
    }
}

/// Resolves `.` and `..`; `None` if no file name is left at the end.
fn shortened(path: &str) -> Option<String> {
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            // A `..` that has nothing to undo stays: it leads above the kit's folder.
            ".." if parts.last().is_some_and(|last| *last != "..") => drop(parts.pop()),
            _ => parts.push(part),
        }
    }
    let names_file = !path.ends_with('/') && parts.last().is_some_and(|last| *last != "..") && !path.ends_with("/.");
    names_file.then(|| parts.join("/"))
}
