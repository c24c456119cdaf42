//! `review` and `compare`: what testers get, and what a correction changes.

use crate::scene::Scene;

const ROSTER: &str = "testers:\n  - {id: \"07\", paper: a4}\n  - {id: anna, paper: letter, language: fr}\n";

/// The tote with a roster.
fn scene() -> Scene {
    Scene::new().kit("kit", "kits/ropewalk-tote").file("kit/testers.yaml", ROSTER)
}

/// A correction in one corner of the pocket.
fn correct(scene: &Scene) {
    scene.change("kit/tote.svg", "C-68.041,215 -79.084,210.141", "C-72.5,217 -79.084,210.141");
    scene.change("kit/kit.yaml", "852.25 mm", "853.02 mm");
    scene.change("kit/kit.yaml", "edition: 1.0.0", "edition: 1.0.1");
}

/// Text of a file in a zip.
fn unpacked(scene: &Scene, zip: &str, name: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(scene.bytes(zip))).unwrap();
    std::io::read_to_string(archive.by_name(name).unwrap()).unwrap()
}

#[test]
fn every_tester_gets_their_own_copy_and_it_keeps_its_promises() {
    let scene = scene();
    let outcome = scene.run(&["review", "kit", "--round", "1", "--out", "sent"]).expect_code(0);
    let zips = ["sent/ropewalk-tote-1.0.0-review-1-07.zip", "sent/ropewalk-tote-1.0.0-review-1-anna.zip"];
    assert_eq!(outcome.stdout, zips.map(|zip| format!("{zip}\n")).concat());
    for zip in zips {
        let verdict = scene.run(&["verify", zip, "--format", "json"]).expect_code(0).json();
        assert_eq!(verdict["findings"].as_array().unwrap().len(), 0, "{zip}");
    }
    let guide = unpacked(&scene, zips[0], "ropewalk-tote-1.0.0-guide-en.html");
    assert!(guide.contains("Review copy · round 1 · tester 07") && guide.contains("Please do not pass it on."));
    assert!(!guide.contains("print anew"), "there is no earlier round");
    let read_me = unpacked(&scene, zips[1], "README-fr.txt");
    assert!(read_me.contains("tour 1") && read_me.contains("anna") && !read_me.contains("home-a4"), "{read_me}");
    assert!(unpacked(&scene, zips[1], "ropewalk-tote-1.0.0-feedback.html").contains("lang=\"fr\""));
    let before = zips.map(|zip| scene.bytes(zip));
    scene.run(&["review", "kit", "--round", "1", "--out", "sent"]).expect_code(0);
    assert!(before == zips.map(|zip| scene.bytes(zip)), "the same kit gives the same bytes");
}

#[test]
fn a_copy_holds_only_the_sizes_of_its_tester() {
    let roster = "testers:\n  - {id: \"07\", sizes: [\"34\"]}\n";
    let scene = Scene::new().kit("kit", "kits/tansy-apron").file("kit/testers.yaml", roster);
    scene.run(&["review", "kit", "--round", "3", "--out", "sent"]).expect_code(0);
    let zip = "sent/tansy-apron-1.0.0-review-3-07.zip";
    let promises: serde_json::Value = serde_json::from_str(&unpacked(&scene, zip, "promises.json")).unwrap();
    let whole = scene.run(&["plan", "kit", "--paper", "a4", "--sizes", "34", "--format", "json"]).json();
    let sheets = promises["papers"][0]["sheets"].as_array().unwrap();
    assert_eq!(sheets.len() as u64, whole["layouts"][0]["answer"]["sheet_count"].as_u64().unwrap());
    assert_eq!(promises["sizes"], serde_json::json!(["34"]));
    // The grid is that of the whole kit: every sheet lies where the one of its label lies there.
    assert_eq!(promises["papers"][0]["origin_mm"][0], whole["layouts"][0]["origin_x_mm"]);
    let control = |name: &str| promises["controls"].as_array().unwrap().iter().any(|it| it["name"] == name);
    assert!(control("body, size 34, as cut") && !control("body, size 40, as cut"));
    let guide = unpacked(&scene, zip, "tansy-apron-1.0.0-guide-en.html");
    let bust = |cm: &str| guide.contains(&format!("<td>{cm}\u{a0}cm"));
    assert!(bust("80") && !bust("110"), "the bust of size 48 is nothing to this tester");
}

#[test]
fn a_second_round_begins_with_the_sheets_to_print_anew() {
    let scene = scene();
    scene.run(&["review", "kit", "--round", "1", "--out", "sent"]).expect_code(0);
    correct(&scene);
    let told = scene.run(&["review", "kit", "--round", "2", "--out", "sent", "--format", "json"]).expect_code(0).json();
    for bundle in told["bundles"].as_array().unwrap() {
        assert_eq!((&bundle["since"], &bundle["reprint"]), (&1.into(), &serde_json::json!(["B2"])), "{bundle}");
    }
    let zip = "sent/ropewalk-tote-1.0.1-review-2-07.zip";
    let read_me = unpacked(&scene, zip, "README.txt");
    assert!(
        read_me.split_whitespace().collect::<Vec<_>>().join(" ").contains("anew since round 1: B2 (in the print dialog 6, of"),
        "{read_me}"
    );
    scene.run(&["verify", zip]).expect_code(0);
    // One tester alone; a round without an earlier one has nothing to compare with.
    let one = scene.run(&["review", "kit", "--round", "2", "--tester", "anna", "--out", "other", "--format", "json"]).json();
    assert_eq!((one["bundles"].as_array().unwrap().len(), &one["bundles"][0]["since"]), (1, &serde_json::Value::Null));
}

#[test]
fn bad_rosters_and_strangers_stop_a_round() {
    let scene = scene();
    let refused = |args: &[&str], code: u8, says: &str| {
        let outcome = scene.run(&[&["review", "kit", "--round", "1", "--out", "sent"], args].concat()).expect_code(code.into());
        assert!(outcome.stderr.contains(says), "{}", outcome.stderr);
        assert!(!scene.path("sent/ropewalk-tote-1.0.0-review-1-07.zip").exists());
    };
    refused(&["--roster", "nowhere.yaml"], 1, "error[roster-unreadable]");
    refused(&["--tester", "08"], 2, "error[argument-bad]");
    std::fs::create_dir_all(scene.path("sent")).unwrap();
    std::fs::write(scene.path("sent/ropewalk-tote-1.0.0-review-1-anna.zip"), "mine").unwrap();
    refused(&[], 3, "error[cannot-write]");
    scene.change("kit/testers.yaml", "paper: a4", "paper: a6");
    refused(&[], 1, "error[tester-choice]");
}

#[test]
fn a_correction_in_one_corner_changes_only_its_own_sheet() {
    let scene = scene();
    scene.run(&["build", "kit", "--out", "old"]).expect_code(0);
    let same = scene.run(&["compare", "old/ropewalk-tote-1.0.0.zip", "kit"]).expect_code(0);
    assert!(same.stdout.contains("nothing differs but the edition"), "{}", same.stdout);
    correct(&scene);
    let text = scene.run(&["compare", "old/ropewalk-tote-1.0.0.zip", "kit", "--report", "changes.html"]).expect_code(0).stdout;
    assert!(text.contains("A4: reprint sheet B2\n") && text.contains("US Letter: reprint sheet B2\n"), "{text}");
    assert!(text.contains("pocket, once round, as cut, 853.02 mm instead of 852.25 mm"), "{text}");
    let page = String::from_utf8(scene.bytes("changes.html")).unwrap();
    assert!(page.contains("Sheet B2: before") && page.contains("Sheet B2: one over the other") && !page.contains("Sheet A2"));
    let told = scene.run(&["compare", "old/ropewalk-tote-1.0.0.zip", "kit", "--format", "json"]).expect_code(0).json();
    let sheets = told["papers"][0]["sheets"].as_array().unwrap();
    let inked: Vec<&str> = sheets.iter().filter(|it| it["ink"] == true).map(|it| it["label"].as_str().unwrap()).collect();
    assert_eq!((inked, told["same"].as_bool()), (vec!["B2"], Some(false)));
    // A report is never written over another file.
    scene.run(&["compare", "old/ropewalk-tote-1.0.0.zip", "kit", "--report", "changes.html"]).expect_code(3);
    let missing = scene.run(&["compare", "nowhere.zip", "kit"]).expect_code(2);
    assert!(missing.stderr.contains("error[package-missing]"), "{}", missing.stderr);
}

#[test]
fn an_edition_tells_buyers_of_the_last_one_what_to_print_anew() {
    let scene = scene();
    scene.run(&["build", "kit", "--out", "old"]).expect_code(0);
    correct(&scene);
    scene.run(&["build", "kit", "--since", "old/ropewalk-tote-1.0.0.zip", "--out", "new"]).expect_code(0);
    let zip = "new/ropewalk-tote-1.0.1.zip";
    let verdict = scene.run(&["verify", zip, "--format", "json"]).expect_code(0).json();
    assert_eq!(verdict["findings"].as_array().unwrap().len(), 0, "{verdict}");
    for (language, says) in [("en", "print anew B2"), ("de", "Drucke B2 neu")] {
        let guide = unpacked(&scene, zip, &format!("ropewalk-tote-1.0.1-guide-{language}.html"));
        let changes = guide.split("id=\"changes\"").nth(1).unwrap().split("</section>").next().unwrap().to_owned();
        assert!(changes.contains(says) && changes.contains("corrections-a4"), "{changes}");
    }
    let promises: serde_json::Value = serde_json::from_str(&unpacked(&scene, zip, "promises.json")).unwrap();
    let alone = promises["papers"].as_array().unwrap().iter().find(|it| it["file"] == "ropewalk-tote-1.0.1-corrections-a4.pdf");
    let labels: Vec<&str> =
        alone.unwrap()["sheets"].as_array().unwrap().iter().map(|it| it["label"].as_str().unwrap()).collect();
    assert_eq!(labels, ["B2"]);
    // Nothing corrected: nothing alone, and the guide says that all sheets hold.
    scene.run(&["build", "kit", "--since", zip, "--out", "same"]).expect_code(0);
    let guide = unpacked(&scene, "same/ropewalk-tote-1.0.1.zip", "ropewalk-tote-1.0.1-guide-en.html");
    assert!(guide.contains("all sheets still hold") && !guide.contains("corrections-a4"));
    scene.run(&["build", "kit", "--since", "nowhere.zip", "--out", "none"]).expect_code(2);
    assert!(!scene.path("none").exists());
}
