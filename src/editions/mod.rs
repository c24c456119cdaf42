//! Editions: what was released and when, and whether the next one is ready.

mod ready;
mod record;
#[cfg(test)]
mod tests;

pub use ready::{Next, ready};
pub use record::{Editions, Released};

use sha2::{Digest, Sha256};

/// SHA-256 of some bytes (FIPS 180-4), as 64 hexadecimal digits.
pub fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
