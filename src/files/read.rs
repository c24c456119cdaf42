//! Reading: plain files only, up to a limit, with the path in every failure.

use crate::diagnostic::{Diagnostic, Place};
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

/// The bytes of a plain file of at most `limit` bytes. `code` names the kind of finding if it cannot be had.
pub fn read(path: &Path, limit: u64, code: &'static str) -> Result<Vec<u8>, Diagnostic> {
    let shown = path.display().to_string();
    let hint = "check the name, that the file is there, and that you may read it";
    let failed = |why: String| Diagnostic::error(code, why).at(Place::file(shown.clone())).hint(hint);
    let about = std::fs::metadata(path).map_err(|error| failed(format!("cannot read `{shown}`: {}", reason(&error))))?;
    if !about.is_file() {
        // A pipe or device could keep us waiting for ever.
        return Err(failed(format!("`{shown}` is not a plain file")));
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| failed(format!("cannot read `{shown}`: {}", reason(&error))))?;
    let read = file.take(limit + 1).read_to_end(&mut bytes);
    read.map_err(|error| failed(format!("cannot read `{shown}`: {}", reason(&error))))?;
    if bytes.len() as u64 > limit {
        return Err(failed(format!("`{shown}` is larger than {} MB", limit / 1_000_000)));
    }
    Ok(bytes)
}

/// The same as text; files of editors that did not save as UTF-8 are told so.
pub fn read_text(path: &Path, limit: u64, code: &'static str) -> Result<String, Diagnostic> {
    let shown = path.display().to_string();
    String::from_utf8(read(path, limit, code)?).map_err(|_| {
        let finding = Diagnostic::error(code, format!("`{shown}` is not UTF-8 text"));
        finding.at(Place::file(shown)).hint("save the file as UTF-8 in your editor")
    })
}

/// A relative path below a folder; `None` for anything that could lead elsewhere, by name or by link.
///
/// One level up is allowed, for files that a publisher's kits share.
pub fn below(folder: &Path, relative: &str) -> Option<PathBuf> {
    let path = Path::new(relative);
    let plain = path.components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir | Component::ParentDir));
    let ups = path.components().filter(|part| *part == Component::ParentDir).count();
    if !plain || ups > 1 || (ups == 1 && !relative.starts_with("../")) {
        return None;
    }
    let joined = folder.join(path);
    let (Ok(real), Ok(root)) = (joined.canonicalize(), folder.canonicalize()) else { return Some(joined) };
    let root = if ups == 1 { root.parent()?.to_path_buf() } else { root };
    real.starts_with(root).then_some(joined)
}

/// The plain reason of a failure, without the number that the system adds.
pub(super) fn reason(error: &std::io::Error) -> String {
    let text = error.to_string();
    let plain = text.split(" (os error").next().unwrap_or_default();
    let mut letters = plain.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
