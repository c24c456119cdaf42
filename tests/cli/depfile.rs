//! `build --depfile` with real build engines: they see each file that a package depends on, and no other.

use crate::scene::{Scene, project};
use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, SystemTime};

/// A kit with names that have to be escaped, and with every kind of source.
const KIT: &str = "my kits/tote #1 $(x)";

fn odd_kit() -> Scene {
    let scene = Scene::first_kit().file("my kits/the brand.yaml", "publisher: Example\nlogo: a logo.svg\n");
    std::fs::rename(scene.path("kit"), scene.path(KIT)).unwrap();
    let manifest = format!("{KIT}/kit.yaml");
    scene.change(&manifest, "publisher: Your name here", "shared: \"../the brand.yaml\"");
    scene.change(&manifest, "languages: [en]", "languages: [en, de]");
    scene.change(&manifest, "  file: drawing.svg ", "  file: \"Größe #2.svg\" ");
    scene.change(&manifest, "guide:\n", "guide:\n  chapters: [{file: \"how to/sew-it.md\"}]\n");
    std::fs::rename(scene.path(&format!("{KIT}/drawing.svg")), scene.path(&format!("{KIT}/Größe #2.svg"))).unwrap();
    let picture = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><path d=\"M0 0h9v9z\"/></svg>\n";
    scene.write("my kits/a logo.svg", picture);
    scene.write(&format!("{KIT}/how to/a.svg"), picture);
    scene.write(&format!("{KIT}/how to/sew-it.md"), "# Sewing\n\n![A step](a.svg)\n");
    scene.run(&["catalogue", "update", KIT]).expect_code(0);
    scene
}

/// The names after the target, as make would read them.
fn sources(scene: &Scene, depfile: &str) -> Vec<String> {
    let text = String::from_utf8(scene.bytes(depfile)).unwrap();
    let rule = text.split("\n\n").next().unwrap();
    let names = rule.lines().skip(1).map(|line| line.trim_start_matches("  ").trim_end_matches(" \\"));
    names.map(|name| name.replace("\\ ", " ").replace("\\#", "#").replace("$$", "$")).collect()
}

/// A build engine. Where `tests/run` has installed all outside programs it must be there; elsewhere its lack is told loudly.
fn engine(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found = std::env::split_paths(&path).map(|folder| folder.join(name)).find(|program| program.is_file());
    assert!(found.is_some() || std::env::var_os("JUDGES_HOME").is_none(), "`{name}` is not installed");
    if found.is_none() {
        // Not by `eprintln`, which stays unseen where a test passes.
        let _ = writeln!(std::io::stderr(), "NOT CHECKED: `{name}` is not installed, so nothing was asked of it");
    }
    found
}

fn run(program: &Path, scene: &Scene, args: &[&str]) -> Output {
    Command::new(program).args(args).current_dir(scene.path("")).output().unwrap()
}

/// Makes a file or folder look as if it was changed just now, or long ago.
fn date(path: &Path, ahead: i64) {
    let day = Duration::from_secs(86_400);
    let then = if ahead > 0 { SystemTime::now() + day } else { SystemTime::now() - day };
    std::fs::File::open(path).unwrap().set_modified(then).unwrap();
}

#[test]
fn the_sources_are_all_that_a_package_needs() {
    for scene in [odd_kit(), Scene::new().kit(KIT, "kits/ropewalk-tote")] {
        let built = scene.run(&["build", KIT, "--depfile", "all.d", "--quiet"]).expect_code(0);
        let package = built.stdout.trim_end();
        let alone = Scene::new();
        for source in sources(&scene, "all.d").iter().filter(|source| scene.path(source).is_file()) {
            let copy = alone.path(source);
            std::fs::create_dir_all(copy.parent().unwrap()).unwrap();
            std::fs::copy(scene.path(source), copy).unwrap();
        }
        alone.run(&["build", KIT]).expect_code(0);
        assert!(alone.bytes(package) == scene.bytes(package));
    }
}

#[test]
fn keys_and_earlier_packages_are_sources() {
    let scene = Scene::first_kit();
    scene.run(&["key", "mine.key", "--no-password"]).expect_code(0);
    scene.run(&["build", "kit", "--out", "old"]).expect_code(0);
    scene.change("kit/kit.yaml", "edition: 0.1.0", "edition: 0.2.0");
    let args = ["build", "kit", "--since", "old/first-kit-0.1.0.zip", "--sign", "mine.key", "--depfile", "all.d"];
    scene.run(&args).expect_code(0);
    let wanted = ["kit/drawing.svg", "kit/kit.yaml", "mine.key", "old/first-kit-0.1.0.zip"];
    assert_eq!(sources(&scene, "all.d"), wanted);
}

#[test]
fn make_builds_again_what_has_changed_and_nothing_else() {
    let Some(make) = engine("make") else { return };
    let scene = odd_kit();
    let program = env!("CARGO_BIN_EXE_kitwright");
    let target = format!("{KIT}/out/first-kit-0.1.0.zip");
    let escaped = target.replace('$', "$$").replace('#', "\\#").replace(' ', "\\ ");
    let folder = KIT.replace('$', "$$");
    // A recipe that says what was done, beside the rule of the dependency file.
    let makefile =
        format!("{escaped}:\n\t@'{program}' build '{folder}' --depfile all.d --quiet && echo built\n-include all.d\n");
    scene.write("Makefile", &makefile);
    let made = |args: &[&str]| {
        let output = run(&make, &scene, &[&["-f", "Makefile"], args, &[&target]].concat());
        assert!(output.status.code() < Some(2), "{}", String::from_utf8_lossy(&output.stderr));
        (output.status.code(), String::from_utf8(output.stdout).unwrap().contains("built\n"))
    };
    assert_eq!(made(&[]), (Some(0), true), "there is no package yet");
    assert_eq!(made(&[]), (Some(0), false), "nothing has changed");
    scene.change(&format!("{KIT}/how to/sew-it.md"), "Sewing", "Sewing it");
    date(&scene.path(&format!("{KIT}/how to/sew-it.md")), 1);
    date(&scene.path(&target), -1);
    assert_eq!(made(&[]), (Some(0), true), "a chapter has changed");
    every_source_counts(&scene, &target, &|| made(&["-q"]).0 == Some(1));
}

#[test]
fn ninja_builds_again_what_has_changed_and_nothing_else() {
    let Some(ninja) = engine("ninja") else { return };
    let scene = odd_kit();
    let program = env!("CARGO_BIN_EXE_kitwright");
    let target = format!("{KIT}/out/first-kit-0.1.0.zip");
    let escape = |name: &str| name.replace('$', "$$").replace(' ', "$ ");
    let command = format!("{program} build '{}' --depfile all.d --quiet", KIT.replace('$', "$$"));
    let rule = format!("rule kit\n  command = {command}\n  depfile = all.d\n");
    scene.write("build.ninja", &format!("{rule}build {}: kit {}\n", escape(&target), escape(&format!("{KIT}/kit.yaml"))));
    let would = |args: &[&str]| {
        let output = run(&ninja, &scene, args);
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
        !said.contains("no work to do")
    };
    assert!(would(&[]), "there is no package yet");
    assert!(!would(&[]), "nothing has changed");
    every_source_counts(&scene, &target, &|| would(&["-n"]));
}

/// Asks after a change of each source, and of a file that is none, whether the package is stale.
fn every_source_counts(scene: &Scene, target: &str, stale: &dyn Fn() -> bool) {
    let all = sources(scene, "all.d");
    let kinds = ["kit.yaml", "brand.yaml", "logo.svg", "#2.svg", "sew-it.md", "a.svg", "languages", "de.po"];
    for kind in kinds {
        assert!(all.iter().any(|source| source.ends_with(kind)), "{kind} is not among {all:?}");
    }
    assert_eq!(all.len(), kinds.len(), "{all:?}");
    let settle = || {
        all.iter().for_each(|source| date(&scene.path(source), -1));
        std::fs::File::open(scene.path(target)).unwrap().set_modified(SystemTime::now()).unwrap();
    };
    scene.write(&format!("{KIT}/notes.txt"), "mine");
    settle();
    assert!(!stale(), "no source has changed");
    for source in &all {
        date(&scene.path(source), 1);
        assert!(stale(), "{source} has changed");
        settle();
        assert!(!stale(), "{source} is as it was");
    }
    // A file that has gone is a reason to build, which tells what is missing; not for the engine to give up.
    std::fs::remove_file(scene.path(&format!("{KIT}/how to/a.svg"))).unwrap();
    assert!(stale(), "a picture has gone");
}

/// An example of the manual, with two kits.
fn example(language: &str, file: &str) -> Scene {
    let manual = std::fs::read_to_string(project().join("docs/commands.md")).unwrap();
    let (_, rest) = manual.split_once(&format!("```{language}\n")).unwrap();
    let scene = Scene::new().file(file, rest.split_once("```").unwrap().0);
    std::fs::create_dir(scene.path("kits")).unwrap();
    for kit in ["my-kit", "two"] {
        scene.run(&["new", &format!("kits/{kit}")]).expect_code(0);
        scene.change(&format!("kits/{kit}/kit.yaml"), "name: first-kit ", &format!("name: {kit} "));
        scene.change(&format!("kits/{kit}/kit.yaml"), "edition: 0.1.0", "edition: 1.0.0");
    }
    scene
}

/// Runs an engine that finds kitwright on its path.
fn on_path(engine: &Path, scene: &Scene) -> String {
    let own = Path::new(env!("CARGO_BIN_EXE_kitwright")).parent().unwrap().to_path_buf();
    let path = std::env::var_os("PATH").unwrap_or_default();
    let path = std::env::join_paths([own].into_iter().chain(std::env::split_paths(&path))).unwrap();
    let output = Command::new(engine).current_dir(scene.path("")).env("PATH", path).output().unwrap();
    let said = String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned();
    assert!(output.status.success(), "{said}");
    said
}

#[test]
fn the_makefile_of_the_manual_builds_what_has_changed() {
    let Some(make) = engine("make") else { return };
    let scene = example("make", "Makefile");
    on_path(&make, &scene);
    assert!(scene.path("kits/my-kit/out/my-kit-1.0.0.zip").is_file() && scene.path("kits/two/out/two-1.0.0.zip").is_file());
    assert!(on_path(&make, &scene).contains("Nothing to be done"));
    date(&scene.path("kits/two/drawing.svg"), 1);
    let said = on_path(&make, &scene);
    assert!(said.contains("kits/two/kit.yaml") && !said.contains("my-kit"), "{said}");
    date(&scene.path("kits/two/drawing.svg"), -1);
    // A new edition is another package, by a name that the Makefile finds in the manifest.
    scene.change("kits/my-kit/kit.yaml", "edition: 1.0.0", "edition: 1.1.0");
    on_path(&make, &scene);
    assert!(scene.path("kits/my-kit/out/my-kit-1.1.0.zip").is_file());
    assert!(on_path(&make, &scene).contains("Nothing to be done"));
}

#[test]
fn the_ninja_file_of_the_manual_builds_what_has_changed() {
    let Some(ninja) = engine("ninja") else { return };
    let scene = example("ninja", "build.ninja");
    on_path(&ninja, &scene);
    assert!(scene.path("kits/my-kit/out/my-kit-1.0.0.zip").is_file());
    assert!(on_path(&ninja, &scene).contains("no work to do"));
    date(&scene.path("kits/my-kit/drawing.svg"), 1);
    assert!(!on_path(&ninja, &scene).contains("no work to do"));
}

#[test]
fn several_kits_have_a_rule_each() {
    let scene = Scene::first_kit();
    scene.run(&["new", "two"]).expect_code(0);
    scene.run(&["build", "kit", "two", "--depfile", "all.d"]).expect_code(0);
    let wanted = "kit/out/first-kit-0.1.0.zip: \\\n  kit/drawing.svg \\\n  kit/kit.yaml\n\n\
                  two/out/first-kit-0.1.0.zip: \\\n  two/drawing.svg \\\n  two/kit.yaml\n\n\
                  kit/drawing.svg:\nkit/kit.yaml:\ntwo/drawing.svg:\ntwo/kit.yaml:\n";
    assert_eq!(String::from_utf8(scene.bytes("all.d")).unwrap(), wanted);
    // A kit that failed: the others are built, but the file stays as it was.
    scene.change("two/kit.yaml", "border: 3 mm", "border: 3");
    scene.change("kit/kit.yaml", "edition: 0.1.0", "edition: 0.2.0");
    let failed = scene.run(&["build", "kit", "two", "--depfile", "all.d"]).expect_code(1);
    assert!(failed.stderr.ends_with("all.d is not written, since not all kits are built\n"), "{}", failed.stderr);
    assert_eq!(failed.stdout, "kit/out/first-kit-0.2.0.zip\n");
    assert_eq!(String::from_utf8(scene.bytes("all.d")).unwrap(), wanted);
    // Another edition has another package, and may take the place.
    scene.run(&["build", "kit", "--depfile", "all.d"]).expect_code(0);
    assert!(scene.bytes("all.d").starts_with(b"kit/out/first-kit-0.2.0.zip:"));
}

#[test]
fn a_file_of_ones_own_is_left_alone() {
    for own in ["", "all: kit\n", "a.zip: \\\n  kit.yaml\n"] {
        let scene = Scene::first_kit().file("all.d", own);
        for kits in [&["kit"][..], &["kit", "nowhere"]] {
            let before = scene.files();
            let outcome = scene.run(&[&["build"], kits, &["--depfile", "all.d"]].concat()).expect_code(3);
            assert!(outcome.stderr.contains("`all.d` is no dependency file"), "{}", outcome.stderr);
            assert!(scene.files() == before, "nothing was built");
        }
    }
    let scene = Scene::first_kit();
    scene.run(&["build", "kit", "--depfile", "nowhere/all.d"]).expect_code(3);
    let package = "kit/out/first-kit-0.1.0.zip";
    scene.run(&["build", "kit", "--depfile", package]).expect_code(3);
    assert!(scene.bytes(package).starts_with(b"PK"), "the package is still one");
}

#[test]
fn names_that_engines_misread_are_refused() {
    let scene = Scene::first_kit();
    std::fs::rename(scene.path("kit/drawing.svg"), scene.path("kit/50%.svg")).unwrap();
    scene.change("kit/kit.yaml", "file: drawing.svg ", "file: 50%.svg ");
    let outcome = scene.run(&["build", "kit", "--depfile", "all.d", "--format", "json"]).expect_code(1);
    let finding = &outcome.findings()[0];
    assert_eq!((finding.code.as_str(), finding.file.as_str()), ("depfile-name", "kit/50%.svg"));
    assert!(!scene.path("kit/out").exists() && !scene.path("all.d").exists());
    scene.run(&["build", "kit"]).expect_code(0);
}

#[test]
fn the_demo_kits_share_a_brand() {
    assert!(project().join("kits/ploverfield.yaml").is_file());
    let scene = Scene::new().kit("kits/ropewalk-tote", "kits/ropewalk-tote");
    let args = ["build", "kits/ropewalk-tote", "kits/ploverfield.yaml", "kits/ploverfield-logo.svg", "--depfile", "all.d"];
    scene.run(&args).expect_code(0);
    let all: BTreeSet<String> = sources(&scene, "all.d").into_iter().collect();
    for brand in ["ploverfield.yaml", "ploverfield-logo.svg"] {
        assert!(all.contains(&format!("kits/ropewalk-tote/../{brand}")), "{all:?}");
    }
}
