//! Reading what a kit says: manifest, shared settings and chapters, without the drawing.

use super::args::KitFolder;
use super::chapters;
use crate::diagnostic::{Code, Diagnostic, Findings, Place};
use crate::drawing::Limits;
use crate::files::{self, SourceFolder};
use crate::manifest::{self, Document, Kit};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Name of the manifest in a kit's folder.
pub(super) const MANIFEST: &str = "kit.yaml";
/// Largest manifest that is read.
const MANIFEST_BYTES: u64 = 1_000_000;

/// What a kit says, and where.
pub(super) struct Texts {
    pub(super) kit: Kit,
    /// The kit's folder, which knows all that was read for the kit.
    pub(super) folder: Arc<SourceFolder>,
    /// The shared file that the manifest names, relative to the kit's folder.
    pub(super) shared: Option<String>,
}

/// Reads what a kit says. Findings are complete even if there is no kit to give.
pub(super) fn read_texts(kit: &KitFolder) -> (Option<Texts>, Findings) {
    let mut findings = Findings::new();
    let texts = read_kit(kit, &mut findings);
    (texts.filter(|_| !findings.has_errors()), findings)
}

/// Reads manifest, shared file and chapters.
pub(super) fn read_kit(asked: &KitFolder, findings: &mut Findings) -> Option<Texts> {
    let (manifest, folder) = findings.take(locate(&asked.path))?;
    let folder = Arc::new(SourceFolder::new(folder));
    let main = read_document(&folder, &manifest, MANIFEST, code!("manifest-unreadable"), findings);
    let shared = main.as_ref().and_then(Document::shared).and_then(|name| {
        let missing = || error!("shared-missing", name);
        let path = findings.take(files::below(&folder, name).ok_or_else(missing))?;
        read_document(&folder, &path, name, code!("shared-missing"), findings)
    });
    let (kit, more) = manifest::kit(main.as_ref()?, shared.as_ref());
    findings.extend(more);
    let mut kit = kit?;
    kit.drawing.limits = Limits::times(asked.room.larger);
    chapters::read(&mut kit, &folder, findings);
    let shared = main.as_ref().and_then(Document::shared).map(str::to_owned);
    Some(Texts { kit, folder, shared })
}

/// Whether a path, one among several, is meant to be a kit. What cannot be told, or is not there, counts as one: it is better
/// refused than passed over.
pub(super) fn is_kit(path: &Path) -> bool {
    if path.is_dir() {
        return path.join(MANIFEST).exists();
    }
    let named = path.extension().is_some_and(|ending| ["yaml", "yml"].iter().any(|it| ending.eq_ignore_ascii_case(it)));
    let text = files::read_text(path, MANIFEST_BYTES, code!("manifest-unreadable"));
    let document = text.ok().and_then(|text| manifest::parse(MANIFEST, &text).0);
    !path.exists() || document.map_or(named, |document| document.is_of_kit())
}

/// The manifest and the folder of a kit, given either.
pub(super) fn locate(path: &Path) -> Result<(PathBuf, PathBuf), Diagnostic> {
    let manifest = if path.is_dir() { path.join(MANIFEST) } else { path.to_path_buf() };
    if !manifest.exists() {
        return Err(error!("manifest-missing", file = manifest.display()).at(Place::file(MANIFEST)));
    }
    let folder = manifest.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new(".")).to_path_buf();
    Ok((manifest, folder))
}

fn read_document(folder: &SourceFolder, path: &Path, name: &str, code: Code, findings: &mut Findings) -> Option<Document> {
    let text = findings.take(folder.read_text(path, MANIFEST_BYTES, code))?;
    let (document, more) = manifest::parse(name, &text);
    findings.extend(more);
    document
}
