//! Writing: into a temporary file beside the target, made safe on the disk, then renamed over it.

use super::read::reason;
use crate::diagnostic::{Diagnostic, Place};
use std::io::Write;
use std::path::Path;
use tempfile::NamedTempFile;

/// Makes a folder and those above it.
pub fn create_folder(path: &Path) -> Result<(), Diagnostic> {
    std::fs::create_dir_all(path).map_err(|error| cannot(path, &error))
}

/// Puts bytes at a path, whole or not at all; what stood there before survives any failure.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    let staged = staged(path, bytes).map_err(|error| cannot(path, &error))?;
    staged.persist(path).map_err(|error| cannot(path, &error.error))?;
    Ok(())
}

/// Puts bytes at a path where nothing stands yet; never overwrites.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    let staged = staged(path, bytes).map_err(|error| cannot(path, &error))?;
    staged.persist_noclobber(path).map_err(|error| cannot(path, &error.error))?;
    Ok(())
}

fn staged(path: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".kitwright-");
    let mut file = open(&mut builder, folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
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
