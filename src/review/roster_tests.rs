//! Rosters, good and bad: what is read, and where findings point.

use super::*;
use crate::diagnostic::Findings;
use crate::manifest::{Kit, kit, parse};

const KIT: &str = "\
name: tansy-apron
title: Tansy apron
publisher: Ploverfield Paper
edition: 1.2.0
date: 2026-11-20
copyright: © 2026 Ploverfield Paper
drawing: {file: apron.svg}
papers: [a0, a4, letter]
languages: [en, fr]
sizes:
  - {name: 08, layer: size 08}
  - {name: 10, layer: size 10}
";

fn a_kit() -> Kit {
    kit(&parse("kit.yaml", KIT).0.unwrap(), None).0.unwrap()
}

fn read(text: &str) -> (Option<Roster>, Findings) {
    Roster::read("roster.yaml", text, &a_kit())
}

/// Code and line of every finding.
fn told(text: &str) -> Vec<String> {
    let (roster, findings) = read(text);
    assert_eq!(roster.is_none(), findings.has_errors());
    let place = |finding: &crate::diagnostic::Diagnostic| finding.place.as_ref().and_then(|place| place.line).unwrap_or(0);
    findings.iter().map(|finding| format!("{} {}", finding.code, place(finding))).collect()
}

#[test]
fn what_is_left_out_is_all_sizes_the_first_home_paper_and_the_source_language() {
    let (roster, findings) =
        read("testers:\n  - {id: 07}\n  - {id: Anna-2, sizes: [10, 08, 10], paper: letter, language: fr}\n");
    assert!(findings.is_empty(), "{findings:?}");
    let roster = roster.unwrap();
    let tester = |id: &str, paper: &str, language: &str, line| Tester {
        id: id.into(),
        sizes: vec!["08".into(), "10".into()],
        paper: paper.into(),
        language: language.into(),
        line,
    };
    assert_eq!(roster.testers, [tester("07", "a4", "en", 2), tester("Anna-2", "letter", "fr", 3)]);
    assert_eq!(roster.tester("ANNA-2").map(|tester| tester.line), Some(3));
}

#[test]
fn all_that_is_wrong_is_told_at_once_and_in_its_place() {
    let text = "testers:\n  - {id: a b}\n  - id: x\n    sizes: [12, 08]\n    paper: a5\n    language: de\n  - {id: X}\n  - {id: nul}\n";
    let wanted = ["tester-id 2", "tester-choice 4", "tester-choice 5", "tester-choice 6", "tester-id 8", "tester-twice 7"];
    assert_eq!(told(text), wanted);
    assert_eq!(told("testers:\n  - {id: x, name: Anna}\n  - {paper: a4}\n"), ["key-unknown 2", "key-missing 3"]);
}

#[test]
fn files_that_are_no_roster_are_refused() {
    assert_eq!(told(""), ["yaml-empty 1"]);
    assert_eq!(told("testers: []\n"), ["list-length 1"]);
    assert_eq!(told("testers: &all\n  - {id: x}\n  - *all\n").first().unwrap(), "yaml-alias 1");
    assert_eq!(told("testers:\n  - {id: x}\ntesters:\n  - {id: y}\n"), ["key-twice 3"]);
    let many: String = (0..501).map(|n| format!("  - {{id: t{n}}}\n")).collect();
    assert_eq!(told(&format!("testers:\n{many}")), ["list-length 1"]);
    for text in ["[", "- x", "testers: {}", "testers: [1]", "testers:\n  - {id: [x]}\n", "a: b\n---\nc: d\n"] {
        assert!(!told(text).is_empty(), "{text}");
    }
}

#[test]
fn ids_are_safe_in_names_of_files() {
    for id in ["7", "anna", "a-1", "ABCDEFGHIJKLMNOPQRST"] {
        assert!(is_id(id), "{id}");
    }
    for id in ["", "-a", "a-", "a/b", "..", "a.b", "ä", "com1", "LPT9", "nul", "a b", "ABCDEFGHIJKLMNOPQRSTU"] {
        assert!(!is_id(id), "{id}");
    }
}

#[test]
fn a_size_for_a_kit_of_one_size_is_refused() {
    let one = KIT.split("sizes:").next().unwrap();
    let one = kit(&parse("kit.yaml", one).0.unwrap(), None).0.unwrap();
    let (roster, findings) = Roster::read("roster.yaml", "testers:\n  - {id: x, sizes: [10]}\n", &one);
    assert!(roster.is_none() && findings.iter().all(|finding| finding.code == "tester-choice"));
}
