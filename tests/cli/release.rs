//! `release`: an edition goes out when all is ready, is recorded, and the next one builds on it.

use crate::scene::Scene;

/// The tote, ready for its first edition; its languages are finished.
fn scene() -> Scene {
    Scene::new().kit("kit", "kits/ropewalk-tote")
}

/// A correction with all that belongs to it.
fn correct(scene: &Scene) {
    scene.change("kit/tote.svg", "C-68.041,215 -79.084,210.141", "C-72.5,217 -79.084,210.141");
    scene.change("kit/kit.yaml", "852.25 mm", "853.02 mm");
    scene.change("kit/kit.yaml", "edition: 1.0.0", "edition: 1.1.0");
    scene.change("kit/kit.yaml", "Edition 1.0.0 is the first.", "The corner of the pocket is rounder.");
    // The translators have told it, too.
    for language in ["fr", "de", "pl"] {
        let file = format!("kit/languages/{language}.po");
        scene.change(&file, "msgid \"Edition 1.0.0 is the first.\"", "msgid \"The corner of the pocket is rounder.\"");
    }
}

fn text(scene: &Scene, path: &str) -> String {
    String::from_utf8(scene.bytes(path)).unwrap()
}

#[test]
fn editions_are_recorded_and_build_on_each_other() {
    let scene = scene();
    let dry = scene.run(&["release", "kit", "--edition", "1.0.0", "--dry-run"]).expect_code(0);
    assert_eq!(dry.stdout, "kit/out/ropewalk-tote-1.0.0.zip\nkit/editions.yaml\n");
    assert!(!scene.path("kit/out").exists() && !scene.path("kit/editions.yaml").exists());
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    let first = text(&scene, "kit/editions.yaml");
    assert!(first.contains("package: \"out/ropewalk-tote-1.0.0.zip\"") && first.contains("date: \"2026-11-20\""), "{first}");
    // The sum is that of another program.
    let sum = std::process::Command::new("sha256sum").arg(scene.path("kit/out/ropewalk-tote-1.0.0.zip")).output();
    match sum {
        Ok(sum) => assert!(first.contains(String::from_utf8(sum.stdout).unwrap().split(' ').next().unwrap())),
        Err(_) => eprintln!("NOT CHECKED: there is no sha256sum here"),
    }
    let again = scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    assert!(again.stderr.contains("out already, just as it is") && again.stdout.is_empty(), "{}", again.stderr);
    correct(&scene);
    std::fs::write(scene.path("kit/editions.yaml"), format!("# mine\n{first}")).unwrap();
    let told = scene.run(&["release", "kit", "--edition", "1.1.0", "--format", "json"]).expect_code(0).json();
    let delta = "kit/out/ropewalk-tote-1.1.0-from-1.0.0.zip";
    assert_eq!(
        told["files"],
        serde_json::json!(["kit/out/ropewalk-tote-1.1.0.zip", delta, "kit/lays.json", "kit/editions.yaml"])
    );
    let second = text(&scene, "kit/editions.yaml");
    assert!(second.starts_with(&format!("# mine\n{first}")) && second.contains("edition: \"1.1.0\""), "{second}");
    for package in ["kit/out/ropewalk-tote-1.1.0.zip", delta] {
        scene.run(&["verify", package]).expect_code(0);
    }
    // The delta holds what is corrected, the guide, and the wide sheets whose drawing has changed.
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(scene.bytes(delta))).unwrap();
    let names: Vec<String> = zip.file_names().map(|name| name.unwrap().into_owned()).collect();
    let has = |part: &str| names.iter().any(|name| name.contains(part));
    assert!(has("corrections-a4.pdf") && has("guide-en.html") && has("wide-a0.pdf") && !has("home-a4"), "{names:?}");
    let read_me = std::io::read_to_string(zip.by_name("README.txt").unwrap()).unwrap();
    assert!(
        read_me.contains("edition 1.0.0") && scene.bytes(delta).len() < scene.bytes("kit/out/ropewalk-tote-1.1.0.zip").len()
    );
    // Released again, it is the same; changed behind its back, it is not.
    scene.run(&["release", "kit", "--edition", "1.1.0"]).expect_code(0);
    scene.change("kit/kit.yaml", "shared: ", "mark-colour: \"#202020\"\nshared: ");
    let other = scene.run(&["release", "kit", "--edition", "1.1.0"]).expect_code(1);
    assert!(other.stderr.contains("error[edition-released]"), "{}", other.stderr);
    assert_eq!(text(&scene, "kit/editions.yaml"), second);
}

#[test]
fn what_is_not_ready_is_told_all_at_once_and_nothing_is_written() {
    let scene = scene();
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    std::fs::remove_file(scene.path("kit/out/ropewalk-tote-1.0.0.zip")).unwrap();
    scene.change("kit/kit.yaml", "date: 2026-11-20", "date: 2026-11-01");
    scene.change("kit/kit.yaml", "edition: 1.0.0", "edition: 1.2.0");
    scene.change("kit/languages/fr.po", "msgctxt \"kit.title\"", "msgctxt \"kit.nothing\"");
    let told = scene.run(&["release", "kit", "--edition", "1.1.0"]).expect_code(1);
    for code in ["edition-other", "edition-order", "edition-changes", "edition-package", "edition-untranslated"] {
        assert!(told.stderr.contains(&format!("error[{code}]")), "{code}: {}", told.stderr);
    }
    assert!(!scene.path("kit/out/ropewalk-tote-1.2.0.zip").exists());
    let record = text(&scene, "kit/editions.yaml");
    std::fs::write(scene.path("kit/editions.yaml"), record.replace("1.0.0\"", "first\"")).unwrap();
    let told = scene.run(&["release", "kit", "--edition", "1.2.0"]).expect_code(1);
    assert!(told.stderr.contains("error[editions-value]") && told.stderr.contains("editions.yaml:"), "{}", told.stderr);
    scene.run(&["release", "kit", "--edition", "soon"]).expect_code(2);
}

#[test]
fn a_record_that_cannot_be_added_to_and_strangers_are_left_alone() {
    let scene = scene().file("kit/out/ropewalk-tote-1.0.0.zip", "mine");
    let told = scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(3);
    assert!(told.stderr.contains("error[cannot-write]") && !scene.path("kit/editions.yaml").exists(), "{}", told.stderr);
    std::fs::remove_file(scene.path("kit/out/ropewalk-tote-1.0.0.zip")).unwrap();
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    let record = text(&scene, "kit/editions.yaml");
    let value = |key: &str| record.split(&format!("{key}: \"")).nth(1).unwrap().split('"').next().unwrap().to_owned();
    let flow = ["edition", "date", "package", "sha256", "changes"].map(|key| format!("{key}: \"{}\"", value(key))).join(", ");
    let flow = format!("editions: [{{{flow}}}]\n");
    std::fs::write(scene.path("kit/editions.yaml"), &flow).unwrap();
    correct(&scene);
    let told = scene.run(&["release", "kit", "--edition", "1.1.0"]).expect_code(1);
    assert!(told.stderr.contains("error[editions-form]"), "{}", told.stderr);
    assert!(text(&scene, "kit/editions.yaml") == flow && !scene.path("kit/out/ropewalk-tote-1.1.0.zip").exists());
}

#[test]
fn what_is_out_is_never_replaced_and_can_be_put_back() {
    let scene = scene();
    let alone = scene.run(&["compare", "kit"]).expect_code(1);
    assert!(alone.stderr.contains("error[compare-alone]"), "{}", alone.stderr);
    // The shop's folder is not below the kit.
    scene.run(&["release", "kit", "--edition", "1.0.0", "--out", "shop/tote"]).expect_code(0);
    assert!(text(&scene, "kit/editions.yaml").contains("package: \"../shop/tote/ropewalk-tote-1.0.0.zip\""));
    let out = scene.bytes("shop/tote/ropewalk-tote-1.0.0.zip");
    scene.run(&["build", "kit", "--out", "shop/tote"]).expect_code(0);
    scene.change("kit/kit.yaml", "shared: ", "mark-colour: \"#202020\"\nshared: ");
    let told = scene.run(&["build", "kit", "--out", "shop/tote"]).expect_code(1);
    assert!(told.stderr.contains("error[edition-released]") && told.stderr.contains("--out"), "{}", told.stderr);
    assert!(scene.bytes("shop/tote/ropewalk-tote-1.0.0.zip") == out);
    scene.run(&["build", "kit"]).expect_code(0);
    let told = scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(1);
    assert!(told.stderr.contains("error[edition-released]") && told.stderr.contains("home-a4.pdf"), "{}", told.stderr);
    // Lost, it is made again, where it lay.
    scene.change("kit/kit.yaml", "mark-colour: \"#202020\"\nshared: ", "shared: ");
    std::fs::remove_dir_all(scene.path("shop")).unwrap();
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    assert!(scene.bytes("shop/tote/ropewalk-tote-1.0.0.zip") == out);
}

#[test]
fn a_kit_is_compared_with_its_last_edition() {
    let scene = scene();
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    correct(&scene);
    let told = scene.run(&["compare", "kit"]).expect_code(0);
    assert!(told.stdout.contains("edition 1.1.0 beside 1.0.0") && told.stdout.contains("reprint"), "{}", told.stdout);
    scene.run(&["proof", "kit"]).expect_code(0);
    assert!(text(&scene, "kit/out/ropewalk-tote-1.1.0-proof.html").contains("Since edition 1.0.0"));
    std::fs::remove_file(scene.path("kit/out/ropewalk-tote-1.0.0.zip")).unwrap();
    let told = scene.run(&["compare", "kit"]).expect_code(1);
    assert!(told.stderr.contains("error[edition-package]"), "{}", told.stderr);
    let told = scene.run(&["proof", "kit"]).expect_code(0);
    assert!(told.stderr.contains("warning[edition-package]"), "{}", told.stderr);
}

#[test]
fn a_signature_belongs_to_what_is_out() {
    let scene = scene();
    scene.run(&["key", "mine.key", "--no-password"]).expect_code(0);
    scene.run(&["release", "kit", "--edition", "1.0.0", "--sign", "mine.key"]).expect_code(0);
    scene.run(&["release", "kit", "--edition", "1.0.0", "--sign", "mine.key"]).expect_code(0);
    let told = scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(1);
    assert!(told.stderr.contains("signed otherwise"), "{}", told.stderr);
}

#[test]
fn a_small_zip_says_what_to_throw_away() {
    let scene = scene();
    scene.run(&["release", "kit", "--edition", "1.0.0"]).expect_code(0);
    correct(&scene);
    // Only the words change.
    scene.change("kit/tote.svg", "C-72.5,217 -79.084,210.141", "C-68.041,215 -79.084,210.141");
    scene.change("kit/kit.yaml", "853.02 mm", "852.25 mm");
    scene.run(&["release", "kit", "--edition", "1.1.0"]).expect_code(0);
    let mut zip =
        zip::ZipArchive::new(std::io::Cursor::new(scene.bytes("kit/out/ropewalk-tote-1.1.0-from-1.0.0.zip"))).unwrap();
    let read_me = std::io::read_to_string(zip.by_name("README.txt").unwrap()).unwrap();
    let outdated = read_me.split("No longer to be used").nth(1).unwrap();
    assert!(read_me.contains("no sheet has changed") && outdated.contains("ropewalk-tote-1.0.0-guide-en.html"), "{read_me}");
    assert!(!read_me.contains("home-a4"), "{read_me}");
}
