//! Exit codes: 0 fine, 1 findings, 2 arguments or kit unreadable, 3 output cannot be written (4, a bug, must not happen).

use crate::scene::Scene;

#[test]
fn arguments_that_cannot_be_read_give_2() {
    let scene = Scene::new();
    for args in [&["bake", "kit"][..], &["check"], &["check", "kit", "--colour"], &["build", "kit", "--paper"], &[]] {
        let outcome = scene.run(args).expect_code(2);
        assert_eq!(outcome.stdout, "", "{args:?}");
        assert!(!outcome.stderr.is_empty(), "{args:?}");
    }
}

#[test]
fn what_is_not_there_gives_2() {
    let scene = Scene::new();
    for command in ["check", "plan", "build", "verify"] {
        let outcome = scene.run(&[command, "nowhere"]).expect_code(2);
        assert!(outcome.stderr.contains("nowhere"), "{command} does not say what is missing: {}", outcome.stderr);
    }
}

#[test]
fn a_kit_with_findings_gives_1_from_every_command() {
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "border: 3 mm", "border: 3");
    for command in ["check", "plan", "build"] {
        let outcome = scene.run(&[command, "kit"]).expect_code(1);
        assert!(outcome.stderr.contains("length-unit") && outcome.stderr.contains("kit.yaml:"), "{}", outcome.stderr);
    }
}

#[test]
fn warnings_stop_the_work_only_if_asked_to() {
    // A roll so narrow that the drawing comes in parts is a remark, not an error.
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "papers: [a4, letter, a1]", "papers: [{paper: ribbon, title: Ribbon, width: 150 mm}]");
    let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(0);
    assert!(!outcome.findings().is_empty(), "this kit was to have a warning");
    scene.run(&["check", "kit", "--deny-warnings"]).expect_code(1);
    scene.run(&["build", "kit", "--deny-warnings", "--out", "made"]).expect_code(1);
    assert!(!scene.path("made").exists());
}

#[test]
fn a_package_that_breaks_its_promise_gives_1() {
    let scene = Scene::first_kit();
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    let mut bytes = scene.bytes("made/first-kit-0.1.0.zip");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0xff;
    std::fs::write(scene.path("broken.zip"), bytes).unwrap();
    scene.run(&["verify", "broken.zip"]).expect_code(1);
}

#[test]
fn a_package_that_is_none_is_no_bug() {
    for bytes in [&b""[..], b"PK", b"hello", &[0xff; 5000]] {
        let scene = Scene::new();
        std::fs::write(scene.path("thing.zip"), bytes).unwrap();
        let outcome = scene.run(&["verify", "thing.zip"]);
        assert!([1, 2].contains(&outcome.code), "{}: {}", outcome.code, outcome.stderr);
    }
}
