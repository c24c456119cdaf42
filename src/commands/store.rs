//! What a build keeps of its steps, so that the next one makes only what has changed: each result under the key of all that it was made from.
//!
//! Nothing is taken on trust: a result carries the digest of its key and bytes, and one that is damaged, or lies in another's place,
//! counts as not there. Two runs at once write the same bytes under the same key, each file whole or not at all.

use super::args;
use super::cache::place;
use crate::files::{self, Key};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Largest result that is kept.
const MOST_BYTES: u64 = 1_000_000_000;
/// Length of a digest in hex digits.
const DIGITS: usize = 64;

/// The kept results of one package's steps.
#[derive(Debug, Default)]
pub(super) struct Store {
    /// Where they lie, and which program made them; without it nothing is kept.
    place: Option<(PathBuf, String)>,
    /// Keys that were asked for, each with its result if that is new.
    used: Mutex<BTreeMap<String, Option<Vec<u8>>>>,
}

impl Store {
    /// The store of a kit's package; one that keeps nothing, if that is wished.
    pub(super) fn of(kit: &Path, wish: &args::Build) -> Self {
        Self { place: (!wish.no_cache).then(|| place(kit, wish)).flatten(), used: Mutex::default() }
    }

    /// The key of a step's result, to which all that it is made from is to be added; none if nothing is kept.
    pub(super) fn key(&self, step: &str) -> Option<Key> {
        self.place.as_ref().map(|(_, program)| Key::default().value(program).value(&step))
    }

    /// What is kept under a key.
    pub(super) fn kept(&self, key: &Option<Key>) -> Option<Vec<u8>> {
        let (name, (folder, _)) = (key.clone()?.hex(), self.place.as_ref()?);
        self.used().entry(name.clone()).or_default();
        let bytes = files::read(&folder.join(&name), MOST_BYTES, code!("cannot-read")).ok()?;
        let (sum, rest) = bytes.split_at_checked(DIGITS)?;
        (sum == sum_of(&name, rest).as_bytes()).then(|| rest.to_vec())
    }

    /// Keeps a new result, once the package is there: a build that is refused writes nothing.
    pub(super) fn keep(&self, key: &Option<Key>, bytes: &[u8]) {
        if let (Some(key), true) = (key.clone(), self.place.is_some()) {
            let name = key.hex();
            let sum = sum_of(&name, bytes);
            self.used().insert(name, Some([sum.as_bytes(), bytes].concat()));
        }
    }

    /// Writes what is new, and removes what this run did not ask for: nothing in the package is made from it any more. What cannot be
    /// written costs time at the next run, and nothing else.
    pub(super) fn finish(&self) {
        let Some((folder, _)) = &self.place else { return };
        let mut used = self.used();
        let _ = files::create_folder(folder);
        for (name, result) in used.iter_mut() {
            let _ = result.take().map(|bytes| files::replace_soon(&folder.join(name), &bytes));
        }
        let is_ours = |name: &str| name.len() == DIGITS && name.bytes().all(|c| c.is_ascii_hexdigit());
        files::remove_from(folder, |name| is_ours(name) && !used.contains_key(name));
    }

    fn used(&self) -> MutexGuard<'_, BTreeMap<String, Option<Vec<u8>>>> {
        self.used.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn sum_of(name: &str, bytes: &[u8]) -> String {
    Key::default().value(&name).bytes(bytes).hex()
}
