//! Records and readiness: what is read, what is added, and all that stands in the way.

use super::*;
use crate::manifest::{Kit, kit, parse};

const KIT: &str = "\
name: tansy-apron
title: Tansy apron
publisher: Ploverfield Paper
edition: 1.1.0
date: 2026-11-20
copyright: © 2026 Ploverfield Paper
drawing: {file: apron.svg}
papers: [a4]
guide:
  changes: The pocket sits 5 mm lower.
";

fn a_kit(text: &str) -> Kit {
    kit(&parse("kit.yaml", text).0.unwrap(), None).0.unwrap()
}

fn first() -> Released {
    Released {
        edition: "1.0.0".parse().unwrap(),
        date: "2026-10-01".parse().unwrap(),
        package: "out/tansy apron.zip".into(),
        // FIPS 180-4, the example "abc" (NIST, SHA-256 example values).
        sha256: "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad".into(),
        changes: digest(b"It is the first."),
    }
}

fn record() -> String {
    Editions::added("editions.yaml", None, &first()).unwrap()
}

/// Codes of what stands in the way.
fn against(kit: &str, edition: &str, record: &str, package: Option<&[u8]>, untranslated: bool) -> Vec<&'static str> {
    let (editions, findings) = Editions::read("editions.yaml", record);
    assert!(findings.is_empty(), "{findings:?}");
    let (kit, edition) = (a_kit(kit), edition.parse().unwrap());
    let editions = &editions.unwrap();
    let next = Next { kit: &kit, edition: &edition, editions, package_before: package, untranslated };
    ready(&next).iter().map(|finding| finding.code).collect()
}

#[test]
fn a_record_grows_and_keeps_what_stands_in_it() {
    let text = format!("# mine\n{}  # behind it", record());
    let second = Released { edition: "1.1.0".parse().unwrap(), ..first() };
    let more = Editions::added("editions.yaml", Some(&text), &second).unwrap();
    assert!(more.starts_with(&text));
    let list = Editions::read("editions.yaml", &more).0.unwrap().list;
    assert_eq!(list, [first(), second.clone()]);
    // A form that nothing can be added to is left alone.
    let flow = "editions: [{edition: \"1.0.0\", date: \"2026-10-01\", package: a.zip, sha256: \"".to_owned()
        + &first().sha256
        + "\", changes: \""
        + &first().changes
        + "\"}]\n";
    assert!(Editions::read("editions.yaml", &flow).0.is_some());
    assert!(Editions::added("editions.yaml", Some(&flow), &second).is_none());
}

#[test]
fn a_record_with_faults_is_refused_with_their_places() {
    let told = |text: &str| -> Vec<String> {
        let (editions, findings) = Editions::read("editions.yaml", text);
        assert!(editions.is_none());
        let line = |finding: &crate::diagnostic::Diagnostic| finding.place.as_ref().and_then(|place| place.line).unwrap_or(0);
        findings.iter().map(|finding| format!("{} {}", finding.code, line(finding))).collect()
    };
    assert_eq!(told(&record().replace("1.0.0", "one")), ["editions-value 3"]);
    assert_eq!(told(&record().replace("2026-10-01", "yesterday")), ["editions-value 4"]);
    assert_eq!(told(&record().replace("ba78", "zz")), ["editions-value 6"]);
    assert_eq!(told(&record().replace("    package", "    parcel")).len(), 2);
    assert_eq!(told(""), ["yaml-empty 1"]);
}

#[test]
fn all_that_stands_in_the_way_is_told_at_once() {
    assert!(against(KIT, "1.1.0", &record(), Some(b"abc"), false).is_empty());
    let bare = KIT.split("guide:").next().unwrap().replace("2026-11-20", "2026-09-30");
    let all = ["edition-other", "edition-order", "edition-changes", "edition-package", "edition-untranslated"];
    assert_eq!(against(&bare, "1.2.0", &record(), None, true), all);
    let earlier = KIT.replace("edition: 1.1.0", "edition: 0.9.0");
    assert_eq!(against(&earlier, "0.9.0", &record(), None, false), ["edition-order"]);
    assert_eq!(against(KIT, "1.1.0", &record(), Some(b"abd"), false), ["edition-package"]);
    let same = KIT.replace("The pocket sits 5 mm lower.", "It is the first.");
    assert_eq!(against(&same, "1.1.0", &record(), Some(b"abc"), false), ["edition-changes"]);
}

#[test]
fn editions_are_ordered_by_their_versions() {
    let of = |edition: &str| Released { edition: edition.parse().unwrap(), ..first() };
    let editions = Editions { list: ["1.0.0", "1.10.0", "1.2.0"].map(of).to_vec(), places: Default::default() };
    let named = |released: Option<&Released>| released.map(|it| it.edition.to_string()).unwrap_or_default();
    assert_eq!(named(editions.largest()), "1.10.0");
    let asked = |edition: &str| {
        let edition = edition.parse().unwrap();
        (named(editions.before(&edition)), named(editions.until(&edition)))
    };
    assert_eq!(asked("1.2.0"), ("1.0.0".into(), "1.2.0".into()));
    assert_eq!(asked("1.3.0"), ("1.2.0".into(), "1.2.0".into()));
    assert_eq!(asked("1.0.0-beta.1"), (String::new(), String::new()));
}
