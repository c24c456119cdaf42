//! The signature over the checksums, against the publisher's public key (the form of minisign).

use super::archive::Files;
use super::sums;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use minisign_verify::{PublicKey, Signature};

/// The signature in the package; the list of checksums cannot hold its sum.
pub(super) const FILE: &str = "SHA256SUMS.minisig";

/// Checks the signature, if a key is given.
pub(super) fn check(files: &Files, key: Option<&str>, verdict: &mut Verdict) {
    if let Some(key) = key {
        verdict.judge(Check::Signature, judge(files, key).map_err(|finding| finding.at(verdict.place(FILE))));
    }
}

fn judge(files: &Files, key: &str) -> Result<(), Diagnostic> {
    let key = PublicKey::decode(key).or_else(|_| PublicKey::from_base64(key.trim()));
    let key = key.map_err(|error| error!("key-unusable/public", error))?;
    let text = files.get(FILE).ok_or_else(|| error!("signature-missing", file = FILE))?;
    let off = |error: minisign_verify::Error| error!("signature-off", error);
    let signature = Signature::decode(&String::from_utf8_lossy(text)).map_err(off)?;
    let sums = files.get(sums::FILE).map(|bytes| bytes.as_slice()).unwrap_or_default();
    key.verify(sums, &signature, false).map_err(off)
}
