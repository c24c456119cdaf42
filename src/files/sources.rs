//! What a result was made from: a folder that remembers each file read for it, in the folder or elsewhere.

use super::read::{read, read_text};
use crate::diagnostic::{Code, Diagnostic};
use std::collections::BTreeSet;
use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// A folder, with the sources of what is made from it.
#[derive(Debug)]
pub struct SourceFolder {
    path: PathBuf,
    // A drawing asks for its pictures from other threads.
    sources: Mutex<BTreeSet<PathBuf>>,
}

impl SourceFolder {
    /// A folder that nothing was read from yet.
    pub fn new(path: PathBuf) -> Self {
        Self { path, sources: Mutex::default() }
    }

    /// As [`read`], remembered.
    pub fn read(&self, path: &Path, limit: u64, code: Code) -> Result<Vec<u8>, Diagnostic> {
        self.note(path);
        read(path, limit, code)
    }

    /// As [`read_text`], remembered.
    pub fn read_text(&self, path: &Path, limit: u64, code: Code) -> Result<String, Diagnostic> {
        self.note(path);
        read_text(path, limit, code)
    }

    /// Remembers a folder that was searched: what comes to lie in it may change the result. One that is not there is left out.
    pub fn searched(&self, folder: &Path) {
        if folder.is_dir() {
            self.note(folder);
        }
    }

    /// All that was read or searched so far, sorted.
    pub fn sources(&self) -> BTreeSet<PathBuf> {
        self.sources.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Remembers a file that is read by other means.
    pub fn note(&self, path: &Path) {
        self.sources.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_path_buf());
    }
}

impl Deref for SourceFolder {
    type Target = Path;
    fn deref(&self) -> &Path {
        &self.path
    }
}
