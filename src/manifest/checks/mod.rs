//! What the values of a manifest must mean; every refusal gets the place of its value here.

pub(super) mod blank;
pub(super) mod cloths;
pub mod controls;
pub(super) mod files;
pub(super) mod guide;
pub(super) mod inking;
pub(super) mod languages;
pub(super) mod layers;
pub(super) mod lengths;
pub(super) mod margins;
pub(super) mod papers;
pub(super) mod reach;
pub(super) mod remarks;
pub(super) mod seams;
pub(super) mod words;

use super::places::Places;
use super::section::{List, Section};
use super::yaml::item_path;
use crate::diagnostic::{Diagnostic, Findings};

/// One check of one manifest: gathers findings and remembers whether anything is lacking.
pub struct Check<'a> {
    places: &'a Places,
    findings: Findings,
    lacking: bool,
    /// A shared file is named but could not be read, so keys that may stand in it are not called missing.
    shared_unread: bool,
}

impl<'a> Check<'a> {
    /// A check that has found nothing yet.
    pub const fn new(places: &'a Places, findings: Findings, shared_unread: bool) -> Self {
        Self { places, findings, lacking: false, shared_unread }
    }

    /// All findings, and whether every value could be used.
    pub fn finish(self) -> (bool, Findings) {
        (!self.lacking && !self.findings.has_errors(), self.findings)
    }

    /// Adds a finding at the place of a value.
    pub fn refuse(&mut self, path: &str, finding: Diagnostic) {
        self.lacking = true;
        self.findings.push(finding.at(self.places.of_path(path)));
    }

    /// The value of a result, or its refusal at the place of the value.
    pub fn take<T>(&mut self, path: &str, result: Result<T, Diagnostic>) -> Option<T> {
        result.map_err(|finding| self.refuse(path, finding)).ok()
    }

    /// A top level key that every kit needs.
    pub fn required<T, U>(
        &mut self,
        key: &str,
        section: &Section<T>,
        read: impl FnOnce(&T) -> Result<U, Diagnostic>,
    ) -> Option<U> {
        if matches!(section, Section::Absent) {
            self.missing(key);
        }
        self.optional(key, section, read)
    }

    /// A top level key that may be left out.
    pub fn optional<T, U>(
        &mut self,
        key: &str,
        section: &Section<T>,
        read: impl FnOnce(&T) -> Result<U, Diagnostic>,
    ) -> Option<U> {
        self.lacking |= matches!(section, Section::Broken);
        let result = section.value().map(read)?;
        self.take(key, result)
    }

    /// Tells that a top level key is missing.
    pub fn missing(&mut self, key: &str) {
        self.lacking = true;
        let may_be_shared = !["name", "edition", "drawing"].contains(&key);
        if !(self.shared_unread && may_be_shared) {
            self.refuse(key, error!("key-missing", key, example = example(key)));
        }
    }

    /// Reads the entries of a list that are readable, each with its index in the manifest.
    pub fn each<T, U>(
        &mut self,
        key: &str,
        list: &List<T>,
        mut read: impl FnMut(&mut Self, &str, &T) -> Option<U>,
    ) -> Vec<(usize, U)> {
        self.lacking |= matches!(list, Section::Broken);
        let items = list.value().map_or(&[][..], Vec::as_slice);
        self.lacking |= items.iter().any(Option::is_none);
        let readable = items.iter().enumerate().filter_map(|(index, item)| Some((index, item.as_ref()?)));
        readable.filter_map(|(index, item)| Some((index, read(self, &item_path(key, index), item)?))).collect()
    }
}

/// What such a line looks like.
fn example(key: &str) -> &'static str {
    match key {
        "name" => words!("like-name"),
        "edition" => words!("like-edition"),
        "date" => words!("like-date"),
        "copyright" => words!("like-copyright"),
        "drawing" => words!("like-drawing"),
        "papers" => words!("like-papers"),
        _ => "",
    }
}
