//! Zips that must not be trusted: names, links, twins, lies about sizes.

use super::super::{names, package};
use super::sample::{Sample, codes, zip};
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;

#[test]
fn names_that_no_package_may_hold() {
    // Reserved names and characters: Microsoft, "Naming Files, Paths, and Namespaces".
    let refused = [
        "",
        "/abs",
        "C:\\x",
        "c:x",
        "a\\b",
        "../evil",
        "a/../b",
        "..",
        "a//b.pdf",
        "a/con.txt",
        "con.txt",
        "NUL",
        "com1.pdf",
        "Lpt².x",
        "aux .txt",
        "a\nb",
        "what?.pdf",
        "a.",
        "a ",
    ];
    for name in refused {
        assert!(names::fault(name).is_some(), "{name:?}");
    }
    for name in ["README.txt", "console.txt", "comma.pdf", "com10.pdf", "größe.pdf", "a..b", "..a"] {
        assert_eq!(names::fault(name), None, "{name:?}");
    }
}

#[test]
fn unsafe_names_are_refused_as_they_are_stored() {
    for name in ["../evil.txt", "/abs.txt", "C:\\x.txt", "con.txt"] {
        let verdict = Sample::good().late(name, Some(b"x")).verdict();
        assert_eq!(codes(&verdict), ["package-name"], "{name}");
    }
    let sub = Sample::good().file("sub/file.txt", b"x").verdict();
    assert_eq!(codes(&sub), ["package-name"]);
    let twins = Sample::good().file("readme.TXT", b"x").verdict();
    assert_eq!(codes(&twins), ["package-name"]);
}

#[test]
fn links_and_duplicates_are_refused() {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    writer.add_symlink("link.txt", "/etc/hosts", SimpleFileOptions::default()).unwrap();
    let linked = package("p.zip", &writer.finish().unwrap().into_inner(), None);
    assert_eq!(codes(&linked), ["checksum-missing", "package-name", "promises-missing"]);
    let two = zip(&[("aaa.txt".into(), vec![1]), ("bbb.txt".into(), vec![2])].into());
    let doubled = replaced(&two, b"bbb.txt", b"aaa.txt");
    assert!(codes(&package("p.zip", &doubled, None)).contains(&"package-name"));
}

fn replaced(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for at in 0..bytes.len() - from.len() {
        if bytes[at..].starts_with(from) {
            bytes[at..at + to.len()].copy_from_slice(to);
        }
    }
    bytes
}

#[test]
fn a_local_name_that_differs_from_the_listed_one_is_found() {
    let mut bytes = zip(&[("aaa.txt".into(), vec![1])].into());
    let at = bytes.windows(7).position(|window| window == b"aaa.txt").unwrap();
    bytes[at] = b'b';
    assert!(codes(&package("p.zip", &bytes, None)).contains(&"package-unreadable"));
}

#[test]
fn what_is_no_zip_or_torn_is_unreadable() {
    let whole = zip(&Sample::good().entries());
    for bytes in [&b""[..], b"PK", b"no zip at all", &whole[..whole.len() / 2], &whole[..whole.len() - 1]] {
        assert_eq!(codes(&package("p.zip", bytes, None)), ["package-unreadable"]);
    }
}

#[test]
fn too_many_files_and_too_large_ones_are_refused() {
    let many = (0..10_001).map(|n| (format!("{n}"), Vec::new())).collect();
    assert!(codes(&package("p.zip", &zip(&many), None)).contains(&"package-too-large"));
    // 513 MiB of zeros pack into half a mebibyte; only reading shows how much it is.
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    writer.start_file("zeros.txt", SimpleFileOptions::default()).unwrap();
    let zeros = vec![0; 1 << 20];
    for _ in 0..513 {
        writer.write_all(&zeros).unwrap();
    }
    let verdict = package("p.zip", &writer.finish().unwrap().into_inner(), None);
    assert!(codes(&verdict).contains(&"package-too-large"));
}
