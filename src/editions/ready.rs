//! Whether an edition may be released: all that stands in the way, in one go.

use super::{Editions, digest};
use crate::diagnostic::{Diagnostic, Findings};
use crate::manifest::Kit;

/// The edition that is to be released.
#[derive(Clone, Debug)]
pub struct Next<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// The version that was asked for.
    pub edition: &'a semver::Version,
    /// What was released before, if anything.
    pub editions: Option<&'a Editions>,
    /// The bytes of the last edition's package, if they are at hand.
    pub last_package: Option<&'a [u8]>,
    /// Whether a language lacks texts.
    pub untranslated: bool,
}

/// Everything that stands against a release.
pub fn ready(next: &Next) -> Findings {
    let mut findings = Findings::new();
    findings.extend([version(next), day(next), changes(next), package(next), languages(next)].into_iter().flatten());
    findings
}

/// The version is the manifest's, and larger than all before; the last one may be released once more.
fn version(next: &Next) -> Option<Diagnostic> {
    let Next { kit, edition, editions, .. } = next;
    let place = || kit.places.of_path("edition");
    if kit.edition != **edition {
        return Some(error!("edition-other", own = kit.edition, edition).at(place()));
    }
    let last = editions.and_then(Editions::last)?;
    (last.edition > **edition).then(|| error!("edition-order", edition, last = last.edition).at(place()))
}

fn day(next: &Next) -> Option<Diagnostic> {
    let last = next.editions.and_then(Editions::last)?;
    let date = next.kit.date;
    (last.date > date).then(|| error!("edition-order/date", date, last = last.date).at(next.kit.places.of_path("date")))
}

/// What buyers read about the change is there, and is not that of the last edition.
fn changes(next: &Next) -> Option<Diagnostic> {
    let place = || next.kit.places.of_path("guide.changes");
    let Some(text) = &next.kit.guide.changes else { return Some(error!("edition-changes").at(place())) };
    let last = next.editions.and_then(Editions::last).filter(|last| last.edition != *next.edition)?;
    (digest(text.as_bytes()) == last.changes).then(|| error!("edition-changes/same", last = last.edition).at(place()))
}

/// The package of the last edition is at hand and unaltered.
fn package(next: &Next) -> Option<Diagnostic> {
    let editions = next.editions?;
    let (index, last) = (editions.list.len().checked_sub(1)?, editions.last()?);
    let place = || editions.places.of_path(&format!("editions[{index}].package"));
    let (name, edition) = (&last.package, &last.edition);
    match next.last_package {
        None => Some(error!("edition-package", edition, name).at(place())),
        Some(bytes) => (digest(bytes) != last.sha256).then(|| error!("edition-package/changed", edition, name).at(place())),
    }
}

fn languages(next: &Next) -> Option<Diagnostic> {
    next.untranslated.then(|| error!("edition-untranslated").at(next.kit.places.of_path("languages")))
}
