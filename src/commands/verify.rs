//! `verify`: a finished package, measured from what is inside it alone.

use super::args;
use super::key;
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::verify::{self, Verdict, VerdictRecord};
use std::path::Path;

/// Largest package that is read: it is held in memory, with all that comes out of it.
pub(super) const PACKAGE_BYTES: u64 = 400_000_000;
/// Most bytes of an unpacked package that are read.
const FOLDER_BYTES: u64 = 800_000_000;

/// How deep folders are followed: a translator's bundle has three levels.
const DEEPEST: usize = 8;

/// Measures a package and tells the figures.
pub(super) fn run(wish: &args::Verify, screen: &Screen) -> Result<Findings, Diagnostic> {
    let key = wish.key.as_deref().map(key::text).transpose()?;
    let verdict = measured(&wish.package, key.as_deref())?;
    if let Some(file) = &wish.report {
        let failed = |error| error!("bug-template", error);
        files::write_new(file, verify::report(&verdict).map_err(failed)?.as_bytes())?;
    }
    if screen.for_machines() {
        screen.record(&VerdictRecord::from(&verdict));
    } else {
        screen.data(&verdict.text());
        screen.findings(&verdict.findings);
    }
    Ok(verdict.findings)
}

fn measured(path: &Path, key: Option<&str>) -> Result<Verdict, Diagnostic> {
    let name = path.display().to_string();
    if !path.exists() {
        return Err(error!("package-missing", name).at(Place::file(name)));
    }
    if path.is_dir() {
        return Ok(verify::entries(&name, folder(path)?, key));
    }
    Ok(verify::package(&name, &files::read(path, PACKAGE_BYTES, code!("package-missing"))?, key))
}

/// The files of an unpacked package by name, those in folders by their path from the top.
pub(super) fn folder(path: &Path) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
    let (mut files, mut left) = (Vec::new(), FOLDER_BYTES);
    gather(path, "", &mut left, &mut files)?;
    files.sort();
    Ok(files)
}

fn gather(path: &Path, above: &str, left: &mut u64, files: &mut Vec<(String, Vec<u8>)>) -> Result<(), Diagnostic> {
    let shown = path.display().to_string();
    let failed = |_| error!("package-missing/folder", shown);
    for entry in std::fs::read_dir(path).map_err(failed)?.flatten() {
        let name = format!("{above}{}", entry.file_name().to_string_lossy());
        // A link to a folder is read as a file, and refused as one: following it could lead anywhere.
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) && name.matches('/').count() < DEEPEST {
            gather(&entry.path(), &format!("{name}/"), left, files)?;
        } else {
            let bytes = files::read(&entry.path(), PACKAGE_BYTES, code!("package-missing"))?;
            let fits = left.checked_sub(bytes.len() as u64);
            *left = fits.ok_or_else(|| error!("package-too-large", name).at(Place::file(&shown)))?;
            files.push((name, bytes));
        }
    }
    Ok(())
}
