//! The guide's one script, and what a page's policy says of its script.

use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

/// The script as the page carries it in itself, without white space around it: some checkers do not count that.
pub fn script() -> &'static str {
    include_str!("../../templates/guide/picker.js").trim()
}

/// The hash of a script as a Content Security Policy names it (CSP Level 3, 2.3.1): browsers run this script and no other.
pub fn script_hash(script: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(script.as_bytes())))
}
