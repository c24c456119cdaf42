//! Checksums: every file is listed in `SHA256SUMS`, every listed file is there, and every sum is right.

use super::archive::Files;
use super::signature;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// The list, in the format of the `sha256sum` command (GNU coreutils manual, "md5sum invocation").
pub(super) const FILE: &str = "SHA256SUMS";

/// Checks the list against the files.
pub(super) fn check(files: &Files, verdict: &mut Verdict) {
    let missing = || error!("checksum-missing", file = FILE).at(verdict.place(FILE));
    let list = files.get(FILE).ok_or_else(missing);
    let Some(list) = verdict.take(Check::Checksum, list) else { return };
    // A name that is not UTF-8 is turned into one that no file has, and so is found.
    let sums = read(&String::from_utf8_lossy(list), verdict);
    // The list cannot hold its own sum, nor that of its signature.
    for (name, bytes) in files.iter().filter(|(name, _)| ![FILE, signature::FILE].contains(&name.as_str())) {
        verdict.judge(Check::Checksum, one(name, bytes, &sums, verdict));
    }
    for name in sums.keys().filter(|name| !files.contains_key(*name)) {
        verdict.judge(Check::Checksum, Err(error!("file-missing/listed", file = FILE, name).at(verdict.place(FILE))));
    }
}

/// Names with their sums; a line that is no sum is a finding.
fn read(text: &str, verdict: &mut Verdict) -> BTreeMap<String, String> {
    let mut sums = BTreeMap::new();
    for (number, line) in (1..).zip(text.lines()) {
        let place = crate::diagnostic::Place { line: Some(number), ..verdict.place(FILE) };
        let finding = || error!("checksum-off").at(place);
        // A second sum for a file would leave open which of them counts.
        let fresh = line_of(line).filter(|(_, name)| !sums.contains_key(*name));
        if let Some((sum, name)) = verdict.take(Check::Checksum, fresh.ok_or_else(finding)) {
            sums.insert(name.to_owned(), sum.to_lowercase());
        }
    }
    sums
}

/// 64 hexadecimal digits, a space, a space or `*`, and the name.
fn line_of(line: &str) -> Option<(&str, &str)> {
    let (sum, rest) = line.split_once(' ')?;
    let name = rest.strip_prefix([' ', '*'])?;
    // Escaped names begin the line with a backslash and so fail here; no package needs them.
    let is_sum = sum.len() == 64 && sum.chars().all(|c| c.is_ascii_hexdigit());
    (is_sum && !name.is_empty()).then_some((sum, name))
}

fn one(name: &str, bytes: &[u8], sums: &BTreeMap<String, String>, verdict: &Verdict) -> Result<(), Diagnostic> {
    let unlisted = || error!("file-unlisted", file = FILE).at(verdict.place(name));
    let sum = sums.get(name).ok_or_else(unlisted)?;
    let off = || error!("checksum-off/changed").at(verdict.place(name));
    (*sum == hex(bytes)).then_some(()).ok_or_else(off)
}

/// SHA-256 (FIPS 180-4) in lower-case hexadecimal digits.
pub(super) fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_a_sum_two_signs_and_a_name() {
        // The sum of no bytes (NIST, "SHA-256 test vectors").
        let sum = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
        assert_eq!(hex(b""), sum);
        let short = &sum[1..];
        for (line, name) in [
            (format!("{sum}  a b.pdf"), Some("a b.pdf")),
            (format!("{sum} *a.pdf"), Some("a.pdf")),
            (format!("{sum} a.pdf"), None),
            (format!("{sum}  "), None),
            (format!("{short}  a.pdf"), None),
            (format!("{sum}0  a.pdf"), None),
            (format!("{short}g  a.pdf"), None),
            (format!("\\{sum}  a.pdf"), None),
        ] {
            assert_eq!(line_of(&line).map(|(_, name)| name), name, "{line}");
        }
    }
}
