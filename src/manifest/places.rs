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

    /// Where a value stands; if it was left to its default, where its nearest parent stands, at last the file.
    pub fn of_path(&self, path: &str) -> Place {
        let mut path = path;
        loop {
            if let Some(place) = self.by_path.get(path) {
                return place.clone();
            }
            match path.rfind(['.', '[']) {
                Some(end) => path = &path[..end],
                None => return Place::file(self.file.clone()),
            }
        }
    }
}
