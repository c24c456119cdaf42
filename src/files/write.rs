//! Writing: into a temporary file beside the target, made safe on the disk, then renamed over it.

use super::read::reason;
use crate::diagnostic::{Diagnostic, Place};
use std::fs::File;
use std::io::Write;
use std::path::Path;
use tempfile::NamedTempFile;

/// What the names of temporary files begin and end with.
const STAGED: (&str, &str) = (".kitwright-", ".part");

/// Makes a folder and those above it.
pub fn create_folder(path: &Path) -> Result<(), Diagnostic> {
    std::fs::create_dir_all(path).map_err(|error| cannot(path, &error))
}

/// Puts bytes at a path, whole or not at all; what stood there before survives any failure.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    replace_all(&[(path, bytes)])
}

/// The same for several files: none is put in its place before all are safe on the disk.
pub fn replace_all(files: &[(&Path, &[u8])]) -> Result<(), Diagnostic> {
    let ready = files.iter().map(|(path, bytes)| staged(path, bytes).map_err(|error| cannot(path, &error)));
    let ready: Vec<NamedTempFile> = ready.collect::<Result<_, _>>()?;
    for ((path, _), staged) in files.iter().zip(ready) {
        staged.persist(path).map_err(|error| cannot(path, &error.error))?;
    }
    Ok(())
}

/// As [`replace`], for what can be made again: nobody waits until it is safe on the disk, so that a power cut may leave less than was
/// written, which its reader must notice.
pub fn replace_soon(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    let ready = written(path, bytes).map_err(|error| cannot(path, &error))?;
    ready.persist(path).map_err(|error| cannot(path, &error.error))?;
    Ok(())
}

/// Puts bytes at a path where nothing stands yet; never overwrites.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    let staged = staged(path, bytes).map_err(|error| cannot(path, &error))?;
    staged.persist_noclobber(path).map_err(|error| cannot(path, &error.error))?;
    Ok(())
}

/// Removes the plain files of a folder that go by certain names. What cannot be removed stays.
pub fn remove_from(folder: &Path, wanted: impl Fn(&str) -> bool) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if is_file && entry.file_name().to_str().is_some_and(&wanted) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

fn staged(path: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let file = written(path, bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
}

fn written(path: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    sweep(folder);
    let mut file = held(folder)?;
    file.write_all(bytes)?;
    Ok(file)
}

/// A new temporary file with a lock on it, by which others see that somebody still writes it.
fn held(folder: &Path) -> std::io::Result<NamedTempFile> {
    loop {
        let mut builder = tempfile::Builder::new();
        builder.prefix(STAGED.0).suffix(STAGED.1);
        let file = open(&mut builder, folder)?;
        // Where files cannot be locked, nobody sweeps either.
        let locked = file.as_file().lock().is_ok();
        // Between its creation and its lock a sweep may have taken it for one that was left behind.
        if !locked || file.path().exists() {
            return Ok(file);
        }
    }
}

/// Removes temporary files that a run which was killed has left behind: nobody holds a lock on them.
fn sweep(folder: &Path) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let is_staged = name.to_str().is_some_and(|name| name.starts_with(STAGED.0) && name.ends_with(STAGED.1));
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let left = (is_staged && is_file).then(|| File::open(entry.path()).ok()).flatten();
        // What cannot be removed is in nobody's way.
        if left.as_ref().is_some_and(|file| file.try_lock().is_ok()) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// On systems with permission bits the finished file is readable like any other, not private like a temporary one.
#[cfg(unix)]
fn open(builder: &mut tempfile::Builder, folder: &Path) -> std::io::Result<NamedTempFile> {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(std::fs::Permissions::from_mode(0o666)).tempfile_in(folder)
}

#[cfg(not(unix))]
fn open(builder: &mut tempfile::Builder, folder: &Path) -> std::io::Result<NamedTempFile> {
    builder.tempfile_in(folder)
}

fn cannot(path: &Path, error: &std::io::Error) -> Diagnostic {
    let shown = path.display().to_string();
    error!("cannot-write/failed", shown, reason = reason(error)).at(Place::file(shown))
}
