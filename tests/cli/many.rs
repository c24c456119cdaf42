//! `build` with several kits: all that can be built are, in the order given, and what cannot is told under its name.

use crate::scene::{Outcome, Scene};
use serde_json::json;

/// Small kits, each in a folder and with a name of its own.
fn kits(names: &[&str]) -> Scene {
    names.iter().fold(Scene::new(), |scene, name| {
        scene.run(&["new", name]).expect_code(0);
        scene.change(&format!("{name}/kit.yaml"), "name: first-kit ", &format!("name: {name} "));
        scene
    })
}

fn broken(scene: &Scene, kit: &str) {
    scene.change(&format!("{kit}/kit.yaml"), "border: 3 mm", "border: 3");
}

fn lines(text: &str) -> Vec<&str> {
    text.lines().collect()
}

fn packages(scene: &Scene) -> Vec<String> {
    scene.names().into_iter().filter(|name| name.ends_with(".zip")).collect()
}

#[test]
fn a_broken_kit_does_not_stop_the_others() {
    let scene = kits(&["one", "two", "three"]);
    broken(&scene, "two");
    let Outcome { stdout, stderr, .. } = scene.run(&["build", "three", "two", "one"]).expect_code(1);
    assert_eq!(lines(&stdout), ["three/out/three-0.1.0.zip", "one/out/one-0.1.0.zip"]);
    let told = lines(&stderr);
    assert_eq!(told[0], "two:");
    assert!(told[1].starts_with("error[length-unit]"), "{stderr}");
    assert_eq!(told[told.len() - 2..], ["2 of 3 kits built, 0 with warnings", "1 failed: two"]);
    assert_eq!(packages(&scene), ["one/out/one-0.1.0.zip", "three/out/three-0.1.0.zip"]);
}

#[test]
fn a_package_is_the_same_alone_and_among_others_on_any_number_of_cores() {
    let scene = kits(&["one", "two", "three", "four", "five"]);
    broken(&scene, "four");
    let args = ["build", "one", "two", "three", "four", "five", "--out"];
    let run = |out: &str, cores: &str| scene.run_with(&[&args[..], &[out]].concat(), &[("RAYON_NUM_THREADS", cores)]);
    let (first, second) = (run("on-one", "1").expect_code(1), run("on-two", "4").expect_code(1));
    assert_eq!(first.stdout.replace("on-one", "on-two"), second.stdout);
    assert_eq!(first.stderr, second.stderr);
    scene.run(&["build", "three", "--out", "alone"]).expect_code(0);
    assert!(scene.bytes("alone/three-0.1.0.zip") == scene.bytes("on-one/three-0.1.0.zip"));
    for name in ["one", "two", "three", "five"].map(|name| format!("{name}-0.1.0.zip")) {
        assert!(scene.bytes(&format!("on-one/{name}")) == scene.bytes(&format!("on-two/{name}")), "{name}");
    }
}

#[test]
fn the_gravest_kit_gives_the_exit_code() {
    let scene = kits(&["one", "two", "three"]).file("three/out", "a file");
    broken(&scene, "two");
    scene.run(&["build", "one", "two"]).expect_code(1);
    let missing = scene.run(&["build", "one", "two", "nowhere"]).expect_code(2);
    assert!(missing.stderr.contains("nowhere:\nerror[manifest-missing]"), "{}", missing.stderr);
    let unwritten = scene.run(&["build", "one", "two", "nowhere", "three"]).expect_code(3);
    assert!(unwritten.stderr.ends_with("1 of 4 kits built, 0 with warnings\n3 failed: two, nowhere, three\n"));
}

#[test]
fn warnings_stop_their_own_kit_only_if_asked_to() {
    let scene = kits(&["one", "two"]);
    scene.change("two/kit.yaml", "papers: [a4, letter, a1]", "papers: [{paper: ribbon, title: Ribbon, width: 150 mm}]");
    let denied = scene.run(&["build", "one", "two", "--deny-warnings"]).expect_code(1);
    assert_eq!(denied.stdout, "one/out/one-0.1.0.zip\n");
    let built = scene.run(&["build", "one", "two"]).expect_code(0);
    assert!(built.stderr.contains("two:\nwarning[wide-in-parts]"), "{}", built.stderr);
    assert!(built.stderr.ends_with("2 of 2 kits built, 1 with warnings\n"), "{}", built.stderr);
}

#[test]
fn wishes_hold_for_every_kit() {
    let scene = kits(&["one", "two"]);
    scene.change("two/kit.yaml", "papers: [a4, letter, a1]", "papers: [letter, a1]");
    let outcome = scene.run(&["build", "one", "two", "--paper", "a4"]).expect_code(2);
    assert_eq!(outcome.stdout, "one/out/one-0.1.0-only-a4.zip\n");
    assert!(outcome.stderr.contains("two:\nerror[argument-bad]"), "{}", outcome.stderr);
}

#[test]
fn results_for_programs_tell_of_each_kit() {
    let scene = kits(&["one", "two"]).file("notes.txt", "mine");
    broken(&scene, "one");
    let outcome = scene.run(&["build", "one", "notes.txt", "two", "--format", "json"]).expect_code(1);
    assert_eq!(outcome.stderr, "");
    let record = outcome.json();
    assert_eq!((&record["version"], &record["findings"]), (&json!(1), &json!([])));
    assert_eq!(record["passed_over"], json!(["notes.txt"]));
    let [one, two] = record["builds"].as_array().unwrap().as_slice() else { panic!("{record}") };
    assert_eq!((&one["kit"], &one["package"], &one["files"]), (&json!("one"), &json!(null), &json!([])));
    assert_eq!(one["findings"][0]["code"], json!("length-unit"));
    assert_eq!((&two["package"], &two["findings"]), (&json!("two/out/two-0.1.0.zip"), &json!([])));
    assert_eq!(two["bytes"].as_u64(), Some(scene.bytes("two/out/two-0.1.0.zip").len() as u64));
    assert!(two["files"].to_string().contains("two-0.1.0-home-a4.pdf"), "{two}");
}

#[test]
fn kits_that_would_write_one_package_are_refused_before_anything_is_built() {
    let scene = kits(&["one", "two"]);
    scene.run(&["new", "kits/one"]).expect_code(0);
    scene.change("kits/one/kit.yaml", "name: first-kit ", "name: one ");
    let before = scene.files();
    let twice = scene.run(&["build", "one", "two", "./one/kit.yaml"]).expect_code(2);
    assert!(twice.stderr.starts_with("error[package-twice]: `one` and `./one/kit.yaml` would both write"), "{}", twice.stderr);
    let args = ["build", "one", "two", "kits/one", "--out", "made"];
    let one_folder = scene.run(&[&args[..], &["--format", "json"]].concat()).expect_code(2);
    assert_eq!(one_folder.findings()[0].code, "package-twice");
    let since = scene.run(&["build", "one", "two", "--since", "old.zip"]).expect_code(2);
    assert!(since.stderr.contains("[argument-bad]"), "{}", since.stderr);
    assert!(scene.files() == before);
    // Each in the folder of its own kit they are no trouble to each other.
    scene.run(&["build", "one", "two", "kits/one"]).expect_code(0);
}

#[test]
fn what_is_no_kit_is_passed_over_and_named() {
    let scene = kits(&["a", "b"])
        .file("brand.yaml", "publisher: Example\n")
        .file("draft/main.rs", "fn main() {}\n")
        .file("logo.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>\n")
        .file("notes.md", "# Notes\n\n- name: none\n")
        .file("testers.yaml", "testers: [{id: \"07\"}]\n");
    scene.change("a/kit.yaml", "publisher: Your name here", "shared: ../brand.yaml");
    let all = ["a", "b", "brand.yaml", "draft", "logo.svg", "notes.md", "testers.yaml"];
    let outcome = scene.run(&[&["build"], &all[..]].concat()).expect_code(0);
    assert_eq!(lines(&outcome.stdout).len(), 2);
    let told = "no kits, passed over: brand.yaml, draft, logo.svg, notes.md, testers.yaml";
    assert_eq!(lines(&outcome.stderr), [told, "2 of 2 kits built, 0 with warnings"]);
    // Nor are they passed over if they alone are given.
    let none = scene.run(&["build", "brand.yaml", "draft"]).expect_code(2);
    assert!(none.stderr.contains("error[manifest-missing]: none of the arguments"), "{}", none.stderr);
    scene.run(&["build", "draft"]).expect_code(2);
    scene.run(&["build", "brand.yaml"]).expect_code(1);
}

#[test]
fn a_kit_with_faults_is_not_passed_over() {
    let scene = kits(&["a", "b", "c"]);
    scene.write("a/kit.yaml", "name: [");
    std::fs::rename(scene.path("b/kit.yaml"), scene.path("b/pattern.txt")).unwrap();
    std::fs::write(scene.path("c/kit.yaml"), b"\xff\xfe").unwrap();
    let outcome = scene.run(&["build", "a", "b/pattern.txt", "c", "c/kit.yaml", "gone.yaml"]).expect_code(2);
    assert_eq!(outcome.stdout, "b/out/b-0.1.0.zip\n", "a manifest may have any name");
    assert!(outcome.stderr.ends_with("4 failed: a, c, c/kit.yaml, gone.yaml\n"), "{}", outcome.stderr);
}
