//! Tests of packages: what is in the zip, in which order, with which date, and whose it is.

use super::{Entry, Names, is_ours, zip};
use std::io::{Cursor, Read};
use zip::{CompressionMethod, DateTime, ZipArchive};

const DAY: jiff::civil::Date = jiff::civil::date(2026, 11, 20);

fn entries() -> Vec<Entry> {
    let promises = r#"{"format": 1, "kit": "ropewalk-tote"}"#;
    let names = ["b.pdf", "README.txt", "a.html"];
    let plain = names.iter().map(|name| Entry::new(*name, name.repeat(90)));
    plain.chain([Entry::new(Names::PROMISES, promises)]).collect()
}

fn archive(bytes: &[u8]) -> ZipArchive<Cursor<&[u8]>> {
    ZipArchive::new(Cursor::new(bytes)).unwrap()
}

#[test]
fn entries_are_sorted_whole_and_all_of_one_date() {
    let bytes = zip(entries(), DAY).unwrap();
    let mut archive = archive(&bytes);
    let stamp = DateTime::from_date_and_time(2026, 11, 20, 0, 0, 0).unwrap();
    let mut names = Vec::new();
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let (mut text, name) = (String::new(), file.name().unwrap().into_owned());
        file.read_to_string(&mut text).unwrap();
        assert_eq!(file.last_modified(), Some(stamp));
        // A PDF's streams are packed already.
        let stored = file.compression() == CompressionMethod::Stored;
        assert_eq!(stored, name.ends_with(".pdf"), "{name}");
        assert!(name == Names::PROMISES || text == name.repeat(90));
        names.push(name);
    }
    assert_eq!(names, ["README.txt", "a.html", "b.pdf", "promises.json"]);
}

#[test]
fn the_same_entries_in_any_order_give_the_same_bytes() {
    let reversed = entries().into_iter().rev().collect();
    assert!(zip(entries(), DAY).unwrap() == zip(reversed, DAY).unwrap());
    assert!(zip(entries(), DAY).unwrap() != zip(entries(), DAY.tomorrow().unwrap()).unwrap());
}

#[test]
fn a_date_that_zips_cannot_hold_becomes_their_first_day() {
    // The MS-DOS date of a zip counts from 1980 in seven bits (APPNOTE 4.4.6, from memory).
    for year in [1979, 2108] {
        let bytes = zip(entries(), jiff::civil::date(year, 5, 5)).unwrap();
        assert_eq!(archive(&bytes).by_index(0).unwrap().last_modified(), Some(DateTime::default()));
    }
}

#[test]
fn only_packages_of_the_kit_are_ours() {
    let bytes = zip(entries(), DAY).unwrap();
    assert!(is_ours(&bytes, "ropewalk-tote"));
    assert!(!is_ours(&bytes, "tansy-apron"));
    assert!(!is_ours(b"", "ropewalk-tote"));
    assert!(!is_ours(bytes.get(..bytes.len() / 2).unwrap(), "ropewalk-tote"));
    let strange = |text: &str| zip(vec![Entry::new(Names::PROMISES, text)], DAY).unwrap();
    assert!(!is_ours(&strange("no record"), "ropewalk-tote"));
    assert!(!is_ours(&strange(r#"["ropewalk-tote"]"#), "ropewalk-tote"));
    assert!(!is_ours(&zip(vec![Entry::new("README.txt", "ropewalk-tote")], DAY).unwrap(), "ropewalk-tote"));
}
