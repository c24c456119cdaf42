//! Findings that no other test provokes, each by the smallest change to a kit that brings it about.

use crate::scene::{Outcome, Scene};

/// A small kit of its own: a drawing in millimetres and a manifest, both to be changed.
fn kit(drawing: &str, more: &str) -> Scene {
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1400mm\" height=\"1000mm\" viewBox=\"0 0 1400 1000\">\
         <g id=\"pattern\"><path d=\"M20 20H1380V980\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>{drawing}</g></svg>\n"
    );
    let manifest = format!(
        "name: small\ntitle: Small\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\n\
         languages: [en]\ndrawing: {{file: small.svg}}\nbase-layers: [pattern]\n{more}"
    );
    Scene::new().file("kit/small.svg", &svg).file("kit/kit.yaml", &manifest)
}

#[track_caller]
fn tells(outcome: &Outcome, code: &str) {
    let said = format!("[{code}]");
    assert!(outcome.stderr.contains(&said), "{code}:\n{}{}", outcome.stdout, outcome.stderr);
}

#[test]
fn drawings_that_do_not_fit_or_cannot_be_followed() {
    tells(&kit("", "papers: [a0]\n").run(&["check", "kit"]), "wide-in-parts");
    let styled = "<style>circle { stroke: #000 }</style><circle id=\"dot\" cx=\"100\" cy=\"100\" r=\"9\" fill=\"none\"/>\
                  <use href=\"#dot\" x=\"50\"/>";
    tells(&kit(styled, "papers: [a4]\n").run(&["check", "kit"]), "unsupported-clone");
}

#[test]
fn files_that_are_not_what_the_manifest_says() {
    let check = |more: &str| kit("", &format!("papers: [a4]\n{more}")).file("kit/f.ttf", "no font").run(&["check", "kit"]);
    tells(&check("shared: nowhere.yaml\n"), "shared-missing");
    tells(&check("fonts: [nowhere.ttf]\n"), "font-unreadable");
    tells(&check("fonts:\n  - {file: f.ttf, sha256: abc}\n"), "digest-form");
    tells(&check(&format!("fonts:\n  - {{file: f.ttf, sha256: {}}}\n", "0".repeat(64))), "font-other");
    let scene = kit("", "papers: [a4]\n");
    std::fs::write(scene.path("kit/kit.yaml"), b"name: caf\xe9\n").unwrap();
    tells(&scene.run(&["check", "kit"]), "manifest-unreadable");
    tells(&scene.run(&["verify", "nowhere.zip"]), "package-missing");
}

#[test]
fn bundles_and_translations_that_come_back_broken() {
    let scene = kit("", "papers: [a4]\nguide: {introduction: \"**Sew** it.\"}\n");
    scene.change("kit/kit.yaml", "languages: [en]", "languages: [en, de]");
    scene.run(&["catalogue", "update", "kit", "--language", "de"]).expect_code(0);
    let whole = String::from_utf8(scene.bytes("kit/languages/de.po")).unwrap();
    let broken = whole.replace("msgid \"**Sew** it.\"\nmsgstr \"\"", "msgid \"**Sew** it.\"\nmsgstr \"<script>1</script>\"");
    assert_ne!(whole, broken, "{whole}");
    scene.write("back/de.po", &broken);
    tells(&scene.run(&["catalogue", "merge", "kit", "back/de.po"]), "translation-refused");
    scene.write("kit/bundle.json", "{");
    tells(&scene.run(&["guide", "kit"]), "bundle-unreadable");
}
