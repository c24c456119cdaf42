//! What a result was made from: a folder that remembers each file read for it, in the folder or elsewhere.

use super::read::{read, read_text};
use crate::diagnostic::{Code, Diagnostic};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// A folder, with the sources of what is made from it.
#[derive(Debug)]
pub struct SourceFolder {
    path: PathBuf,
    // A drawing asks for its pictures from other threads. Each with the digest of what was read there, if it was read, and always
    // read alike.
    sources: Mutex<BTreeMap<PathBuf, Option<[u8; 32]>>>,
}

impl SourceFolder {
    /// A folder that nothing was read from yet.
    pub fn new(path: PathBuf) -> Self {
        Self { path, sources: Mutex::default() }
    }

    /// As [`read`], remembered.
    pub fn read(&self, path: &Path, limit: u64, code: Code) -> Result<Vec<u8>, Diagnostic> {
        self.note(path);
        let bytes = read(path, limit, code)?;
        self.hold(path, &bytes);
        Ok(bytes)
    }

    /// As [`read_text`], remembered.
    pub fn read_text(&self, path: &Path, limit: u64, code: Code) -> Result<String, Diagnostic> {
        self.note(path);
        let text = read_text(path, limit, code)?;
        self.hold(path, text.as_bytes());
        Ok(text)
    }

    /// Remembers a folder that was searched: what comes to lie in it may change the result. One that is not there is left out.
    pub fn searched(&self, folder: &Path) {
        if folder.is_dir() {
            self.note(folder);
        }
    }

    /// All that was read or searched so far, sorted.
    pub fn sources(&self) -> BTreeSet<PathBuf> {
        self.sources.lock().unwrap_or_else(PoisonError::into_inner).keys().cloned().collect()
    }

    /// All files that were read, with the digests of what was in them; nothing if one could not be read, or was read twice and
    /// had changed. Folders that were searched are left out.
    pub fn digests(&self) -> Option<BTreeMap<PathBuf, [u8; 32]>> {
        let sources = self.sources.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let files = sources.into_iter().filter(|(path, digest)| digest.is_some() || !path.is_dir());
        files.map(|(path, digest)| Some((path, digest?))).collect()
    }

    /// Remembers a file that was looked for.
    fn note(&self, path: &Path) {
        self.sources.lock().unwrap_or_else(PoisonError::into_inner).entry(path.to_path_buf()).or_default();
    }

    /// Remembers what was read.
    fn hold(&self, path: &Path, bytes: &[u8]) {
        let digest: [u8; 32] = Sha256::digest(bytes).into();
        let mut sources = self.sources.lock().unwrap_or_else(PoisonError::into_inner);
        match sources.entry(path.to_path_buf()).or_default() {
            Some(before) if *before != digest => _ = sources.insert(path.to_path_buf(), None),
            known => *known = Some(digest),
        }
    }
}

impl Deref for SourceFolder {
    type Target = Path;
    fn deref(&self) -> &Path {
        &self.path
    }
}
