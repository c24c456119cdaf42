//! Lay plans for all commands: the pieces of a kit, the lays that are kept beside its manifest, and the book of all lays.

use super::store::Store;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::drawing::Drawing;
use crate::files::SourceFolder;
use crate::lays::{self, Cut, LayBook, SeamLengths};
use crate::manifest::Kit;

/// The file that keeps lays from edition to edition, beside the manifest.
pub(super) const KEPT: &str = "lays.json";
/// Largest such file that is read.
const KEPT_BYTES: u64 = 100_000_000;

/// What lay plans are made from, and what was measured; empty in a kit without cloths and seams.
#[derive(Clone, Debug, Default)]
pub(super) struct Laid {
    cuts: Vec<Vec<Cut>>,
    seams: Vec<SeamLengths>,
    kept: Option<LayBook>,
}

impl Laid {
    /// Recognises the pieces in the drawing, measures its seams, and reads what is kept.
    pub(super) fn of(kit: &Kit, drawing: &Drawing, folder: &SourceFolder, findings: &mut Findings) -> Self {
        if kit.cloths.is_empty() && kit.seams.is_empty() {
            return Self::default();
        }
        let (cuts, more) = lays::recognised(kit, &drawing.traced);
        findings.extend(more);
        let (seams, more) = lays::measured(kit, &drawing.traced);
        findings.extend(more);
        Self { cuts, seams, kept: findings.take(kept(folder)).flatten() }
    }

    /// Whether there is anything to lay or to tell.
    pub(super) fn is_some(&self) -> bool {
        !self.cuts.is_empty() || !self.seams.is_empty()
    }

    /// Whether a book is kept already, to the byte.
    pub(super) fn is_kept(&self, bytes: &[u8]) -> bool {
        self.kept.as_ref().is_some_and(|kept| written(kept) == bytes)
    }

    /// The book of all lays and seams, if the kit has any and a drawing; as the store has it, if it was made from the same before.
    pub(super) fn book(&self, kit: &Kit, store: &Store) -> Result<Option<LayBook>, Diagnostic> {
        if !self.is_some() {
            return Ok(None);
        }
        // The lays of all sizes are one step: each size tries those of its neighbours.
        let Self { cuts, seams, kept } = self;
        let Kit { name, edition, sizes, cloths, .. } = kit;
        let key = store.key("lays").map(|key| key.value(&(name, edition, sizes, cloths)).value(&(cuts, seams, kept)));
        if let Some(book) = store.json(&key) {
            return Ok(Some(book));
        }
        let book = lays::planned(kit, cuts, seams.clone(), kept.as_ref())?;
        store.keep_json(&key, &book);
        Ok(Some(book))
    }

    /// The same for some sizes alone, by their indices.
    pub(super) fn for_sizes(&self, sizes: &[usize]) -> Self {
        let some = |cuts: &Vec<Cut>| sizes.iter().filter_map(|size| cuts.get(*size).cloned()).collect();
        if sizes.is_empty() {
            return self.clone();
        }
        let seam = |seam: &SeamLengths| SeamLengths {
            sizes: sizes.iter().filter_map(|size| seam.sizes.get(*size).cloned()).collect(),
            ..seam.clone()
        };
        let cuts = self.cuts.iter().map(some).collect();
        Self { cuts, seams: self.seams.iter().map(seam).collect(), kept: self.kept.clone() }
    }
}

fn kept(folder: &SourceFolder) -> Result<Option<LayBook>, Diagnostic> {
    let path = folder.join(KEPT);
    if !path.exists() {
        return Ok(None);
    }
    let bytes = folder.read(&path, KEPT_BYTES, code!("lays-unreadable"))?;
    let book = serde_json::from_slice::<LayBook>(&bytes);
    book.map(Some).map_err(|error| error!("lays-unreadable", file = KEPT, error).at(Place::file(KEPT)))
}

/// The book as it is kept and packed.
pub(super) fn written(book: &LayBook) -> Vec<u8> {
    // Records of plain figures cannot fail to be written.
    let mut text = serde_json::to_vec(book).unwrap_or_default();
    text.push(b'\n');
    text
}
