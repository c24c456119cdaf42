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
        let result =
            judge(files, key).map_err(|(code, why, hint)| Diagnostic::error(code, why).at(verdict.place(FILE)).hint(hint));
        verdict.judge(Check::Signature, result);
    }
}

fn judge(files: &Files, key: &str) -> Result<(), (&'static str, String, &'static str)> {
    let key = PublicKey::decode(key).or_else(|_| PublicKey::from_base64(key.trim()));
    let key = key.map_err(|error| {
        ("key-unusable", format!("the public key cannot be read: {error}"), "give the file that ends in `.pub`")
    })?;
    let missing = || ("signature-missing", format!("the package has no `{FILE}`"), "ask the publisher for a signed package");
    let text = files.get(FILE).ok_or_else(missing)?;
    let hint = "do not use this package: fetch it again from the publisher, and ask for the right key";
    let off = |error: minisign_verify::Error| ("signature-off", format!("it is not the publisher's signature: {error}"), hint);
    let signature = Signature::decode(&String::from_utf8_lossy(text)).map_err(off)?;
    let sums = files.get(sums::FILE).map(|bytes| bytes.as_slice()).unwrap_or_default();
    key.verify(sums, &signature, false).map_err(off)
}
