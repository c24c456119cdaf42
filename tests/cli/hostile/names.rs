//! Names that become files: none leads elsewhere, means a device, or is another file's on some system.

use super::{check, kit, manifest, run, svg};
use crate::scene::Finding;

fn told(manifest: &str) -> Vec<Finding> {
    check(&kit(svg("")).file("kit/kit.yaml", manifest), &[])
}

#[track_caller]
fn bad(manifest: &str, code: &str) {
    let findings = told(manifest);
    assert!(
        findings.iter().any(|finding| finding.code == code && finding.is_error && finding.hints > 0),
        "{manifest}: {findings:?}"
    );
}

#[test]
fn names_of_kits_papers_and_languages() {
    let bad_names =
        ["..", "../x", "C:x", "con", "PRN", "aux", "NUL", "com1", "LPT9", "con.pdf", "a.", "'a '", "Tote", "tüte", "a--b"];
    for name in bad_names {
        if name != "'a '" {
            bad(&manifest("").replace("name: small", &format!("name: {name}")), "name-form");
        }
        if !name.contains(' ') {
            bad(&manifest("").replace("[a4]", &format!("[{{paper: {name}, width: 200 mm, height: 300 mm}}]")), "name-form");
        }
    }
    for tag in ["con", "aux", "prn", "nul", "../en", "e", "en/../../x", "\"en\\0\""] {
        let findings = told(&manifest(&format!("languages: [en, {tag}]\n")));
        let fine = |finding: &Finding| ["language-form", "text-control", "yaml-syntax"].contains(&finding.code.as_str());
        assert!(findings.iter().any(fine), "{tag}: {findings:?}");
    }
    bad(&manifest("").replace("1.0.0", "1.0.0-RC"), "edition-form");
    // A translator's file says for which language it is; that is no path either.
    let scene = kit(svg("")).file("back.po", "msgid \"\"\nmsgstr \"Language: ../../../x\\n\"\n");
    let outcome = run(&scene, &["catalogue", "merge", "kit", "back.po"]);
    assert!([1, 2].contains(&outcome.code) && outcome.stderr.contains("[argument-bad]"), "{}", outcome.stderr);
    assert!(run(&scene, &["catalogue", "update", "kit", "--language", "nul"]).stderr.contains("[argument-bad]"));
}

#[test]
fn files_of_a_kit_that_some_system_cannot_have() {
    for name in [
        "CON",
        "nul.svg",
        "Aux.md",
        "com1.svg",
        "lpt9.tar.gz",
        "a.svg.",
        "a?.svg",
        "a*b",
        "pictures/prn/a.svg",
        "a\u{200b}b.svg",
    ] {
        bad(&manifest(&format!("logo: \"{name}\"\n")), "file-name");
        bad(&manifest(&format!("guide:\n  chapters:\n    - file: \"{name}\"\n")), "file-name");
    }
    let scene = kit(svg("")).file("kit/kit.yaml", &manifest("guide: {help: \"![a](con.png)\"}\n"));
    assert!(check(&scene, &[]).iter().any(|finding| finding.code == "file-name"));
    // The same letters, once with an accent of its own.
    for (one, other) in [("a.png", "A.png"), ("\u{e9}.png", "e\u{301}.png"), ("B\u{fc}.png", "bu\u{308}.png")] {
        let text = manifest(&format!("guide: {{help: \"![a]({one}) ![b]({other})\"}}\n"));
        let findings = told(&text);
        assert!(findings.iter().any(|finding| finding.code == "file-name"), "{one} {other}: {findings:?}");
    }
}

#[test]
fn names_of_sizes_become_plain_parts_of_names() {
    let names = ["../../x", "con", "a/b", "C:", "=1", "\u{202d}é\u{202c}", "..."];
    let layers: String =
        (0..names.len()).map(|n| format!("<g id=\"l{n}\"><path d=\"M0 {n}h9\" stroke=\"#000\"/></g>")).collect();
    let sizes: String = names.iter().enumerate().map(|(n, name)| format!("  - {{name: \"{name}\", layer: l{n}}}\n")).collect();
    let scene = kit(svg(&layers)).file("kit/kit.yaml", &manifest(&format!("size-files: true\nsizes:\n{sizes}")));
    let outcome = run(&scene, &["build", "kit", "--out", "made", "--format", "json"]).expect_code(0);
    let files = outcome.json()["files"].as_array().unwrap().clone();
    assert!(files.len() > names.len());
    for file in files {
        let name = file.as_str().unwrap();
        let plain = name.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '.'));
        assert!(plain && !name.contains(".."), "{name}");
    }
}
