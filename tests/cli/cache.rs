//! Nothing twice: what has not changed is not made again, whatever has changed is seen, and the bytes are those of a build without memory.

use crate::scene::{Outcome, Scene};
use std::time::SystemTime;

const PACKAGE: &str = "kit/out/ropewalk-tote-1.0.0-only-a4.zip";

fn tote() -> Scene {
    Scene::new().kit("kit", "kits/ropewalk-tote")
}

fn build(scene: &Scene, more: &[&str]) -> Outcome {
    scene.run(&[&["build", "kit", "--paper", "a4"], more].concat()).expect_code(0)
}

fn modified(scene: &Scene) -> SystemTime {
    std::fs::metadata(scene.path(PACKAGE)).unwrap().modified().unwrap()
}

/// The only file that remembers the whole; `steps.rs` looks at the folder beside it.
fn memory(scene: &Scene) -> std::path::PathBuf {
    let paths = std::fs::read_dir(scene.path("kit/out/.kitwright-cache")).unwrap().flatten().map(|entry| entry.path());
    let files: Vec<_> = paths.filter(|path| path.is_file()).collect();
    assert_eq!(files.len(), 1, "{files:?}");
    files[0].clone()
}

const NOTHING: &str = "nothing has changed";

#[test]
fn what_has_not_changed_is_not_made_again() {
    let scene = tote();
    let first = build(&scene, &["--format", "json"]);
    let made = modified(&scene);
    assert_eq!(build(&scene, &["--format", "json"]).stdout, first.stdout);
    assert!(build(&scene, &[]).stderr.contains(NOTHING));
    assert_eq!(modified(&scene), made);
    // Several kits are told in another way, but they remember alike.
    let scene = scene.kit("other", "kits/ropewalk-tote");
    scene.run(&["build", "kit", "other", "--paper", "a4"]).expect_code(0);
    assert_eq!(modified(&scene), made);
    let anew = build(&scene, &["--no-cache"]);
    assert!(!anew.stderr.contains(NOTHING) && modified(&scene) > made, "{}", anew.stderr);
}

#[test]
fn whatever_changes_is_seen() {
    let scene = tote();
    build(&scene, &[]);
    let changes: [(&str, &dyn Fn()); 8] = [
        ("the manifest", &|| scene.change("kit/kit.yaml", "title: Ropewalk tote", "title: Ropewalk bag")),
        ("the drawing", &|| scene.change("kit/tote.svg", "M34,190", "M34,191")),
        ("a chapter", &|| scene.change("kit/guide/cutting.md", "Spread", "Lay out")),
        ("a catalogue", &|| scene.change("kit/languages/de.po", "Stoff", "Gewebe")),
        ("kept lays that are gone", &|| std::fs::remove_file(scene.path("kit/lays.json")).unwrap()),
        ("a package that is damaged", &|| std::fs::write(scene.path(PACKAGE), &scene.bytes(PACKAGE)[..5000]).unwrap()),
        ("a memory that is damaged", &|| std::fs::write(memory(&scene), "{\"maker\": ").unwrap()),
        ("a memory of something else", &|| {
            let text = std::fs::read_to_string(memory(&scene)).unwrap();
            let (head, sources) = text.split_once("\"sources\":{").unwrap();
            let other = sources.replacen("\":\"", "\":\"00", 1);
            std::fs::write(memory(&scene), format!("{head}\"sources\":{{{other}")).unwrap();
        }),
    ];
    for (what, change) in changes {
        change();
        if what == "a package that is damaged" {
            // A stranger's file is never replaced.
            std::fs::remove_file(scene.path(PACKAGE)).unwrap();
        }
        let told = build(&scene, &[]);
        assert!(!told.stderr.contains(NOTHING), "{what}: {}", told.stderr);
        let made = scene.bytes(PACKAGE);
        build(&scene, &["--no-cache"]);
        assert!(made == scene.bytes(PACKAGE), "{what}: other bytes than without memory");
        assert!(build(&scene, &[]).stderr.contains(NOTHING), "{what}: made, and not remembered");
    }
}
