//! Where each value of a manifest stands, so that a finding of any later step points at what the user wrote.

use crate::diagnostic::Place;
use std::collections::BTreeMap;

/// Paths of values, as in `papers[1].margins.top`, with their places.
#[derive(Clone, Debug, Default)]
pub struct Places {
    file: String,
    by_path: BTreeMap<String, Place>,
}

impl Places {
    /// No place known but the file itself.
    pub fn of(file: impl Into<String>) -> Self {
        Self { file: file.into(), by_path: BTreeMap::new() }
    }

    /// Notes where a value stands.
    pub fn insert(&mut self, path: impl Into<String>, place: Place) {
        self.by_path.insert(path.into(), place);
    }

    /// Whether the user wrote that value.
    pub fn has(&self, path: &str) -> bool {
        self.by_path.contains_key(path)
    }

    /// Top level keys that the user wrote.
    pub fn top_keys(&self) -> impl Iterator<Item = &str> {
        self.by_path.keys().map(String::as_str).filter(|path| !path.is_empty() && !path.contains(['.', '[']))
    }

    /// Takes over all places at and below a top level key from another file's places.
    pub fn adopt(&mut self, other: &Self, key: &str) {
        let within = |path: &str| path.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']));
        let taken = other.by_path.iter().filter(|(path, _)| within(path));
        self.by_path.extend(taken.map(|(path, place)| (path.clone(), place.clone())));
    }

    /// Where a value stands; if it was left to its default, where its nearest parent stands, at last the document's first
    /// key (which has the empty path) or the file.
    pub fn of_path(&self, path: &str) -> Place {
        let mut path = path;
        loop {
            if let Some(place) = self.by_path.get(path) {
                return place.clone();
            }
            // One step up: `papers[1].border` leads to `papers[1]`, that to `papers`.
            match path.rfind(['.', '[']) {
                Some(end) => path = path.get(..end).unwrap_or_default(),
                None => return self.by_path.get("").cloned().unwrap_or_else(|| Place::file(self.file.clone())),
            }
        }
    }
}
