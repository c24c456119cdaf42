//! Earlier editions of a kit: the record in its folder, and the packages that it tells of.

use super::verify::PACKAGE_BYTES;
use crate::diagnostic::{Diagnostic, Findings};
use crate::editions::{Editions, Released, digest};
use crate::files;
use crate::verify::Opened;
use std::path::{Component, Path, PathBuf};

/// The record in the kit's folder.
pub(super) const RECORD: &str = "editions.yaml";
const RECORD_BYTES: u64 = 1_000_000;

/// What was released before.
pub(super) struct Earlier {
    folder: PathBuf,
    /// Text of the record, if there is one.
    pub(super) text: Option<String>,
    /// What it says; nothing, if there is none.
    pub(super) editions: Editions,
}

impl Earlier {
    /// Reads the record of a kit by its folder; none if there is anything wrong with it.
    pub(super) fn read(folder: &Path, findings: &mut Findings) -> Option<Self> {
        let (path, folder) = (folder.join(RECORD), folder.to_owned());
        if !path.exists() {
            return Some(Self { folder, text: None, editions: Editions::default() });
        }
        let text = findings.take(files::read_text(&path, RECORD_BYTES, code!("editions-value")))?;
        let (editions, more) = Editions::read(RECORD, &text);
        findings.extend(more);
        Some(Self { folder, text: Some(text), editions: editions? })
    }

    /// Where the package of an edition lies.
    pub(super) fn path(&self, released: &Released) -> PathBuf {
        self.folder.join(&released.package)
    }

    /// The package of an edition, if it is at hand.
    pub(super) fn package(&self, released: &Released) -> Option<Vec<u8>> {
        files::read(&self.path(released), PACKAGE_BYTES, code!("edition-package")).ok()
    }

    /// The last package that went out until an edition; fails if it is not at hand, or not as it was released.
    pub(super) fn opened(&self, until: &semver::Version) -> Result<Option<Opened>, Diagnostic> {
        let Some(released) = self.editions.until(until) else { return Ok(None) };
        let bytes = self.package(released);
        self.editions.intact(released, bytes.as_deref())?;
        bytes.map(|bytes| Opened::zip(&released.package, &bytes)).transpose()
    }

    /// Refuses to put other bytes in the place of a package that is out.
    pub(super) fn refuse_released(folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
        // Whatever else the record says: a package whose sum stands in it is out.
        let record = files::read_text(&folder.join(RECORD), RECORD_BYTES, code!("editions-value")).unwrap_or_default();
        if record.is_empty() {
            return Ok(());
        }
        let there = files::read(path, PACKAGE_BYTES, code!("edition-package")).unwrap_or_default();
        let sum = digest(&there);
        match record.contains(&sum) && sum != digest(bytes) {
            true => Err(error!("edition-released/build", name = path.display())),
            false => Ok(()),
        }
    }
}

/// A path as the record of a kit's folder tells it: from that folder, wherever it lies.
pub(super) fn from_folder(folder: &Path, path: &Path) -> String {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let (folder, path) = (whole(folder), whole(path));
    let (from, to): (Vec<Component>, Vec<Component>) = (folder.components().collect(), path.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = from.iter().skip(shared).map(|_| "..".into());
    let down = to.iter().skip(shared).map(|part| part.as_os_str().to_string_lossy());
    up.chain(down).collect::<Vec<_>>().join("/")
}
