//! The package: named bytes in, one zip out, sorted, dated from the edition, checksums inside.

mod archive;
mod delta;
mod names;
mod promises;
mod readme;
mod signature;
mod sums;
#[cfg(test)]
mod tests;

pub use archive::{is_ours, is_packed, zip, zip_by, zip_of};
pub use delta::{DeltaText, delta, delta_texts, outdated};
pub use names::Names;
pub use promises::{Printed, promises};
pub use readme::readme;
pub(crate) use readme::wrapped;
pub use signature::{NewKeys, Password, Signer, new_keys};
pub use sums::sums;

use crate::manifest::Kit;

/// Files of a kit in the order of their names, with their checksums and, if there is a key, the signature over these.
pub fn sealed(mut entries: Vec<Entry>, kit: &Kit, signer: Option<&Signer>) -> Vec<Entry> {
    entries.sort_by(|a, b| a.name.cmp(&b.name));
    let sums = sums(&entries);
    if let Some(signer) = signer {
        let about = format!("{} {} of {}", kit.name, kit.edition, kit.date);
        entries.push(Entry::new(Names::SIGNATURE, signer.sign(&sums, &about)));
    }
    entries.push(Entry::new(Names::SUMS, sums));
    entries
}

/// A file of the package.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Its name; the package has no folders.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl Entry {
    /// A file from its name and bytes.
    pub fn new(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self { name: name.into(), bytes: bytes.into() }
    }
}
