//! `compare`: what one edition changes of another, in the finished files; kits are built in memory first.

use super::args::{self, KitFolder};
use super::build::make;
use super::check::refuse;
use super::earlier::Earlier;
use super::kit::load;
use super::screen::{Screen, records};
use super::texts::read_kit;
use super::verify::{PACKAGE_BYTES, folder};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::verify::{Changes, ChangesRecord, Opened, changes_page};
use std::path::Path;

/// Compares two packages or kits.
pub(super) fn run(wish: &args::Compare, screen: &Screen) -> Result<Findings, Diagnostic> {
    let mut findings = Findings::new();
    let (old, new) = match &wish.new {
        Some(new) => (open(&wish.old, screen, &mut findings), open(new, screen, &mut findings)),
        None => (findings.take(released(&wish.old)), open(&wish.old, screen, &mut findings)),
    };
    let (Some(old), Some(new)) = (old, new) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    screen.progress(words!("comparing"));
    let changes = Changes::between(&old, &new);
    if let Some(file) = &wish.report {
        let page = changes_page(&changes).map_err(|error| error!("bug-template", error))?;
        files::write_new(file, page.as_bytes())?;
    }
    if screen.for_machines() {
        screen.record(&ChangesRecord { findings: records(&findings), ..ChangesRecord::from(&changes) });
    } else {
        screen.findings(&findings);
        screen.data(&changes.text());
    }
    Ok(findings)
}

/// The package that was last released of a kit.
fn released(path: &Path) -> Result<Opened, Diagnostic> {
    let alone = || error!("compare-alone", name = path.display());
    // What is wrong with the kit is told when it is built.
    let texts = is_kit(path).then(|| read_kit(&KitFolder::usual(path), &mut Findings::new())).flatten().ok_or_else(alone)?;
    let mut faults = Findings::new();
    let Some(earlier) = Earlier::read(&texts.folder, &mut faults) else {
        return Err(faults.into_iter().next().unwrap_or_else(alone));
    };
    earlier.opened(&texts.kit.edition)?.ok_or_else(alone)
}

/// Opens a package, a folder that one was unpacked to, or a kit; what stands against it is told.
pub(super) fn open(path: &Path, screen: &Screen, findings: &mut Findings) -> Option<Opened> {
    let opened = opened(path, screen, findings);
    findings.take(opened.transpose()?)
}

fn opened(path: &Path, screen: &Screen, findings: &mut Findings) -> Result<Option<Opened>, Diagnostic> {
    if is_kit(path) { built(path, screen, findings) } else { package_at(path).map(Some) }
}

/// Opens a package, or a folder that one was unpacked to.
pub(super) fn package_at(path: &Path) -> Result<Opened, Diagnostic> {
    let name = path.display().to_string();
    if !path.exists() {
        return Err(error!("package-missing", name).at(Place::file(name)));
    }
    if path.is_dir() {
        return Opened::files(&name, folder(path)?);
    }
    Opened::zip(&name, &files::read(path, PACKAGE_BYTES, code!("package-missing"))?)
}

/// Whether a path leads to a kit, not to a package.
fn is_kit(path: &Path) -> bool {
    let manifest = path.extension().is_some_and(|ending| ["yaml", "yml"].iter().any(|it| ending.eq_ignore_ascii_case(it)));
    manifest || path.join(super::texts::MANIFEST).exists()
}

/// The package that a kit would give today.
fn built(path: &Path, screen: &Screen, findings: &mut Findings) -> Result<Option<Opened>, Diagnostic> {
    let (loaded, more) = load(&KitFolder::usual(path), None);
    findings.extend(more);
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(findings)) else { return Ok(None) };
    let (entries, _) = make(&loaded, &loaded.kit.languages, None, None, screen)?;
    let files = entries.into_iter().map(|entry| (entry.name, entry.bytes)).collect();
    Opened::files(&path.display().to_string(), files).map(Some)
}
