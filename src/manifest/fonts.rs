//! The font files that a manifest names, each perhaps with the digest that its bytes must have.

use super::checks::Check;
use super::checks::files;
use super::raw::{RawFont, RawManifest};
use super::words::NameOr;
use crate::diagnostic::Diagnostic;

/// A font file of a kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FontSource {
    /// The file, relative to the kit's folder; a bare name is also looked for among the fonts of the machine.
    pub file: String,
    /// SHA-256 of the file, 64 lower-case hex digits; `None` if any will do.
    pub sha256: Option<String>,
}

/// The list `fonts`, in its order.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Vec<FontSource> {
    let fonts = check.each("fonts", &raw.fonts, |check, path, font| match font {
        NameOr::Name(file) => Some(FontSource { file: check.take(path, files::inside(file))?, sha256: None }),
        NameOr::Told(RawFont { file, sha256 }) => {
            let file = check.take(&format!("{path}.file"), files::inside(&file.0));
            let digest = sha256.as_ref().map(|text| digest(&text.0)).transpose();
            let sha256 = check.take(&format!("{path}.sha256"), digest);
            Some(FontSource { file: file?, sha256: sha256? })
        }
    });
    fonts.into_iter().map(|(_, font)| font).collect()
}

/// Sixty-four hex digits, as `sha256sum` prints them.
fn digest(text: &str) -> Result<String, Diagnostic> {
    let text = text.trim().to_ascii_lowercase();
    if text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Ok(text);
    }
    Err(error!("digest-form", text))
}
