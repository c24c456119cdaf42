//! Nothing twice, step by step: after a change only that is made anew which depends on it, damaged results are noticed, and the bytes are always
//! those of a build that remembers nothing.

use crate::scene::{Outcome, Scene};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

const PACKAGE: &str = "kit/out/first-kit-0.1.0.zip";
const LOGO: &str = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><path d='M1,1H8V8Z'/></svg>";
/// Sheets of the kit below: two home papers, one wide paper in three files, two sizes on two home papers.
const SHEETS: usize = 2 + 3 + 4;

/// What is changed, how, and how many sheets and plans depend on it.
type Change<'a> = (&'a str, &'a dyn Fn(), [usize; 2]);
/// What becomes of a kept result, by its number.
type Damage<'a> = &'a dyn Fn(usize, &[u8]) -> Vec<u8>;

/// The first kit in two languages, with a file for each size, a chapter, a logo and a font of its own.
fn kit() -> Scene {
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "languages: [en]", "languages: [en, de]\nsize-files: true\nbrand-font: brand.ttf");
    scene.change("kit/kit.yaml", "# logo: logo.svg", "logo: logo.svg");
    scene.change("kit/kit.yaml", "guide:\n", "guide:\n  chapters: [{file: sewing.md}]\n");
    scene.write("kit/sewing.md", "# Sewing\n\nSew the zip first.\n");
    scene.write(
        "kit/languages/de.po",
        "msgid \"\"\nmsgstr \"\"\n\nmsgctxt \"guide.sewing\"\nmsgid \"Sewing\"\nmsgstr \"Nähen\"\n",
    );
    scene.write("kit/logo.svg", LOGO);
    std::fs::write(scene.path("kit/brand.ttf"), notosans::BOLD_TTF).unwrap();
    scene
}

fn build(scene: &Scene, more: &[&str]) -> Outcome {
    scene.run(&[&["build", "kit"], more].concat()).expect_code(0)
}

/// What is kept of the steps of the scene's only package, by key.
fn kept(scene: &Scene) -> BTreeMap<PathBuf, Vec<u8>> {
    let folders = std::fs::read_dir(scene.path("kit/out/.kitwright-cache")).into_iter().flatten().flatten();
    let folders: Vec<PathBuf> = folders.map(|entry| entry.path()).filter(|path| path.is_dir()).collect();
    assert!(folders.len() < 2, "{folders:?}");
    let files = folders.iter().flat_map(|folder| std::fs::read_dir(folder).unwrap().flatten());
    files.map(|entry| (entry.path(), std::fs::read(entry.path()).unwrap())).collect()
}

/// How many sheets, plans and packed files are among some results.
fn counted<'a>(results: impl IntoIterator<Item = &'a Vec<u8>>) -> [usize; 3] {
    let mut counts = [0; 3];
    for result in results {
        let bytes = &result[64..];
        let marks = bytes.iter().take_while(|byte| **byte != b'\n').count();
        let file = bytes.get(marks + 1..).unwrap_or_default();
        let sheets = file.starts_with(b"%PDF") || file.starts_with(b"<?xml") || file.starts_with(b"<svg");
        counts[if bytes.starts_with(b"PK") { 2 } else { usize::from(!sheets) }] += 1;
    }
    counts
}

/// Builds once more, and once without memory: the bytes must be the same. Gives what was made anew.
fn rebuilt(scene: &Scene, what: &str) -> [usize; 3] {
    let before = kept(scene);
    build(scene, &[]);
    let (made, after) = (scene.bytes(PACKAGE), kept(scene));
    build(scene, &["--no-cache"]);
    assert!(made == scene.bytes(PACKAGE), "{what}: other bytes than without memory");
    assert_eq!(after, kept(scene), "{what}: kept without memory");
    counted(after.iter().filter(|(key, bytes)| before.get(*key) != Some(bytes)).map(|(_, bytes)| bytes))
}

#[test]
fn only_what_depends_on_a_change_is_made_anew() {
    let scene = kit();
    build(&scene, &[]);
    let (all, first) = (kept(&scene), scene.bytes(PACKAGE));
    // One plan for all sizes and one for each; the wide SVG, two guides, two read-me files and two records are packed.
    assert_eq!(counted(all.values()), [SHEETS, 3, 7]);
    // Guides and read-me files change with their texts, and the checksums with them.
    let manifest = |from: &str, to: &str| scene.change("kit/kit.yaml", from, to);
    let one_size = ("M 40 20 H 220 V 140", "M 40 20 H 221 V 140");
    let brand = |bytes: &[u8]| std::fs::write(scene.path("kit/brand.ttf"), bytes).unwrap();
    let changes: [Change; 9] = [
        ("a chapter", &|| scene.change("kit/sewing.md", "zip first", "zip last"), [0, 0]),
        ("a catalogue", &|| scene.change("kit/languages/de.po", "Nähen", "Nähte"), [0, 0]),
        ("a text in the manifest", &|| manifest("A flat pouch", "A small pouch"), [0, 0]),
        ("a promise", &|| manifest("name: test square", "name: the square"), [0, 0]),
        ("another line", &|| scene.change("kit/drawing.svg", "<title>", "\n\n  <title>"), [0, 0]),
        // All but the files of the other size.
        ("a size", &|| scene.change("kit/drawing.svg", one_size.0, one_size.1), [SHEETS - 2, 2]),
        ("the logo", &|| scene.write("kit/logo.svg", &LOGO.replace("8Z", "7Z")), [SHEETS, 0]),
        ("the font", &|| brand(notosans::REGULAR_TTF), [SHEETS, 0]),
        ("the title", &|| manifest("title: My first kit", "title: My second kit"), [SHEETS, 3]),
    ];
    for (what, change, expected) in changes {
        change();
        let [sheets, plans, _] = rebuilt(&scene, what);
        assert_eq!([sheets, plans], expected, "{what}");
        // What nothing is made from any more is gone.
        assert_eq!(counted(kept(&scene).values()), [SHEETS, 3, 7], "{what}");
    }
    assert!(first != scene.bytes(PACKAGE));
}

#[test]
fn damaged_results_are_noticed() {
    let scene = kit();
    build(&scene, &[]);
    let (good, package) = (kept(&scene), scene.bytes(PACKAGE));
    let keys: Vec<&PathBuf> = good.keys().collect();
    let other = |index: usize| good[keys[(index + 1) % keys.len()]].clone();
    let damages: [(&str, Damage); 5] = [
        ("a flipped bit", &|_, bytes| {
            bytes.iter().enumerate().map(|(at, byte)| byte ^ u8::from(at == bytes.len() / 2)).collect()
        }),
        ("another digest", &|_, bytes| [b"0".as_slice(), &bytes[1..]].concat()),
        ("cut short", &|_, bytes| bytes[..bytes.len() - 1].to_vec()),
        ("empty", &|_, _| Vec::new()),
        ("another's result", &|index, _| other(index)),
    ];
    for (what, damage) in damages {
        for (index, key) in keys.iter().enumerate() {
            std::fs::write(key, damage(index, &good[*key])).unwrap();
        }
        // Else the whole package would count as made.
        std::fs::remove_file(scene.path(PACKAGE)).unwrap();
        build(&scene, &[]);
        assert!(scene.bytes(PACKAGE) == package, "{what}");
        assert!(kept(&scene) == good, "{what}: not mended");
    }
}

#[test]
fn only_what_a_build_wrote_is_removed() {
    let scene = kit();
    build(&scene, &[]);
    let key = kept(&scene).into_keys().next().unwrap();
    let (notes, stale) = (key.with_file_name("notes.txt"), key.with_file_name("0".repeat(64)));
    std::fs::write(&notes, "mine").unwrap();
    std::fs::write(&stale, "an older build's").unwrap();
    scene.change("kit/sewing.md", "zip first", "zip last");
    build(&scene, &["--no-cache"]);
    assert!(notes.exists() && stale.exists(), "removed by a build without memory");
    build(&scene, &[]);
    assert!(notes.exists() && !stale.exists());
}

#[test]
fn two_builds_at_once_make_the_same() {
    let scene = kit();
    let run = || {
        std::thread::scope(|scope| {
            let hands: Vec<_> = (0..3).map(|_| scope.spawn(|| build(&scene, &["--quiet"]))).collect();
            hands.into_iter().for_each(|hand| drop(hand.join().unwrap()));
        });
    };
    run();
    let names = |kept: BTreeMap<PathBuf, Vec<u8>>| kept.into_keys().collect::<BTreeSet<_>>();
    let first = names(kept(&scene));
    scene.change("kit/drawing.svg", "M 40 20 H 220 V 140", "M 40 20 H 221 V 140");
    run();
    let (package, all) = (scene.bytes(PACKAGE), kept(&scene));
    assert_eq!(counted(all.values()), [SHEETS, 3, 7]);
    assert!(first != names(all));
    build(&scene, &["--no-cache"]);
    assert!(package == scene.bytes(PACKAGE));
}

#[test]
fn nothing_is_kept_without_memory_or_without_a_package() {
    let scene = kit();
    build(&scene, &["--no-cache"]);
    assert!(!scene.path("kit/out/.kitwright-cache").exists());
    // The package of another kit is never replaced, and what was made for it is not kept.
    scene.write(PACKAGE, "somebody else's");
    scene.run(&["build", "kit"]).expect_code(3);
    assert!(!scene.path("kit/out/.kitwright-cache").exists());
}

/// Words of the drawing are in every language's sheets, whose marks keep clear of them; texts of the guide are in none.
#[test]
fn each_language_has_its_own_sheets() {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    let build = |more: &[&str]| drop(scene.run(&[&["build", "kit", "--paper", "a4"], more].concat()).expect_code(0));
    let package = || scene.bytes("kit/out/ropewalk-tote-1.0.0-only-a4.zip");
    build(&[]);
    for (from, to, expected) in [("Wasche die Tasche", "Wasche den Beutel", 0), ("2 · Henkel", "2 · Griff", 4)] {
        let before = kept(&scene);
        scene.change("kit/languages/de.po", from, to);
        build(&[]);
        let (made, after) = (package(), kept(&scene));
        let [sheets, ..] = counted(after.iter().filter(|(key, _)| !before.contains_key(*key)).map(|(_, bytes)| bytes));
        assert_eq!(sheets, expected, "{from}");
        build(&["--no-cache"]);
        assert!(made == package(), "{from}: other bytes than without memory");
    }
}
