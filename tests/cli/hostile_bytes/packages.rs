//! Packages made to do harm, given to `verify` and `compare`: neither unpacks anything to disk.

use super::zips::{Entry, body, end, quads, shorts, zip, zip64};
use super::{bounded, refuses};
use crate::scene::Scene;

/// A scene with a hostile zip.
fn scene(zip: &[u8]) -> Scene {
    let scene = Scene::new();
    std::fs::write(scene.path("it.zip"), zip).unwrap();
    scene
}

#[track_caller]
fn refused(zip: &[u8], code: &str) {
    let scene = scene(zip);
    refuses(&scene, &["verify", "it.zip"], code);
    refuses(&scene, &["compare", "it.zip", "it.zip"], code);
}

fn plain(name: &str) -> Entry {
    Entry::stored(name, b"words")
}

#[test]
fn names_that_lead_elsewhere() {
    for name in ["../x", "a/../../x", "/x", "C:\\x", "C:x", "\\\\host\\x", "a\\..\\x", "", "nul", "a/", "x\n.txt"] {
        refused(&zip(&[plain(name)]), "package-name");
    }
    // A code page of long ago instead of UTF-8.
    let old = Entry { name: b"gr\x81n".to_vec(), local_name: b"gr\x81n".to_vec(), flags: 0, ..plain("") };
    refused(&zip(&[old]), "package-name");
}

#[test]
fn links_and_special_files() {
    for kind in [0o120_777, 0o010_644, 0o020_644, 0o060_644, 0o040_755] {
        refused(&zip(&[Entry { attributes: kind << 16, ..plain("link.txt") }]), "package-name");
    }
}

#[test]
fn names_that_some_computers_take_for_one() {
    let twins = [("a.txt", "a.txt"), ("a.txt", "A.TXT"), ("gr\u{fc}n.txt", "gru\u{308}n.txt"), ("\u{c9}.txt", "e\u{301}.txt")];
    for (one, other) in twins {
        refused(&zip(&[plain(one), plain(other)]), "package-name");
    }
}

#[test]
fn two_headers_that_differ() {
    let name = Entry { local_name: b"b.txt".to_vec(), ..plain("a.txt") };
    let method = Entry { local_method: 8, ..plain("a.txt") };
    let size = Entry { local_size: 3, ..plain("a.txt") };
    for entry in [name, method, size] {
        refused(&zip(&[entry]), "package-unreadable");
    }
    let mut hidden = body(&[plain("a.txt"), plain("hidden.txt")]);
    // Only the first is listed.
    hidden.0.truncate(hidden.1 as usize + hidden.2 as usize - 46 - "hidden.txt".len());
    let length = hidden.0.len() as u32 - hidden.1;
    refused(&[hidden.0, end(1, length, hidden.1)].concat(), "package-unreadable");
}

#[test]
fn files_that_share_their_bytes() {
    let once = Entry { at: Some(0), ..plain("a.txt") };
    let again = Entry { name: b"b.txt".to_vec(), at: Some(0), ..plain("a.txt") };
    refused(&zip(&[once, again]), "package-unreadable");
    // The second lies within the first, whole with its header.
    let inner = body(&[plain("b.txt")]).0;
    let inner = &inner[..30 + "b.txt".len() + b"words".len()];
    let outer = Entry::stored("a.txt", inner);
    let within = Entry { at: Some(30 + "a.txt".len() as u32), ..plain("b.txt") };
    let (bytes, start, length) = body(&[outer, within]);
    refused(&[bytes, end(2, length, start)].concat(), "package-unreadable");
}

#[test]
fn two_mebibytes_that_become_two_gibibytes() {
    let one = zip(&[Entry::zeros("big.bin", 2048)]);
    assert!(one.len() < 3 << 20, "{}", one.len());
    refused(&one, "package-too-large");
    let many: Vec<Entry> = (0..16).map(|number| Entry::zeros(&format!("{number}.pdf"), 128)).collect();
    refused(&zip(&many), "package-too-large");
    let damaged: Vec<Entry> = many.into_iter().map(|entry| Entry { crc: 1, ..entry }).collect();
    refuses(&scene(&zip(&damaged)), &["verify", "it.zip"], "package-too-large");
    // It says that it is small.
    let small = Entry { size: 5, local_size: 5, ..Entry::zeros("big.bin", 2048) };
    let outcome = bounded(&scene(&zip(&[small])), &["verify", "it.zip"]);
    let told = ["[package-too-large]", "[package-unreadable]"].iter().any(|code| outcome.stderr.contains(code));
    assert!(outcome.code == 1 && told, "{}", outcome.stderr);
}

#[test]
fn as_many_zeros_as_are_read_are_judged_in_time() {
    let entries = [Entry::zeros("a-home-a4.pdf", 200), Entry::zeros("a-guide-en.html", 50), Entry::zeros("SHA256SUMS", 200)];
    let outcome = bounded(&scene(&zip(&entries)), &["verify", "it.zip"]);
    assert_eq!(outcome.code, 1, "{}", outcome.stderr);
}

#[test]
fn more_files_than_a_zip_can_count() {
    let entries: Vec<Entry> = (0..65_536).map(|number| Entry::stored(&format!("{number}"), b"")).collect();
    let (bytes, start, length) = body(&entries);
    // The count has 16 bits: it starts again at 0.
    refused(&[bytes, end(0, length, start)].concat(), "package-unreadable");
    refused(&zip64(&entries, [65_536, u64::from(length), u64::from(start)]), "package-too-large");
}

#[test]
fn bytes_before_the_start_and_behind_the_end() {
    let good = zip(&[plain("a.txt")]);
    refused(&[good.as_slice(), b"more"].concat(), "package-unreadable");
    refused(&[good.as_slice(), &good].concat(), "package-unreadable");
    refused(&[b"#!/bin/sh\nexit\n", good.as_slice()].concat(), "package-unreadable");
}

#[test]
fn encrypted_files() {
    refused(&zip(&[Entry { flags: 0x801, ..plain("a.txt") }]), "package-unreadable");
}

#[test]
fn methods_that_nobody_needs() {
    for method in [1, 9, 12, 14, 93, 95, 99, 0xffff] {
        refused(&zip(&[Entry { method, local_method: method, ..plain("a.txt") }]), "package-unreadable");
    }
}

#[test]
fn numbers_of_64_bits_that_lie() {
    let (_, start, length) = body(&[plain("a.txt")]);
    let (start, length) = (u64::from(start), u64::from(length));
    for numbers in
        [[u64::MAX, length, start], [1 << 60, length, start], [1, length, u64::MAX], [1, length, 1 << 63], [3, length, start]]
    {
        refused(&zip64(&[plain("a.txt")], numbers), "package-unreadable");
    }
    // The extra field for sizes that do not fit: unpacked, packed, where (section 4.5.3).
    for sizes in [[1 << 63, 5, 0], [5, 1 << 63, 0], [5, 5, 1 << 63]] {
        let extra = [shorts(&[1, 24]), quads(&sizes)].concat();
        let entry = Entry { size: u32::MAX, packed_size: u32::MAX, at: Some(u32::MAX), extra, ..plain("a.txt") };
        refused(&zip(&[entry]), "package-unreadable");
    }
    let claims = Entry { size: u32::MAX - 1, local_size: u32::MAX - 1, ..plain("a.txt") };
    refused(&zip(&[claims]), "package-unreadable");
}

#[test]
fn sums_that_are_wrong() {
    refused(&zip(&[Entry { crc: 1, ..plain("a.txt") }]), "package-unreadable");
}
