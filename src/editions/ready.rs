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
    /// What was released before.
    pub editions: &'a Editions,
    /// The bytes of the package before this one, if they are at hand.
    pub package_before: Option<&'a [u8]>,
    /// Whether a language lacks texts.
    pub untranslated: bool,
}

/// Everything that stands against a release.
pub fn ready(next: &Next) -> Findings {
    let mut findings = Findings::new();
    let all = [manifest(next), order(next), day(next), changes(next), package(next), languages(next)];
    findings.extend(all.into_iter().flatten());
    findings
}

/// The version is the manifest's.
fn manifest(next: &Next) -> Option<Diagnostic> {
    let (own, edition) = (&next.kit.edition, next.edition);
    (own != edition).then(|| error!("edition-other", own, edition).at(next.kit.places.of_path("edition")))
}

/// It is larger than all before; what is out may be released once more.
fn order(next: &Next) -> Option<Diagnostic> {
    let (largest, edition) = (next.editions.largest()?, next.edition);
    let late = largest.edition > *edition && next.editions.of(edition).is_none();
    late.then(|| error!("edition-order", edition, last = largest.edition).at(next.kit.places.of_path("edition")))
}

fn day(next: &Next) -> Option<Diagnostic> {
    let (last, date) = (next.editions.before(next.edition)?, next.kit.date);
    (last.date > date).then(|| error!("edition-order/date", date, last = last.date).at(next.kit.places.of_path("date")))
}

/// What buyers read about the change is there, and is not that of the edition before; a first one changes nothing.
fn changes(next: &Next) -> Option<Diagnostic> {
    let place = || next.kit.places.of_path("guide.changes");
    let last = next.editions.before(next.edition)?;
    let Some(text) = &next.kit.guide.changes else { return Some(error!("edition-changes").at(place())) };
    (digest(text.as_bytes()) == last.changes).then(|| error!("edition-changes/same", last = last.edition).at(place()))
}

/// The package of the edition before is at hand and unaltered.
fn package(next: &Next) -> Option<Diagnostic> {
    let before = next.editions.before(next.edition)?;
    next.editions.intact(before, next.package_before).err()
}

fn languages(next: &Next) -> Option<Diagnostic> {
    next.untranslated.then(|| error!("edition-untranslated").at(next.kit.places.of_path("languages")))
}
