//! Words in the drawing: found, measured, translated, and pressed for each language on the same plan.

use crate::scene::Scene;
use std::io::Read as _;

/// The tote's words in French, as the kit has them.
const FRENCH: [(&str, &str); 12] = [
    ("1 · Body", "1 · Corps"),
    ("cut 2 on the fold", "couper 2 fois sur la pliure"),
    ("in canvas", "dans la toile"),
    ("pocket, on one half,", "poche, sur une moitié,"),
    ("on the inside", "à l’intérieur"),
    ("2 · Handle", "2 · Anse"),
    ("cut 4 on the fold, in canvas", "couper 4 fois sur la pliure, dans la toile"),
    ("3 · Pocket", "3 · Poche"),
    ("cut 1 in lining", "couper 1 fois dans la doublure"),
    ("Ropewalk tote", "Cabas Ropewalk"),
    ("one size, 38 × 43 cm · seam allowance of 10 mm", "taille unique, 38 × 43 cm · marges de couture de 10 mm"),
    ("and hems of 30 mm included", "et ourlets de 30 mm compris"),
];

/// The tote in English and French.
fn translated() -> Scene {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    scene.change("kit/kit.yaml", "languages: [en, fr, de, pl]", "languages: [en, fr]");
    scene
}

/// The same, its drawing's words in the catalogue but not translated yet.
fn kit() -> Scene {
    let scene = translated();
    FRENCH
        .iter()
        .for_each(|(text, translation)| scene.change("kit/languages/fr.po", &entry(text, translation), &entry(text, "")));
    scene
}

fn entry(text: &str, translation: &str) -> String {
    format!("msgctxt \"drawing\"\nmsgid \"{text}\"\nmsgstr \"{translation}\"")
}

fn translate(scene: &Scene, text: &str, translation: &str) {
    scene.change("kit/languages/fr.po", &entry(text, ""), &entry(text, translation));
}

/// The files of a package, by name.
fn unpacked(bytes: Vec<u8>) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let count = archive.len();
    let file = |index: usize| {
        let mut file = archive.by_index(index).unwrap();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        (file.name().unwrap().into_owned(), bytes)
    };
    (0..count).map(file).collect()
}

#[test]
fn words_go_into_the_catalogue_with_place_and_room() {
    let scene = kit();
    let text = String::from_utf8(scene.bytes("kit/languages/fr.po")).unwrap();
    let entries: Vec<&str> = text.split("\n\n").filter(|entry| entry.contains("msgctxt \"drawing\"")).collect();
    assert_eq!(entries.len(), FRENCH.len(), "numbers such as `100 mm` are not among them");
    let body = entries.iter().find(|entry| entry.contains("\"in canvas\"")).unwrap();
    // The words begin 59 mm from the drawing's left; the piece they stand on ends 149 mm further, less a millimetre of air.
    assert!(
        body.contains("#: tote.svg:85\u{a0}(body)") && body.contains("#. At most 149 mm on paper, about 63 letters."),
        "{body}"
    );
    let status = scene.run(&["catalogue", "status", "kit"]);
    assert!(status.code == 1 && status.stdout.contains("12 missing"), "{}", status.stdout);
}

#[test]
fn each_language_gets_its_own_files_and_nothing_but_words_differs() {
    let scene = translated();
    scene.run(&["catalogue", "status", "kit"]).expect_code(0);
    let built = scene.run(&["build", "kit", "--deny-warnings", "--out", "out"]).expect_code(0);
    let package = "out/ropewalk-tote-1.0.0.zip";
    assert!(built.stderr.is_empty() || !built.stderr.contains("warning"), "{}", built.stderr);
    let verified = scene.run(&["verify", package]).expect_code(0);
    assert!(verified.stdout.contains("same lines in all languages"), "{}", verified.stdout);
    let files = unpacked(scene.bytes(package));
    let bytes = |name: &str| {
        let name = format!("ropewalk-tote-1.0.0-{name}");
        files.iter().find(|(file, _)| *file == name).unwrap_or_else(|| panic!("{name}")).1.clone()
    };
    for name in ["home-a4", "home-letter", "wide-a0", "wide-a0-flat"] {
        assert_ne!(bytes(&format!("{name}.pdf")), bytes(&format!("{name}-fr.pdf")), "{name}");
    }
    let (guide, own) = (bytes("guide-en.html"), bytes("guide-fr.html"));
    let names = |guide: &[u8], name: &str| String::from_utf8_lossy(guide).contains(name);
    assert!(names(&own, "home-a4-fr.pdf") && !names(&own, "home-a4.pdf"));
    assert!(names(&guide, "home-a4.pdf") && !names(&guide, "home-a4-fr.pdf"));
    let promises: serde_json::Value =
        serde_json::from_slice(&files.iter().find(|(name, _)| name == "promises.json").unwrap().1).unwrap();
    let spoken = promises["papers"].as_array().unwrap().iter().filter(|paper| paper["language"] == "fr").count();
    assert_eq!(spoken, 4, "A4, US Letter, and A0 twice");
    assert!(names(&bytes("wide-a0-fr.svg"), "lang=\"fr\""));
}

#[test]
fn words_that_outgrow_their_room_are_told() {
    let scene = kit();
    let long = "la poche se pose sur une seule moitié du corps du sac, à mi-hauteur, et se pique tout autour sauf en haut";
    translate(&scene, "in canvas", long);
    let status = scene.run(&["catalogue", "status", "kit"]);
    assert!(status.stdout.contains("too-long"), "{}", status.stdout);
    let check = scene.run(&["check", "kit", "--format", "json"]);
    let found = check.findings();
    let finding = found.iter().find(|finding| finding.code == "words-too-long").unwrap_or_else(|| panic!("{}", check.stdout));
    assert!(check.stdout.contains("room for 149 mm"), "{finding:?}");
}

#[test]
fn a_translator_has_the_words_without_the_drawing() {
    let scene = kit();
    scene.run(&["catalogue", "bundle", "kit", "--language", "fr", "--out", "sent"]).expect_code(0);
    for (name, bytes) in unpacked(scene.bytes("sent/ropewalk-tote-1.0.0-translate-fr.zip")) {
        let path = scene.path(&format!("theirs/{name}"));
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    let theirs = "theirs/ropewalk-tote";
    assert!(!scene.path(&format!("{theirs}/tote.svg")).exists());
    let before = scene.bytes(&format!("{theirs}/languages/fr.po"));
    scene.run(&["catalogue", "update", theirs, "--language", "fr"]).expect_code(0);
    assert!(before == scene.bytes(&format!("{theirs}/languages/fr.po")), "an update changes nothing");
    let status = scene.run(&["catalogue", "status", theirs, "--language", "fr"]);
    assert!(status.stdout.contains("12 missing"), "{}", status.stdout);
}

#[test]
fn a_sheet_that_one_language_alone_needs_is_told() {
    // An upright line and a word fit on one sheet of A4; its translation reaches onto the next one.
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"150mm\" viewBox=\"0 0 400 150\">\
               <g id=\"pattern\"><path d=\"M20 10V140\" stroke=\"#000\" stroke-width=\".5\"/>\
               <text x=\"150\" y=\"80\" font-family=\"Noto Sans\" font-size=\"8\">fold</text></g></svg>\n";
    let manifest = "name: strip\ntitle: Strip\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\n\
                    languages: [en, de]\ndrawing: {file: strip.svg, translate-words: true}\nbase-layers: [pattern]\npapers: [a4]\n";
    let scene = Scene::new().file("kit/strip.svg", svg).file("kit/kit.yaml", manifest);
    scene.run(&["catalogue", "update", "kit", "--language", "de"]).expect_code(0);
    let found = |translation: &str| {
        let text = String::from_utf8(scene.bytes("kit/languages/de.po")).unwrap();
        let key = "msgid \"fold\"\nmsgstr \"";
        let (before, after) = text.split_once(key).expect("the word");
        let (_, after) = after.split_once('"').expect("its end");
        scene.write("kit/languages/de.po", &format!("{before}{key}{translation}\"{after}"));
        scene.run(&["check", "kit", "--format", "json"])
    };
    let codes = |outcome: &crate::scene::Outcome| outcome.findings().into_iter().map(|it| it.code).collect::<Vec<_>>();
    let short = found("Bruch");
    assert!(!codes(&short).contains(&"words-move-sheets".into()), "{}", short.stdout);
    let long = found("hier liegt der Stoffbruch, an dem der Stoff gefaltet wird");
    assert!(codes(&long).contains(&"words-move-sheets".into()), "{}", long.stdout);
    assert!(long.stdout.contains("Stoffbruch") && long.stdout.contains("`de`"), "{}", long.stdout);
}

#[test]
fn without_the_key_nothing_changes() {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    scene.change("kit/kit.yaml", "  translate-words: true", "  translate-words: false");
    std::fs::remove_file(scene.path("kit/languages/fr.po")).unwrap();
    scene.run(&["catalogue", "update", "kit"]).expect_code(0);
    assert!(!String::from_utf8(scene.bytes("kit/languages/fr.po")).unwrap().contains("msgctxt \"drawing\""));
}
