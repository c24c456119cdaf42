//! Checksums in the form that the usual `sha256sum -c` reads.

use super::Entry;
use crate::editions::digest;
use rayon::prelude::*;

/// One line a file: 64 hexadecimal digits, two blanks, the name; in the order given.
pub fn sums(entries: &[Entry]) -> String {
    let lines: Vec<String> = entries.par_iter().map(|entry| format!("{}  {}\n", digest(&entry.bytes), entry.name)).collect();
    lines.concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_those_of_the_standard() {
        // FIPS 180-4 example "abc" (NIST, SHA-256 example values).
        let line = sums(&[Entry::new("abc.txt", "abc")]);
        assert_eq!(line, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  abc.txt\n");
    }
}
