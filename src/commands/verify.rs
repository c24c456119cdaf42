//! `verify`: a finished package, measured from what is inside it alone.

use super::args;
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::verify::{self, Verdict, VerdictRecord};
use std::path::Path;

/// Largest package that is read.
const PACKAGE_BYTES: u64 = 2_000_000_000;

/// Measures a package and tells the figures.
pub(super) fn run(wish: &args::Verify, screen: &Screen) -> Result<Findings, Diagnostic> {
    let verdict = measured(&wish.package)?;
    if screen.for_machines() {
        screen.record(&VerdictRecord::from(&verdict));
    } else {
        screen.data(&verdict.text());
        screen.findings(&verdict.findings);
    }
    Ok(verdict.findings)
}

fn measured(path: &Path) -> Result<Verdict, Diagnostic> {
    let name = path.display().to_string();
    if !path.exists() {
        return Err(error!("package-missing", name).at(Place::file(name)));
    }
    if path.is_dir() {
        return Ok(verify::entries(&name, folder(path)?));
    }
    Ok(verify::package(&name, &files::read(path, PACKAGE_BYTES, code!("package-missing"))?))
}

/// The plain files of an unpacked package, by name.
fn folder(path: &Path) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
    let shown = path.display().to_string();
    let failed = |_| error!("package-missing/folder", shown);
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path).map_err(failed)?.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        files.push((name, files::read(&entry.path(), PACKAGE_BYTES, code!("package-missing"))?));
    }
    files.sort();
    Ok(files)
}
