//! `build` and the disk: packages appear whole or not at all, and what is not ours is left alone.

use crate::scene::Scene;

const PACKAGE: &str = "made/first-kit-0.1.0.zip";

fn built() -> Scene {
    let scene = Scene::first_kit();
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    scene
}

#[test]
fn the_same_kit_gives_the_same_bytes() {
    let scene = built();
    let first = scene.bytes(PACKAGE);
    let variables = [("TZ", "Pacific/Kiritimati"), ("LC_ALL", "tr_TR.UTF-8"), ("RAYON_NUM_THREADS", "1")];
    scene.run_with(&["build", "kit", "--out", "again"], &variables).expect_code(0);
    assert!(first == scene.bytes("again/first-kit-0.1.0.zip"));
}

#[test]
fn an_earlier_package_is_replaced_by_a_good_build() {
    let scene = built();
    let first = scene.bytes(PACKAGE);
    scene.change("kit/kit.yaml", "My first kit", "My second thought");
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    assert!(first != scene.bytes(PACKAGE));
}

#[test]
fn an_earlier_package_survives_a_refused_build() {
    let scene = built();
    scene.change("kit/drawing.svg", "</svg>", "");
    let before = scene.files();
    scene.run(&["build", "kit", "--out", "made"]).expect_code(1);
    assert!(scene.files() == before);
}

#[test]
fn a_file_of_ones_own_with_the_packages_name_is_left_alone() {
    for text in ["my holiday pictures", "PK\u{3}\u{4} not really a zip"] {
        let scene = Scene::first_kit().file(PACKAGE, text);
        let outcome = scene.run(&["build", "kit", "--out", "made"]).expect_code(3);
        assert!(outcome.stderr.contains("left alone"), "{}", outcome.stderr);
        assert_eq!(scene.bytes(PACKAGE), text.as_bytes());
    }
}

#[test]
fn another_kits_package_is_left_alone() {
    let scene = built();
    scene.change("kit/kit.yaml", "name: first-kit ", "name: other-kit ");
    let other = scene.bytes(PACKAGE);
    std::fs::rename(scene.path(PACKAGE), scene.path("made/other-kit-0.1.0.zip")).unwrap();
    scene.run(&["build", "kit", "--out", "made"]).expect_code(3);
    assert!(scene.bytes("made/other-kit-0.1.0.zip") == other);
}

#[test]
fn an_output_folder_that_cannot_be_written_is_told() {
    // A file stands where the folder should be: that stops even a user who may write everywhere.
    let scene = Scene::first_kit().file("made", "a file");
    let before = scene.files();
    let outcome = scene.run(&["build", "kit", "--out", "made", "--format", "json"]).expect_code(3);
    assert_eq!(outcome.findings().iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["cannot-write"]);
    assert!(scene.files() == before);
}

#[test]
fn other_files_in_the_output_folder_are_not_touched() {
    let scene = Scene::first_kit().file("made/notes.txt", "mine");
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    assert_eq!(scene.bytes("made/notes.txt"), b"mine");
    let made: Vec<String> = scene.names().into_iter().filter(|name| name.starts_with("made/")).collect();
    assert_eq!(made, [PACKAGE, "made/notes.txt"]);
}

#[test]
fn a_part_of_a_kit_does_not_pass_for_the_whole() {
    let scene = Scene::first_kit();
    let outcome = scene.run(&["build", "kit", "--paper", "a4", "--format", "json"]).expect_code(0);
    assert!(outcome.json()["package"].as_str().unwrap().ends_with("first-kit-0.1.0-only-a4.zip"));
    let files = outcome.json()["files"].to_string();
    assert!(files.contains("home-a4.pdf") && !files.contains("letter"), "{files}");
}

#[test]
fn papers_and_languages_that_the_manifest_does_not_name_are_refused() {
    for wish in [["--paper", "a0"], ["--language", "de"]] {
        let scene = Scene::first_kit();
        let outcome = scene.run(&["build", "kit", wish[0], wish[1], "--format", "json"]).expect_code(2);
        assert_eq!(outcome.findings()[0].code, "argument-bad");
        assert!(!scene.path("kit/out").exists());
    }
}

#[test]
fn a_kit_of_one_sheet_keeps_its_promises() {
    let manifest = "name: small\ntitle: Small\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\n\
                    drawing: {file: d.svg}\npapers: [a4]\n";
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\"0.3\" d=\"M10 10H90V90H10Z\"/></svg>";
    let scene = Scene::new().file("kit/kit.yaml", manifest).file("kit/d.svg", drawing);
    scene.run(&["build", "kit"]).expect_code(0);
    // Its guide shows no map: there is nothing to join.
    scene.run(&["verify", "kit/out/small-1.0.0.zip"]).expect_code(0);
}
