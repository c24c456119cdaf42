//! What a build keeps of its steps, so that the next one makes only what has changed: each result under the key of all that it was made from.
//!
//! Nothing is taken on trust: a result carries the digest of its key and bytes, and one that is damaged, or lies in another's place,
//! counts as not there. Two runs at once write the same bytes under the same key, each file whole or not at all.

use super::args;
use super::cache::place;
use crate::files::{self, Key};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// Largest result that is kept.
const MOST_BYTES: u64 = 1_000_000_000;
/// Length of a digest in hex digits.
const DIGITS: usize = 64;

/// The kept results of one package's steps.
#[derive(Debug, Default)]
pub(super) struct Store {
    /// Where they lie, and which program made them; without it nothing is kept.
    place: Option<(PathBuf, String)>,
    /// Keys that were asked for.
    used: Mutex<BTreeSet<String>>,
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
        let (name, path) = self.path(key)?;
        let bytes = files::read(&path, MOST_BYTES, code!("cannot-read")).ok()?;
        let (sum, rest) = bytes.split_at_checked(DIGITS)?;
        (sum == sum_of(&name, rest).as_bytes()).then(|| rest.to_vec())
    }

    /// Keeps a result. What cannot be kept costs time at the next run, and nothing else.
    pub(super) fn keep(&self, key: &Option<Key>, bytes: &[u8]) {
        let Some((name, path)) = self.path(key) else { return };
        let all = [sum_of(&name, bytes).as_bytes(), bytes].concat();
        let _ = path.parent().map(files::create_folder);
        let _ = files::replace_soon(&path, &all);
    }

    /// Removes what this run did not ask for: nothing in the package is made from it any more.
    pub(super) fn sweep(&self) {
        let used = self.used.lock().unwrap_or_else(PoisonError::into_inner);
        let stale = |name: &str| name.len() == DIGITS && name.bytes().all(|c| c.is_ascii_hexdigit()) && !used.contains(name);
        self.place.iter().for_each(|(folder, _)| files::remove_from(folder, stale));
    }

    fn path(&self, key: &Option<Key>) -> Option<(String, PathBuf)> {
        let (folder, _) = self.place.as_ref()?;
        let name = key.clone()?.hex();
        self.used.lock().unwrap_or_else(PoisonError::into_inner).insert(name.clone());
        let path = folder.join(&name);
        Some((name, path))
    }
}

fn sum_of(name: &str, bytes: &[u8]) -> String {
    Key::default().value(&name).bytes(bytes).hex()
}
