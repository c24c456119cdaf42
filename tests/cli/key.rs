//! Keys and signatures: made, used, and kept away from kits.

use crate::scene::Scene;

#[test]
fn a_signed_package_is_told_from_an_altered_one() {
    let scene = Scene::first_kit();
    scene.run(&["key", "own.key", "--no-password"]).expect_code(0);
    scene.run(&["key", "other.key", "--no-password"]).expect_code(0);
    scene.run(&["build", "kit", "--sign", "own.key", "--out", "one"]).expect_code(0);
    scene.run(&["build", "kit", "--sign", "own.key", "--out", "two"]).expect_code(0);
    let package = "one/first-kit-0.1.0.zip";
    assert_eq!(scene.bytes(package), scene.bytes("two/first-kit-0.1.0.zip"), "a signature needs no chance");
    let verified = scene.run(&["verify", package, "--key", "own.key.pub", "--report", "report.html"]).expect_code(0);
    assert!(verified.stdout.contains("signature"), "{}", verified.stdout);
    let report = String::from_utf8(scene.bytes("report.html")).unwrap();
    assert!(report.contains("✓") && !report.contains("Where it is off"), "{report}");
    let off = scene.run(&["verify", package, "--key", "other.key.pub"]).expect_code(1);
    assert!(off.stderr.contains("error[signature-off]"), "{}", off.stderr);
    let again = scene.run(&["verify", package, "--report", "report.html"]).expect_code(3);
    assert!(again.stderr.contains("cannot-write"), "a report is never written over: {}", again.stderr);
}

#[test]
fn keys_stay_out_of_kits_and_ask_for_their_password() {
    let scene = Scene::first_kit();
    for line in [&["key", "kit/my.key", "--no-password"][..], &["build", "kit", "--sign", "kit/my.key"]] {
        let refused = scene.run(line);
        assert!(refused.code != 0 && refused.stderr.contains("error[key-in-kit]"), "{}", refused.stderr);
    }
    assert!(!scene.path("kit/my.key").exists());
    // No terminal here: without the password in the environment nothing can be asked.
    let unasked = scene.run(&["key", "sealed.key"]);
    assert!(unasked.code != 0 && unasked.stderr.contains("KITWRIGHT_KEY_PASSWORD"), "{}", unasked.stderr);
    scene.run_with(&["key", "sealed.key"], &[("KITWRIGHT_KEY_PASSWORD", "sesame")]).expect_code(0);
    let locked = scene.run(&["build", "kit", "--sign", "sealed.key"]);
    assert!(locked.code != 0 && locked.stderr.contains("error[key-unusable]"), "{}", locked.stderr);
    scene.run_with(&["build", "kit", "--sign", "sealed.key"], &[("KITWRIGHT_KEY_PASSWORD", "sesame")]).expect_code(0);
    // A pair that is there is left alone.
    let twice = scene.run_with(&["key", "sealed.key"], &[("KITWRIGHT_KEY_PASSWORD", "sesame")]);
    assert!(twice.code != 0 && twice.stderr.contains("cannot-write"), "{}", twice.stderr);
}
