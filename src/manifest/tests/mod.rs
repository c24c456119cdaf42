//! Tests of the whole module: text in, kit or findings with their places out.

mod findings;
mod guide;
mod hostile;
mod kits;
mod reach;
mod traps;

use super::{Document, Kit, kit, parse, schema};
use crate::diagnostic::Findings;

/// A manifest with every key that is required.
const SMALL: &str = "\
name: ropewalk-tote
title: Ropewalk tote
publisher: Ploverfield Paper
edition: 1.0.0
date: 2026-11-20
copyright: © 2026 Ploverfield Paper
drawing:
  file: tote.svg
papers: [a4]
";

/// Reads and checks one file.
fn read(text: &str) -> (Option<Kit>, Findings) {
    let (document, mut findings) = parse("kit.yaml", text);
    let Some(document) = document else { return (None, findings) };
    let (kit, more) = kit(&document, None);
    findings.extend(more);
    (kit, findings)
}

/// The kit of a manifest without findings.
fn good(text: &str) -> Kit {
    let (kit, findings) = read(text);
    assert!(findings.is_empty(), "{:?}", told(&findings));
    kit.expect("a manifest without findings makes a kit")
}

/// `code line:column` of every finding.
fn told(findings: &Findings) -> Vec<String> {
    let number = |n: Option<u32>| n.map_or("-".into(), |n| n.to_string());
    let place = |p: &crate::diagnostic::Place| format!("{}:{}", number(p.line), number(p.column));
    findings.iter().map(|f| format!("{} {}", f.code, f.place.as_ref().map_or("nowhere".into(), place))).collect()
}

/// The small manifest with more lines behind it; they begin at line 10.
fn with(more: &str) -> String {
    format!("{SMALL}{more}")
}

/// The small manifest with one of its lines replaced.
fn instead(line: &str, by: &str) -> String {
    assert!(SMALL.contains(line), "{line}");
    SMALL.replace(line, by)
}

/// Message and hints of all findings, to look for words in.
fn words(findings: &Findings) -> String {
    findings.iter().map(|f| format!("{}; {}\n", f.message, f.hints.join("; "))).collect()
}

/// A document that must be readable.
fn document(name: &str, text: &str) -> Document {
    parse(name, text).0.expect("readable")
}

#[test]
fn the_committed_schema_is_the_one_of_the_types() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/schema/manifest.schema.json");
    let text = format!("{:#}\n", schema());
    if std::env::var_os("KITWRIGHT_UPDATE").is_some_and(|value| value == "1") {
        std::fs::create_dir_all(std::path::Path::new(path).parent().expect("a folder")).expect("folder");
        std::fs::write(path, &text).expect("schema written");
    }
    let committed = std::fs::read_to_string(path).expect("docs/schema/manifest.schema.json");
    assert!(committed.replace("\r\n", "\n") == text, "run the tests with KITWRIGHT_UPDATE=1 and commit the new schema");
}

#[test]
fn the_schema_allows_no_null_and_no_unknown_key() {
    let text = schema().to_string();
    assert!(!text.contains("null"), "{text}");
    assert_eq!(schema()["additionalProperties"], false);
    assert_eq!(schema()["$defs"]["Drawing"]["additionalProperties"], false);
}
