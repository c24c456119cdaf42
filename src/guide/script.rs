//! The guide's one script, and what the page's policy says of it.

use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

/// The script, which the page carries in itself.
pub const SCRIPT: &str = include_str!("../../templates/guide/picker.js");

/// Its hash, with the line break that follows the opening tag, as a Content Security Policy names it (CSP Level 3, 2.3.1): browsers run this script and no other.
pub fn hash() -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(format!("\n{SCRIPT}").as_bytes())))
}
