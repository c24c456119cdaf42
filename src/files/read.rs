//! Reading: plain files only, up to a limit, with the path in every failure.

use crate::diagnostic::{Code, Diagnostic, Place};
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

/// The bytes of a plain file of at most `limit` bytes. `code` names the kind of finding if it cannot be had.
pub fn read(path: &Path, limit: u64, code: Code) -> Result<Vec<u8>, Diagnostic> {
    let file = path.display().to_string();
    let failed = |finding: Diagnostic| finding.at(Place::file(&file));
    let unread = |error| failed(error!(as code, "cannot-read", file, why = reason(&error)));
    let about = std::fs::metadata(path).map_err(unread)?;
    if !about.is_file() {
        // A pipe or device could keep us waiting for ever.
        return Err(failed(error!(as code, "not-plain-file", file)));
    }
    let mut bytes = Vec::new();
    // Only to spare copies: a file that seems larger than there is room for may hold next to nothing.
    let _ = bytes.try_reserve_exact(usize::try_from(about.len().min(limit)).unwrap_or_default().saturating_add(1));
    let opened = File::open(path).map_err(unread)?;
    opened.take(limit + 1).read_to_end(&mut bytes).map_err(unread)?;
    if bytes.len() as u64 > limit {
        return Err(failed(error!(as code, "file-too-large", file, most = limit / 1_000_000)));
    }
    Ok(bytes)
}

/// The same as text; files of editors that did not save as UTF-8 are told so.
pub fn read_text(path: &Path, limit: u64, code: Code) -> Result<String, Diagnostic> {
    let file = path.display().to_string();
    String::from_utf8(read(path, limit, code)?).map_err(|_| error!(as code, "not-utf8", file).at(Place::file(file)))
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
pub fn reason(error: &std::io::Error) -> String {
    let text = error.to_string();
    let plain = text.split(" (os error").next().unwrap_or_default();
    let mut letters = plain.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
