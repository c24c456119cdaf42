//! Results for programs: versioned, complete, and alone on standard output.

use crate::scene::Scene;
use serde_json::json;

#[test]
fn every_result_has_a_version() {
    let scene = Scene::first_kit();
    for args in [&["check", "kit"][..], &["plan", "kit"], &["build", "kit"], &["verify", "kit/out/first-kit-0.1.0.zip"]] {
        let outcome = scene.run(&[args, &["--format", "json"]].concat()).expect_code(0);
        assert_eq!(outcome.json()["version"], json!(1), "{args:?}");
        assert_eq!(outcome.json()["findings"], json!([]), "{args:?}");
        assert_eq!(outcome.stderr, "", "{args:?}");
    }
}

#[test]
fn a_finding_says_where_and_what_to_do() {
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "border: 3 mm", "border: 3");
    let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(1);
    let finding = &outcome.json()["findings"][0];
    let line =
        scene.bytes("kit/kit.yaml").split(|byte| *byte == b'\n').position(|line| line.starts_with(b"border:")).unwrap() + 1;
    assert_eq!((finding["code"].as_str(), finding["severity"].as_str()), (Some("length-unit"), Some("error")));
    assert_eq!((finding["file"].as_str(), finding["line"].as_u64()), (Some("kit.yaml"), Some(line as u64)));
    assert_eq!(finding["column"].as_u64(), Some(9), "the column of the value");
    assert!(finding["hints"].to_string().contains("mm"), "{finding}");
}

#[test]
fn a_refused_build_is_a_record_too() {
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "never-printed:", "never-pinted:");
    let outcome = scene.run(&["build", "kit", "--format", "json"]).expect_code(1);
    assert_eq!(outcome.json()["version"], json!(1));
    assert!(outcome.findings().iter().any(|finding| finding.code == "key-unknown"));
}

#[test]
fn what_cannot_be_read_or_written_is_a_record_too() {
    let scene = Scene::first_kit().file("taken", "a file");
    for args in [&["verify", "nowhere.zip"][..], &["check", "nowhere"], &["build", "kit", "--out", "taken"], &["new", "kit"]] {
        let outcome = scene.run(&[args, &["--format", "json"]].concat());
        assert!([2, 3].contains(&outcome.code), "{args:?} ended with {}", outcome.code);
        assert_eq!(outcome.json()["version"], json!(1), "{args:?}");
        assert_eq!(outcome.findings().len(), 1, "{args:?}");
    }
}

#[test]
fn the_plan_counts_what_the_build_prints() {
    let scene = Scene::first_kit();
    let plan = scene.run(&["plan", "kit", "--format", "json"]).expect_code(0).json();
    let layouts = plan["layouts"].as_array().unwrap();
    assert_eq!(layouts.iter().map(|layout| layout["paper"].as_str().unwrap()).collect::<Vec<_>>(), ["a4", "letter", "a1"]);
    for layout in layouts {
        assert!(!layout["sheets"].as_array().unwrap().is_empty());
        assert_eq!(layout["sizes"].as_array().unwrap().len(), 2, "small and large");
    }
    // ISO 216: A4 is 210 mm by 297 mm, upright or turned.
    let mut sides = ["sheet_width_mm", "sheet_height_mm"].map(|key| layouts[0][key].as_f64().unwrap());
    sides.sort_by(f64::total_cmp);
    assert_eq!(sides, [210.0, 297.0]);
}
