//! Keys: all that a result is made from, in one digest by which the result is found again.

use sha2::{Digest, Sha256};
use std::fmt::{Debug, Result, Write};

/// A key in the making. What is taken in is told apart by its length: other parts, or in another order, are another key.
#[derive(Clone, Default)]
pub struct Key(Sha256);

impl Key {
    /// Takes in a value as `Debug` writes it: a type whose `Debug` leaves something out must not come here.
    #[must_use]
    pub fn value(mut self, value: &impl Debug) -> Self {
        let mut text = Text { digest: &mut self.0, length: 0 };
        // A digest takes whatever is written.
        let _ = write!(text, "{value:?}");
        let length = text.length;
        self.0.update(length.to_le_bytes());
        self
    }

    /// Takes in bytes.
    #[must_use]
    pub fn bytes(mut self, bytes: &[u8]) -> Self {
        self.0.update(bytes);
        self.0.update((bytes.len() as u64).to_le_bytes());
        self
    }

    /// The finished key, in hex digits.
    pub fn hex(self) -> String {
        self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

/// Text that goes straight into a digest.
struct Text<'a> {
    digest: &'a mut Sha256,
    length: u64,
}

impl Write for Text<'_> {
    fn write_str(&mut self, text: &str) -> Result {
        self.digest.update(text);
        self.length += text.len() as u64;
        Ok(())
    }
}
