//! Manifests, rosters and records of editions that no publisher wrote: whatever YAML can do to a reader.

use super::{check, kit, manifest, run, svg};
use crate::scene::{Finding, Scene};

/// A kit with this manifest.
fn told(text: impl AsRef<[u8]>) -> Vec<Finding> {
    let scene = kit(svg(""));
    std::fs::write(scene.path("kit/kit.yaml"), text).unwrap();
    check(&scene, &[])
}

#[track_caller]
fn bad(text: impl AsRef<[u8]>, code: &str) {
    let findings = told(text);
    let found = findings.iter().any(|finding| finding.code == code && finding.is_error && finding.hints > 0);
    assert!(found && findings.len() < 300, "{code}: {findings:?}");
}

#[test]
fn manifests_that_are_nests_bombs_or_heaps() {
    for nest in ["[", "{", "- ", "? ", "a: [", "[{"] {
        assert!(told(nest.repeat(100_000)).iter().any(|finding| finding.is_error), "{nest}");
    }
    let level = |n: usize| format!("a{n}: &a{n} [{}]\n", vec![format!("*a{}", n - 1); 9].join(", "));
    bad(std::iter::once("a0: &a0 [x]\n".to_owned()).chain((1..25).map(level)).collect::<String>(), "yaml-alias");
    bad(manifest("name: twice\n"), "key-twice");
    bad(manifest("margin-sets:\n\tstudio: {}\n"), "yaml-syntax");
    bad(format!("{}---\n{}", manifest(""), manifest("")), "yaml-documents");
    bad(manifest("logo: !!python/object a\n"), "yaml-tag");
    bad(manifest("logo: !secret a.svg\n"), "yaml-tag");
    bad(manifest(&format!("guide: {{help: {}}}\n", "x".repeat(10_000_000))), "manifest-unreadable");
    bad(manifest("border: 99999999999999999999999999999999999999 mm\n"), "tile-empty");
    bad([manifest("").as_bytes(), b"\0"].concat(), "yaml-syntax");
    bad(manifest("join-error: 1e400 mm\n"), "length-form");
}

#[test]
fn names_of_sizes_stay_what_was_written() {
    for name in ["08", "1e3", "10:30", "no", "0x1F", "1_000", ".5", "null-o", "2026-11-20", "+1", "=1"] {
        let drawing = svg(&format!("<g id=\"{name}\"><path d=\"M0 5h9\" stroke=\"#000\"/></g>"));
        let scene = kit(drawing).file("kit/kit.yaml", &manifest(&format!("sizes:\n  - {{name: {name}, layer: {name}}}\n")));
        let outcome = run(&scene, &["plan", "kit", "--format", "json"]).expect_code(0);
        assert_eq!(outcome.json()["layouts"][0]["sizes"][0]["size"], name, "{}", outcome.stdout);
    }
}

#[test]
fn a_byte_order_mark_does_no_harm() {
    assert_eq!(told(format!("\u{feff}{}", manifest(""))), []);
}

#[test]
fn rosters_and_records_of_editions_are_read_as_carefully() {
    let scene = |name: &str, text: &str| kit(svg("")).file(&format!("kit/{name}"), text);
    let level = |n: usize| format!("  - &a{n} [{}]\n", vec![format!("*a{}", n - 1); 9].join(", "));
    let bomb: String = (1..20).map(level).collect();
    for (name, head, args) in [
        ("testers.yaml", "testers:\n", &["review", "kit", "--round", "1"][..]),
        ("editions.yaml", "editions:\n", &["release", "kit", "--edition", "1.0.0", "--dry-run"][..]),
    ] {
        for text in [
            format!("{head}  - &a0 [x]\n{bomb}"),
            "[".repeat(100_000),
            format!("{head}  - {}\n", "x".repeat(900_000)),
            "\0".into(),
        ] {
            let outcome = run(&scene(name, &text), args);
            assert!(
                [1, 2].contains(&outcome.code) && outcome.stderr.contains(name),
                "{name}: {} {}",
                outcome.code,
                outcome.stderr
            );
        }
    }
}

#[test]
fn signs_that_turn_other_words_are_refused() {
    for sign in ["\u{202a}", "\u{202e}", "\u{2066}", "\u{202c}", "\u{2069}"] {
        bad(manifest(&format!("guide: {{help: \"a{sign}b\"}}\n")), "text-control");
        bad(manifest("").replace("title: Small", &format!("title: \"Sm{sign}all\"")), "text-control");
    }
    assert_eq!(told(manifest("guide: {help: \"a \u{2067}b\u{2069} c\"}\n")), []);
    let scene = Scene::new().file("kit/kit.yaml", "title: \"a\u{202e}b\u{202c}\"\n\"\u{202e}key\": 1\n");
    let outcome = run(&scene, &["check", "kit"]);
    assert!(!outcome.stderr.contains('\u{202e}') && outcome.stderr.contains("\\u{202e}"), "{}", outcome.stderr);
}
