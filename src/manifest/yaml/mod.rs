//! The first pass over a manifest: which value stands where, and what of YAML a manifest may not use.

mod events;
mod node;

pub(super) use node::{Key, Node, Spot, Value, item_path, key_path};

use crate::diagnostic::{Findings, Place};

/// Bytes of the longest manifest; the longest that anyone writes by hand is far below.
const MAX_BYTES: usize = 1_000_000;
/// How deep lists and mappings may stand in each other; the format itself needs five.
const MAX_DEPTH: usize = 32;

/// What the first pass found.
pub(super) struct Outcome {
    /// The document as far as it was read.
    pub root: Option<Node>,
    /// Whether the whole text was read and may go to the second pass.
    pub whole: bool,
}

/// Strips the byte order mark and gives every line the same end, so that both YAML readers count lines alike.
pub(super) fn normalised(text: &str) -> String {
    text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n")
}

/// Reads the events of a normalised text; what is refused goes to `findings`.
pub(super) fn read(name: &str, text: &str, findings: &mut Findings) -> Outcome {
    if text.len() > MAX_BYTES {
        findings.push(error!("yaml-size", count = text.len(), most = MAX_BYTES).at(Place::file(name)));
        return Outcome { root: None, whole: false };
    }
    events::Reader::new(name, findings).read(text)
}
