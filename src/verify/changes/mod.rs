//! What one edition changes of another: two packages, sheet by sheet, by their ink and words; measurements, sizes, guides.

mod guides;
mod ink;
mod page;
mod paper;
mod record;
mod texts;
mod told;

pub use guides::GuideChange;
pub use page::page;
pub use paper::{Lines, PaperChange, SheetChange};
pub use record::ChangesRecord;

use super::archive::{self, Files};
use super::promises::{self, Control, Promises};
use super::verdict::Verdict;
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// A package that was opened to be compared with another.
pub struct Opened {
    files: Files,
    promises: Promises,
}

/// What two packages have in common and what not, in the order of the newer one.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    /// Title and edition of the earlier package.
    pub old: (String, String),
    /// Title and edition of the newer one.
    pub new: (String, String),
    /// Papers.
    pub papers: Listed<PaperChange>,
    /// Files with sheets of the newer package that the earlier one has nothing for.
    pub new_files: Vec<String>,
    /// Sizes that only one of them has.
    pub sizes: Listed<()>,
    /// Promised measurements of another length, and those that only one has.
    pub controls: Listed<ControlChange>,
    /// Guides by language.
    pub guides: Listed<GuideChange>,
}

/// Things with names, of which two packages may have others.
#[derive(Clone, Debug)]
pub struct Listed<T> {
    /// What both have, as far as it is told.
    pub both: Vec<T>,
    /// Names that only the newer one has.
    pub come: Vec<String>,
    /// Names that only the earlier one had.
    pub gone: Vec<String>,
}

impl<T> Default for Listed<T> {
    fn default() -> Self {
        Self { both: Vec::new(), come: Vec::new(), gone: Vec::new() }
    }
}

impl<T> Listed<T> {
    /// The names of one list beside those of another.
    fn names<'a>(old: impl Iterator<Item = &'a String> + Clone, new: impl Iterator<Item = &'a String> + Clone) -> Self {
        let without = |all: Vec<&String>, others: Vec<&String>| {
            all.into_iter().filter(|name| !others.contains(name)).cloned().collect::<Vec<_>>()
        };
        let (old, new): (Vec<_>, Vec<_>) = (old.collect(), new.collect());
        Self { both: Vec::new(), come: without(new.clone(), old.clone()), gone: without(old, new) }
    }

    /// Whether neither has what the other has not.
    pub fn is_same(&self) -> bool {
        self.come.is_empty() && self.gone.is_empty()
    }
}

/// A promised measurement that another edition promises otherwise.
#[derive(Clone, Debug)]
pub struct ControlChange {
    /// Its name.
    pub name: String,
    /// As the earlier package promises it.
    pub was: Length,
    /// As the newer one does.
    pub is: Length,
}

impl Opened {
    /// Opens a zip; `name` is what findings call it. Fails with `package-unreadable` or another finding of verification.
    pub fn zip(name: &str, bytes: &[u8]) -> Result<Self, Diagnostic> {
        Self::of(name, |verdict| archive::unpack(bytes, verdict))
    }

    /// The same for the files of an unpacked package, by name.
    pub fn files(name: &str, list: Vec<(String, Vec<u8>)>) -> Result<Self, Diagnostic> {
        Self::of(name, |verdict| archive::gather(list, verdict))
    }

    fn of(name: &str, open: impl FnOnce(&mut Verdict) -> Option<Files>) -> Result<Self, Diagnostic> {
        let mut verdict = Verdict::new(name);
        // A zip that shows different files to different readers cannot be compared with anything.
        let files = open(&mut verdict).filter(|_| !verdict.findings.has_errors());
        let read = files.and_then(|files| promises::read(&files, &mut verdict).map(|promises| Self { files, promises }));
        let fault = || verdict.findings.into_iter().next();
        read.ok_or_else(|| fault().unwrap_or_else(|| error!("promises-missing", file = promises::FILE)))
    }

    /// Names of its files.
    pub fn names(&self) -> Vec<String> {
        self.files.keys().cloned().collect()
    }

    /// Names of the files that only one of two packages has, or that are not the same in both.
    pub fn differing(&self, other: &Self) -> Vec<String> {
        let names: BTreeSet<&String> = self.files.keys().chain(other.files.keys()).collect();
        names.into_iter().filter(|name| self.files.get(*name) != other.files.get(*name)).cloned().collect()
    }

    fn named(&self) -> (String, String) {
        (self.promises.title.clone(), self.promises.edition.clone())
    }
}

impl Changes {
    /// Compares two packages. Frames, labels and rules around the drawing count by their words alone, and the words by all but
    /// the edition.
    pub fn between(old: &Opened, new: &Opened) -> Self {
        let (before, now) = (&old.promises, &new.promises);
        Self {
            old: old.named(),
            new: new.named(),
            papers: paper::papers(old, new),
            new_files: paper::new_files(old, new),
            sizes: Listed::names(before.sizes.iter(), now.sizes.iter()),
            controls: controls(&before.controls, &now.controls),
            guides: guides::guides(old, new),
        }
    }

    /// Names of the newer package's files whose drawing differs, or that are for a paper which the earlier one did not have.
    pub fn files(&self) -> Vec<String> {
        let differing = self.papers.both.iter().filter(|paper| !paper.changed().is_empty());
        differing.map(|paper| paper.file.clone()).chain(self.new_files.iter().cloned()).collect()
    }

    /// Whether nothing at all differs.
    pub fn is_none(&self) -> bool {
        self.papers.is_same()
            && !self.papers.both.iter().any(PaperChange::differs)
            && self.sizes.is_same()
            && (self.controls.is_same() && self.controls.both.is_empty())
            && (self.guides.is_same() && self.guides.both.is_empty())
    }
}

/// Measurements of one name are told apart by their place in the list.
fn controls(old: &[Control], new: &[Control]) -> Listed<ControlChange> {
    let (before, now) = (numbered(old), numbered(new));
    let names = Listed::<ControlChange>::names(before.keys(), now.keys());
    let both = now.iter().filter_map(|(name, is)| {
        let was = before.get(name)?;
        (was != is).then(|| ControlChange { name: name.clone(), was: Length::mm(*was), is: Length::mm(*is) })
    });
    Listed { both: both.collect(), ..names }
}

fn numbered(controls: &[Control]) -> BTreeMap<String, f64> {
    let mut named = BTreeMap::new();
    for control in controls {
        let name = (1..).map(|n| if n == 1 { control.name.clone() } else { format!("{} ({n})", control.name) });
        let free = name.take(controls.len()).find(|name| !named.contains_key(name));
        named.extend(free.map(|name| (name, control.promised_mm)));
    }
    named
}
