//! Words that are meant to be run, to turn others round, or to be too many: in guides, catalogues and answers they stay words.

use super::{check, kit, manifest, run, svg};
use crate::scene::Scene;

/// Words that some program would run if they came to it unguarded.
const RUN: [&str; 8] = [
    "{{ 7*7 }}",
    "{% include \"/etc/passwd\" %}",
    "{# gone #}",
    "${7*7}",
    "{paper}",
    "=HYPERLINK(\"http://example.org\")",
    "@SUM(1+1)",
    "<script>alert(1)</script>",
];

/// A text as HTML shows it.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// The guide of a kit, with references of HTML that may be written in two ways in one of them.
fn guide(scene: &Scene, language: &str) -> String {
    run(scene, &["guide", "kit", "--out", "made", "--language", language]).expect_code(0);
    let page = String::from_utf8(scene.bytes(&format!("made/small-1.0.0-guide-{language}.html"))).unwrap();
    page.replace("&#x2F;", "/").replace("&#x27;", "'")
}

#[test]
fn templates_and_formulas_of_a_kit_stay_text() {
    for words in RUN {
        // Quoted by JSON, which YAML reads as well.
        let quoted = serde_json::to_string(words).unwrap();
        let own = serde_json::to_string(&format!("`{words}`")).unwrap();
        let text = manifest(&format!("guide: {{introduction: {own}}}\n"))
            .replace("title: Small", &format!("title: {quoted}"))
            .replace("publisher: Example", &format!("publisher: {quoted}"))
            .replace("copyright: none", &format!("copyright: {quoted}"));
        // Four times as large, for two sheets.
        let scene = kit(svg("").replace("100mm", "400mm")).file("kit/kit.yaml", &text);
        let page = guide(&scene, "en");
        assert!(page.matches(&escaped(words)).count() >= 3, "{words}");
        assert!(!page.contains("<script>alert") && !page.contains("root:x:"), "{words}");
        run(&scene, &["proof", "kit", "--out", "made"]).expect_code(0);
        let proof = String::from_utf8(scene.bytes("made/small-1.0.0-proof.html")).unwrap().replace("&#x2F;", "/");
        assert!(proof.contains(&escaped(words)) && !proof.contains("<script>alert"), "{words}");
    }
}

#[test]
fn chapters_that_are_too_much() {
    let chapter = |text: &str| {
        let scene = kit(svg("")).file("kit/kit.yaml", &manifest("guide:\n  chapters:\n    - file: a.md\n"));
        scene.write("kit/a.md", &format!("# A\n\n{text}"));
        check(&scene, &[])
    };
    let told = |text: &str, code: &str| {
        let findings = chapter(text);
        assert!(findings.iter().any(|finding| finding.code == code && finding.is_error), "{code}: {findings:?}");
    };
    told(&"x".repeat(10_000_000), "chapter-unreadable");
    told(&">".repeat(100_000), "markdown-deep");
    told(&format!("{}x", "- ".repeat(100_000)), "markdown-deep");
    told(&(0..1_000).map(|n| format!("{}- a\n", " ".repeat(n))).collect::<String>(), "markdown-deep");
    told("[a](javascript:alert(1))", "link-unsafe");
    told("<script>alert(1)</script>", "markdown-html");
    told("a\u{0}b", "text-control");
    told("a\u{1b}[31m", "text-control");
    told("a \u{202e}b\n\nc", "text-control");
    // Signs without a meaning are text, however many.
    for sign in ["[", "*", "_", "`", "![", "<", "&", "~", "|", "a**b", "[a](", "]("] {
        let findings = chapter(&sign.repeat(100_000));
        let codes = ["markdown-deep", "markdown-html", "alt-missing", "markdown-large"];
        assert!(findings.iter().all(|finding| codes.contains(&finding.code.as_str())), "{sign}: {findings:?}");
    }
}

#[test]
fn catalogues_that_are_too_much_or_would_be_run() {
    let scene = kit(svg("")).file("kit/kit.yaml", &manifest("languages: [en, fr]\nguide: {introduction: \"Sew it.\"}\n"));
    run(&scene, &["catalogue", "update", "kit"]).expect_code(0);
    let whole = String::from_utf8(scene.bytes("kit/languages/fr.po")).unwrap();
    let with = |from: &str, to: &str| {
        let empty = format!("msgid \"{from}\"\nmsgstr \"\"");
        assert!(whole.contains(&empty), "{whole}");
        whole.replace(&empty, &format!("msgid \"{from}\"\nmsgstr \"{to}\""))
    };
    for words in ["{{ 7*7 }}", "{paper}", "=1+1"] {
        scene.write("kit/languages/fr.po", &with("Sew it.", words));
        assert!(guide(&scene, "fr").contains(words), "{words}");
    }
    for words in ["<script>alert(1)</script>", "[a](javascript:alert(1))", "a\u{202e}b", "a\u{2067}b", "a\u{7}b"] {
        scene.write("kit/languages/fr.po", &with("Sew it.", words));
        let findings = check(&scene, &[]);
        assert!(findings.iter().any(|finding| finding.code.starts_with("translation-")), "{words}: {findings:?}");
        let page = guide(&scene, "fr");
        assert!(page.contains("Sew it.") && !page.contains(words), "{words}");
    }
    // The title is a line of its own, without Markdown.
    scene.write("kit/languages/fr.po", &with("Small", "Pe\u{202e}tit"));
    assert!(check(&scene, &[]).iter().any(|finding| finding.code.starts_with("translation-")));
    scene.write("kit/languages/fr.po", &with("Sew it.", &"x".repeat(10_000_000)));
    assert!(check(&scene, &[]).iter().any(|finding| finding.code == "po-unreadable"));
    scene.write("kit/languages/fr.po", &"msgid \"a\"\n".repeat(500_000));
    assert!(check(&scene, &[]).iter().any(|finding| finding.code == "po-syntax"));
    scene.write("kit/languages/fr.po", &format!("msgid \"{}", "\\\"".repeat(2_000_000)));
    assert!(check(&scene, &[]).iter().any(|finding| finding.code == "po-syntax"));
}

#[test]
fn xliff_that_is_too_much() {
    let scene = kit(svg("")).file("kit/kit.yaml", &manifest("languages: [en, fr]\nguide: {introduction: \"Sew it.\"}\n"));
    run(&scene, &["catalogue", "update", "kit"]).expect_code(0);
    let head = "<xliff xmlns=\"urn:oasis:names:tc:xliff:document:2.0\" version=\"2.1\" srcLang=\"en\" trgLang=\"fr\">";
    let many: String = (0..300_000).map(|n| format!(" a{n}=\"\"")).collect();
    let texts = [
        format!("{head}{}", "<group>".repeat(1_000_000)),
        format!("{head}<file id=\"f\"><unit id=\"u\"{many}><segment><source>a</source></segment></unit></file></xliff>"),
        format!("<!DOCTYPE xliff [<!ENTITY a \"{}\">]>{head}<note>{}</note></xliff>", "a".repeat(9_000), "&a;".repeat(9_000)),
        format!("<!DOCTYPE xliff [<!ENTITY a SYSTEM \"file:///etc/passwd\">]>{head}<note>&a;</note></xliff>"),
        format!("{head}<file id=\"f\"><unit id=\"u\" name=\"{}\"", "x".repeat(9_000_000)),
        format!("{head}<file id=\"f\"><unit id=\"u\"><segment><source>{}", "<ph/>".repeat(1_000_000)),
        format!("{head}{}", "x".repeat(10_000_000)),
        "<".repeat(1_000_000),
    ];
    for text in texts {
        scene.write("back.xlf", &text);
        let outcome = run(&scene, &["catalogue", "merge", "kit", "back.xlf", "--language", "fr"]);
        let start: String = text.chars().take(300).collect();
        assert!(
            [1, 2].contains(&outcome.code) && outcome.stderr.contains("error["),
            "{start}: {} {}",
            outcome.code,
            outcome.stderr
        );
        assert!(outcome.stderr.len() < 100_000 && !outcome.stderr.contains("root:x:"), "{start}");
    }
}

#[test]
fn answers_that_are_too_much_are_left_out() {
    let scene = Scene::new();
    let texts = [
        "[".repeat(100_000),
        format!("{{\"format\": {}", "[".repeat(100_000)),
        format!("{{\"format\": 1, \"more\": \"{}\"}}", "x".repeat(10_000_000)),
        format!("{{\"format\": {}}}", "9".repeat(100_000)),
        "{\"format\": 1e999999999}".into(),
        "{\"format\": 1, \"format\": 1}".into(),
        "\u{0}\u{1}".into(),
    ];
    for text in texts {
        scene.write("in/a.json", &text);
        let outcome = run(&scene, &["feedback", "in"]).expect_code(1);
        let told = outcome.stderr.contains("[feedback-unreadable]") || outcome.stderr.contains("[feedback-format]");
        assert!(told && outcome.stderr.len() < 10_000, "{}", outcome.stderr);
    }
}
