//! Texts that no publisher wrote: nothing may panic, hang or eat memory.

use super::*;
use proptest::prelude::*;
use std::time::{Duration, Instant};

/// Reads a text and insists on an end within a time that is ample for a debug build on a busy machine.
fn quickly(text: &str) -> Findings {
    let start = Instant::now();
    let findings = read(text).1;
    assert!(start.elapsed() < Duration::from_secs(20), "{:?}", start.elapsed());
    findings
}

#[test]
fn deep_nests_end_fast() {
    for text in ["[", "{", "- ", "? ", "a: [", "[{", "{a: "].map(|nest| nest.repeat(100_000)) {
        assert!(quickly(&text).has_errors());
    }
    let staircase: String = (0..1000).map(|n| format!("{}a:\n", " ".repeat(n))).collect();
    assert_eq!(told(&quickly(&staircase)).last().map(String::as_str), Some("yaml-depth 33:33"));
}

#[test]
fn aliases_that_grow_are_never_expanded() {
    let level = |n: usize| format!("a{n}: &a{n} [{}]\n", vec![format!("*a{}", n - 1); 9].join(", "));
    let bomb: String = std::iter::once("a0: &a0 [x]\n".into()).chain((1..25).map(level)).collect();
    assert!(told(&quickly(&bomb)).contains(&"yaml-alias 1:5".to_owned()));
}

#[test]
fn many_keys_and_entries_end_fast() {
    let keys: String = (0..90_000).map(|n| format!("k{n}: 1\n")).collect();
    let same = "a: 1\n".repeat(150_000);
    let papers = format!("{}{}]\n", instead("papers: [a4]\n", "papers: ["), "a4, ".repeat(200_000));
    let sets: String = (0..20_000).map(|n| format!("  s{n}: {{top: 1}}\n")).collect();
    let long =
        with(&format!("guide: {{help: \"{}\"}}\nsizes: [{}]\n", "x".repeat(900_000), "{name: ~, layer: a}, ".repeat(59)));
    for text in [keys, same, papers, with(&format!("margin-sets:\n{sets}")), long] {
        let findings = quickly(&text);
        assert!(findings.has_errors());
        assert!(findings.iter().count() < 300, "{}", findings.iter().count());
    }
}

/// Pieces that YAML and manifests are made of.
fn piece() -> impl Strategy<Value = String> {
    let known = [
        "name",
        "papers",
        "sizes",
        "drawing",
        ": ",
        ":",
        "- ",
        "\n",
        "\n  ",
        "\t",
        "[",
        "]",
        "{",
        "}",
        ", ",
        "\"",
        "'",
        "|\n",
        ">-\n",
        "&a ",
        "*a",
        "<<: ",
        "!!str ",
        "---\n",
        "...\n",
        "? ",
        "# ",
        "%",
        "~",
        "a4",
        "15 mm",
        "15",
        "\u{feff}",
        "\r",
        "\0",
        "\u{2028}",
        "é",
        "guide",
        "margins",
        "margin-sets",
        "95 %",
        "placement",
        "size-files",
        "projection",
        "true",
        "home",
        "title",
        "from",
        "..",
        "/",
        "\\",
        "1e999",
        "-",
    ];
    prop_oneof![
        8 => proptest::sample::select(known.to_vec()).prop_map(str::to_owned),
        1 => ".{0,6}",
    ]
}

proptest! {
    #[test]
    fn arbitrary_text_never_panics(text in any::<String>()) {
        read(&text);
    }

    #[test]
    fn arbitrary_pieces_never_panic(pieces in proptest::collection::vec(piece(), 0..60)) {
        read(&pieces.concat());
    }

    #[test]
    fn mutated_manifests_never_panic(cuts in proptest::collection::vec((any::<prop::sample::Index>(), 0..6usize, piece()), 1..5)) {
        let mut chars: Vec<char> = include_str!("full.yaml").chars().collect();
        for (at, gone, piece) in cuts {
            let from = at.index(chars.len());
            let to = (from + gone).min(chars.len());
            chars.splice(from..to, piece.chars());
        }
        let (kit, findings) = read(&chars.into_iter().collect::<String>());
        prop_assert!(kit.is_some() || findings.has_errors(), "no kit, and no word why");
    }

    #[test]
    fn every_finding_has_a_place_and_a_hint(pieces in proptest::collection::vec(piece(), 0..40)) {
        for finding in read(&format!("{SMALL}{}", pieces.concat())).1 {
            prop_assert!(finding.place.is_some() && !finding.hints.is_empty(), "{finding:?}");
        }
    }
}
