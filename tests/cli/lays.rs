//! `lays`: tables, pictures, kept lays, and what a package tells of cloth.

use crate::scene::Scene;
use crate::sheet::unpacked;

/// The tote, which has few pieces.
fn tote() -> Scene {
    Scene::new().kit("kit", "kits/ropewalk-tote")
}

#[test]
fn the_table_tells_lengths_and_what_no_lay_goes_below() {
    let scene = tote();
    let told = scene.run(&["lays", "kit"]).expect_code(0).stdout;
    let line = told.lines().find(|line| line.contains("140 cm")).unwrap_or_else(|| panic!("{told}"));
    // The handle is 590 mm long once it is unfolded, and nothing is longer.
    assert!(line.contains("590 mm") && line.contains("0.6 m"), "{line}");
    assert_eq!(told, scene.run(&["lays", "kit"]).stdout);
}

#[test]
fn pictures_and_kept_lays_are_written_where_they_belong() {
    let scene = tote();
    // Its own were perhaps found by an older program.
    std::fs::remove_file(scene.path("kit/lays.json")).unwrap();
    scene.run(&["lays", "kit", "--out", "pictures", "--keep"]).expect_code(0);
    let picture = String::from_utf8(scene.bytes("pictures/ropewalk-tote-1.0.0-lay-1-no-1-140.svg")).unwrap();
    assert!(picture.contains("1 Body") && picture.contains("2 Handle"));
    scene.write("pictures/ropewalk-tote-1.0.0-lay-1-no-1-140.svg", "mine");
    let told = scene.run(&["lays", "kit", "--out", "pictures"]).expect_code(3);
    assert!(told.stderr.contains("cannot-write"), "{}", told.stderr);
    assert_eq!(scene.bytes("pictures/ropewalk-tote-1.0.0-lay-1-no-1-140.svg"), b"mine");
    // What is kept gives the same package as what is searched for.
    scene.run(&["build", "kit", "--paper", "a4", "--out", "one"]).expect_code(0);
    let kept = scene.bytes("kit/lays.json");
    std::fs::remove_file(scene.path("kit/lays.json")).unwrap();
    scene.run(&["build", "kit", "--paper", "a4", "--out", "two"]).expect_code(0);
    let name = "ropewalk-tote-1.0.0-only-a4.zip";
    let (one, two) = (scene.bytes(&format!("one/{name}")), scene.bytes(&format!("two/{name}")));
    assert!(one == two, "packages differ");
    assert!(unpacked(&one, "lays.json") == kept, "kept lays differ");
    let guide = String::from_utf8(unpacked(&one, "ropewalk-tote-1.0.0-guide-de.html")).unwrap();
    assert!(guide.contains("Zuschneidepläne") && guide.contains("id=\"lay-1-1-2-title\""));
}

#[test]
fn the_record_tells_pieces_places_and_paper() {
    let record = tote().run(&["lays", "kit", "--format", "json"]).expect_code(0).json();
    let size = &record["cloths"][0]["sizes"][0];
    // Twice the body and four times the handle.
    assert_eq!(size["widths"][1]["lay"]["places"].as_array().unwrap().len(), 6);
    assert_eq!(size["pieces"][1]["cut"], 4);
    assert!(record["papers"][0]["sizes"][0]["sheet_count"].as_u64().unwrap() > 0);
}

#[test]
fn a_kit_without_cloths_and_a_broken_keep_are_told() {
    let scene = Scene::first_kit();
    let told = scene.run(&["lays", "kit"]).expect_code(1);
    assert!(told.stderr.contains("error[cloths-missing]"), "{}", told.stderr);
    let scene = tote();
    scene.write("kit/lays.json", "{\"version\": 1");
    let told = scene.run(&["build", "kit"]).expect_code(1);
    assert!(told.stderr.contains("error[lays-unreadable]") && told.stderr.contains("at: lays.json"), "{}", told.stderr);
}
