//! The package: named bytes in, one zip out, sorted, dated from the edition, checksums inside.

mod archive;
mod names;
mod promises;
mod readme;
mod signature;
mod sums;
#[cfg(test)]
mod tests;

pub use archive::{is_ours, zip};
pub use names::Names;
pub use promises::{Printed, promises};
pub use readme::readme;
pub(crate) use readme::wrapped;
pub use signature::{NewKeys, Password, Signer, new_keys};
pub use sums::sums;

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
