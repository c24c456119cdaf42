//! The way of a newcomer: `new`, then `check`, `plan`, `build` and `verify`, all with nothing changed.

use crate::scene::Scene;
use std::collections::BTreeSet;

const PACKAGE: &str = "kit/out/first-kit-0.1.0.zip";

#[test]
fn the_first_kit_goes_all_the_way() {
    let scene = Scene::first_kit();
    scene.run(&["check", "kit", "--deny-warnings"]).expect_code(0);
    let plan = scene.run(&["plan", "kit"]).expect_code(0);
    assert!(plan.stdout.contains("A4"), "{}", plan.stdout);
    let build = scene.run(&["build", "kit"]).expect_code(0);
    assert_eq!(build.stdout.trim(), PACKAGE, "the package's path is the only data");
    scene.run(&["verify", PACKAGE]).expect_code(0);
}

#[test]
fn a_manifest_is_as_good_as_its_folder() {
    let scene = Scene::first_kit();
    scene.run(&["build", "kit/kit.yaml"]).expect_code(0);
    assert!(scene.path(PACKAGE).exists());
}

#[test]
fn new_never_writes_over_anything() {
    let scene = Scene::new().file("kit/mine.txt", "mine");
    let outcome = scene.run(&["new", "kit"]).expect_code(3);
    assert!(outcome.stderr.contains("cannot-write"), "{}", outcome.stderr);
    assert_eq!(scene.files(), [("kit/mine.txt".to_owned(), b"mine".to_vec())]);
}

#[test]
fn new_takes_an_empty_folder_but_no_file() {
    let scene = Scene::new().file("taken", "a file");
    std::fs::create_dir(scene.path("empty")).unwrap();
    scene.run(&["new", "empty"]).expect_code(0);
    scene.run(&["new", "taken"]).expect_code(3);
    assert_eq!(scene.bytes("taken"), b"a file");
}

#[test]
fn a_build_leaves_nothing_but_the_package() {
    let scene = Scene::first_kit();
    let before: BTreeSet<String> = scene.names().into_iter().collect();
    scene.run(&["build", "kit"]).expect_code(0);
    let after: BTreeSet<String> = scene.names().into_iter().collect();
    assert_eq!(after.difference(&before).collect::<Vec<_>>(), [PACKAGE]);
}
