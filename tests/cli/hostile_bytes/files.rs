//! What stands where a file should: nothing in it, a folder, a pipe, a device, a link round itself, a file that nobody may read, and
//! one that grows while it is read.
#![cfg(unix)]

use super::{bounded, bounded_as};
use crate::scene::{Outcome, Scene};
use std::io::Write;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};

/// A file that the program reads: where it stands, what reads it, and the codes by which it is refused if it is empty, a folder,
/// a pipe or device, and a link that leads nowhere.
type Input = (&'static str, &'static [&'static str], [&'static str; 4]);

const CHECK: &[&str] = &["check", "kit"];
const REVIEW: &[&str] = &["review", "kit", "--round", "1", "--roster", "testers.yaml"];
const FEEDBACK: &[&str] = &["feedback", "answer.json", "--out", "out"];
const SIGN: &[&str] = &["build", "kit", "--sign", "own.key"];
const KEY: &[&str] = &["verify", "it.zip", "--key", "own.pub"];

const fn all(code: &'static str, empty: &'static str) -> [&'static str; 4] {
    [empty, code, code, code]
}

const INPUTS: [Input; 17] = [
    ("kit/kit.yaml", CHECK, ["yaml-empty", "manifest-unreadable", "manifest-unreadable", "manifest-missing"]),
    ("kit/shared.yaml", CHECK, all("shared-missing", "yaml-empty")),
    ("kit/small.svg", CHECK, all("drawing-missing", "xml-syntax")),
    ("kit/logo.png", CHECK, all("logo-unreadable", "logo-unreadable")),
    ("kit/in.png", CHECK, all("image-missing", "image-bad")),
    ("kit/own.ttf", CHECK, all("font-unreadable", "font-bad")),
    ("kit/brand.ttf", CHECK, all("font-unreadable", "font-bad")),
    ("kit/one.md", CHECK, all("chapter-unreadable", "chapter-title")),
    ("kit/two.png", CHECK, all("picture-missing", "picture-bad")),
    // Where there is no catalogue yet, that is no fault.
    ("kit/languages/de.po", CHECK, ["text-untranslated", "po-unreadable", "po-unreadable", "text-untranslated"]),
    ("testers.yaml", REVIEW, all("roster-unreadable", "yaml-empty")),
    ("answer.json", FEEDBACK, ["feedback-unreadable", "feedback-none", "feedback-unreadable", "feedback-unreadable"]),
    ("it.zip", &["verify", "it.zip"], ["package-unreadable", "promises-missing", "package-missing", "package-missing"]),
    (
        "it.zip",
        &["compare", "it.zip", "it.zip"],
        ["package-unreadable", "promises-missing", "package-missing", "package-missing"],
    ),
    ("unpacked/a.txt", &["verify", "unpacked"], ["promises-missing", "promises-missing", "package-missing", "package-missing"]),
    ("own.key", SIGN, all("key-unusable", "key-unusable")),
    ("own.pub", KEY, all("key-unusable", "key-unusable")),
];

/// Makes something at a path; the number is that of its code among those of an input.
type Make = (usize, fn(&Path));

const KINDS: [Make; 6] = [
    (0, |path| std::fs::write(path, b"").unwrap()),
    (1, |path| std::fs::create_dir(path).unwrap()),
    (2, |path| assert!(Command::new("mkfifo").arg(path).status().unwrap().success())),
    (2, |path| symlink("/dev/zero", path).unwrap()),
    (3, |path| symlink(path, path).unwrap()),
    (3, |path| symlink("nowhere", path).unwrap()),
];

/// A scene in which something else stands in the place of a file.
fn with(path: &str, make: fn(&Path)) -> Scene {
    let scene = scene();
    let path = scene.path(path);
    let _ = std::fs::remove_file(&path);
    make(&path);
    scene
}

#[track_caller]
fn told(scene: &Scene, args: &[&str], code: &str) {
    judged(&bounded(scene, args), scene, args, code);
}

#[track_caller]
fn judged(outcome: &Outcome, scene: &Scene, args: &[&str], code: &str) {
    let said = outcome.stderr.contains(&format!("[{code}]"));
    assert!(said && [0, 1, 2].contains(&outcome.code), "{args:?}: {code}:\n{}{}", outcome.stdout, outcome.stderr);
    assert!(outcome.code != 0 || code == "text-untranslated", "{args:?} does not mind");
    assert!(!scene.path("out").exists() && !scene.path("kit/out").exists(), "{args:?} writes");
}

#[test]
fn what_is_no_plain_file_is_told_in_time() {
    for (path, args, codes) in INPUTS {
        for (kind, make) in KINDS {
            told(&with(path, make), args, codes[kind]);
        }
    }
}

/// User and group that own nothing (Debian Policy, 9.2.2: `nobody`, `nogroup`).
const NOBODY: u32 = 65_534;

#[test]
fn files_that_nobody_may_read() {
    let locked = |path: &Path| {
        std::fs::write(path, b"x").unwrap();
        set_mode(path, 0o000);
    };
    // An administrator may read everything, so then the program is run as somebody else, from where anybody can start it.
    let (anywhere, program) = (tempfile::tempdir().unwrap(), env!("CARGO_BIN_EXE_kitwright"));
    let copy = anywhere.path().join("kitwright");
    set_mode(anywhere.path(), 0o755);
    std::fs::copy(program, &copy).unwrap();
    for (path, args, codes) in INPUTS {
        let scene = with(path, locked);
        set_mode(&scene.path(""), 0o755);
        let may_read_all = std::fs::File::open(scene.path(path)).is_ok();
        let start = || {
            let mut command = Command::new(if may_read_all { copy.as_os_str() } else { program.as_ref() });
            if may_read_all {
                command.gid(NOBODY).uid(NOBODY);
            }
            command
        };
        judged(&bounded_as(&start, &scene, args), &scene, args, codes[2]);
    }
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, PermissionsExt::from_mode(mode)).unwrap();
}

#[test]
fn files_that_grow_while_they_are_read() {
    for (path, args) in [("kit/kit.yaml", CHECK), ("kit/small.svg", CHECK), ("it.zip", &["verify", "it.zip"])] {
        let scene = scene();
        let mut file = std::fs::OpenOptions::new().append(true).create(true).open(scene.path(path)).unwrap();
        let done = AtomicBool::new(false);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                // At most a gibibyte, should the program wait for an end.
                for _ in (0..1024).take_while(|_| !done.load(Ordering::Relaxed)) {
                    file.write_all(&[b'#'; 1 << 20]).unwrap();
                }
            });
            let outcome = bounded(&scene, args);
            done.store(true, Ordering::Relaxed);
            assert!([1, 2].contains(&outcome.code), "{path}: {}", outcome.stderr);
        });
    }
}

/// A kit with every kind of file, and what else the program reads, all good.
fn scene() -> Scene {
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"140mm\" height=\"100mm\" viewBox=\"0 0 140 100\"><g id=\"pattern\">\
               <path d=\"M2 2H138V98\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>\
               <image href=\"in.png\" x=\"20\" y=\"20\" width=\"40\" height=\"40\"/></g></svg>\n";
    let manifest = "name: small\ntitle: Small\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\npapers: [a4]\n\
        languages: [en, de]\ndrawing: {file: small.svg}\nbase-layers: [pattern]\nshared: shared.yaml\nlogo: logo.png\n\
        fonts: [own.ttf]\nbrand-font: brand.ttf\nguide: {chapters: [{file: one.md}, {title: Two, text: \"![It](two.png)\"}]}\n";
    let scene = Scene::new()
        .file("kit/kit.yaml", manifest)
        .file("kit/small.svg", svg)
        .file("kit/shared.yaml", "border: 3 mm\n")
        .file("kit/one.md", "# One\n\nWords.\n")
        .file("unpacked/b.txt", "words")
        .file("testers.yaml", "testers:\n  - {id: \"07\"}\n")
        .file("kit/languages/de.po", "msgid \"\"\nmsgstr \"Language: de\\n\"\n");
    for font in ["own.ttf", "brand.ttf"] {
        std::fs::write(scene.path("kit").join(font), notosans::REGULAR_TTF).unwrap();
    }
    for picture in ["logo.png", "in.png", "two.png"] {
        image::RgbImage::from_pixel(400, 300, image::Rgb([30, 30, 30])).save(scene.path("kit").join(picture)).unwrap();
    }
    let zip = super::zips::zip(&[super::zips::Entry::stored("a.txt", b"words")]);
    std::fs::write(scene.path("it.zip"), zip).unwrap();
    scene
}
