//! The way of a translation: made, sent, filled in, taken back, built.

use crate::scene::Scene;
use std::fs;

/// A kit in English and French, with its catalogue just made.
fn kit() -> Scene {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    let manifest = fs::read_to_string(scene.path("kit/kit.yaml")).unwrap();
    assert!(manifest.contains("\nlanguages: ["), "the kit names its languages");
    let lines = manifest.lines().map(|line| if line.starts_with("languages: [") { "languages: [en, fr]" } else { line });
    // Words in the drawing have tests of their own: longer ones may move the sheets.
    let text = (lines.collect::<Vec<_>>().join("\n") + "\n").replace("translate-words: true", "translate-words: false");
    fs::write(scene.path("kit/kit.yaml"), text).unwrap();
    let _ = fs::remove_dir_all(scene.path("kit/languages"));
    assert_eq!(scene.run(&["catalogue", "update", "kit"]).code, 0);
    scene
}

/// Fills in every text that has none, by the words between its quotes.
fn translated(po: &str, prefix: &str) -> String {
    let mut id = String::new();
    let mut text = String::new();
    for line in po.lines() {
        if let Some(rest) = line.strip_prefix("msgid \"") {
            id = rest.trim_end_matches('"').to_owned();
        }
        match line {
            "msgstr \"\"" if !id.is_empty() => text += &format!("msgstr \"{prefix}{id}\"\n"),
            other => text += &format!("{other}\n"),
        }
    }
    text
}

#[test]
fn a_translation_goes_out_and_comes_back() {
    let scene = kit();
    let unfinished = scene.run(&["catalogue", "status", "kit"]);
    assert_eq!(unfinished.code, 1);
    assert!(
        unfinished.stdout.contains("missing") && unfinished.stderr.contains("catalogue-unfinished"),
        "{}",
        unfinished.stderr
    );

    let bundled = scene.run(&["catalogue", "bundle", "kit", "--out", "sent"]);
    assert_eq!(bundled.code, 0, "{}", bundled.stderr);
    let zip = fs::read(scene.path("sent/ropewalk-tote-1.0.0-translate-fr.zip")).unwrap();
    zip::ZipArchive::new(std::io::Cursor::new(zip)).unwrap().extract(scene.path("theirs")).unwrap();
    assert!(!scene.path("theirs/ropewalk-tote/tote.svg").exists(), "no drawing leaves the house");
    let catalogue = scene.path("theirs/ropewalk-tote/languages/fr.po");
    fs::write(&catalogue, translated(&fs::read_to_string(&catalogue).unwrap(), "fr ")).unwrap();

    // In the translator's hands: the guide without the drawing, and nothing left to do.
    let guide = scene.run(&["guide", "theirs/ropewalk-tote"]);
    assert_eq!(guide.code, 0, "{}", guide.stderr);
    assert!(
        fs::read_to_string(scene.path("theirs/ropewalk-tote/out/ropewalk-tote-1.0.0-guide-fr.html"))
            .unwrap()
            .contains("fr Ropewalk tote")
    );
    assert_eq!(scene.run(&["catalogue", "status", "theirs/ropewalk-tote", "--language", "fr"]).code, 0);

    // Back at the publisher's.
    let merged = scene.run(&["catalogue", "merge", "kit", "theirs/ropewalk-tote/languages/fr.po"]);
    assert_eq!(merged.code, 0, "{}", merged.stderr);
    assert_eq!(scene.run(&["catalogue", "status", "kit"]).code, 0);
    assert_eq!(scene.run(&["build", "kit", "--paper", "a4", "--deny-warnings"]).code, 0);
    // The guide of the package is the one that the translator saw.
    let own = scene.run(&["guide", "kit", "--language", "fr", "--out", "own"]);
    assert_eq!(own.code, 0, "{}", own.stderr);
    let page = |path: &str| fs::read(scene.path(path)).unwrap();
    let (theirs, ours) =
        (page("theirs/ropewalk-tote/out/ropewalk-tote-1.0.0-guide-fr.html"), page("own/ropewalk-tote-1.0.0-guide-fr.html"));
    assert!(theirs == ours, "{} and {} bytes", theirs.len(), ours.len());
}

#[test]
fn a_second_translation_keeps_what_it_replaces() {
    let scene = kit();
    let empty = fs::read_to_string(scene.path("kit/languages/fr.po")).unwrap();
    fs::write(scene.path("one.po"), translated(&empty, "un ")).unwrap();
    fs::write(scene.path("two.po"), translated(&empty, "deux ")).unwrap();
    assert_eq!(scene.run(&["catalogue", "merge", "kit", "one.po"]).code, 0);
    assert!(!scene.path("kit/languages/fr.before-1.po").exists());
    assert_eq!(scene.run(&["catalogue", "merge", "kit", "two.po"]).code, 0);
    assert!(fs::read_to_string(scene.path("kit/languages/fr.before-1.po")).unwrap().contains("\"un Ropewalk tote\""));
    assert!(fs::read_to_string(scene.path("kit/languages/fr.po")).unwrap().contains("\"deux Ropewalk tote\""));
}

#[test]
fn files_of_another_kit_edition_or_language_are_refused() {
    let scene = kit();
    let mine = fs::read_to_string(scene.path("kit/languages/fr.po")).unwrap();
    let cases = [
        ("tote 1.0.0", "another-kit 1.0.0", "po-other-kit"),
        ("ropewalk-tote 1.0.0", "", "po-other-kit"),
        ("1.0.0", "0.9.0", "po-other-edition"),
        ("Language: fr", "Language: de", "po-other-language"),
    ];
    for (words, instead, code) in cases {
        fs::write(scene.path("x.po"), mine.replacen(words, instead, 1)).unwrap();
        let outcome = scene.run(&["catalogue", "merge", "kit", "x.po", "--language", "fr", "--format", "json"]);
        assert!(outcome.code == 1 && outcome.stdout.contains(code), "{code}: {}{}", outcome.stdout, outcome.stderr);
        assert_eq!(fs::read_to_string(scene.path("kit/languages/fr.po")).unwrap(), mine, "nothing is changed");
    }
    fs::write(scene.path("x.po"), translated(&mine.replacen("1.0.0", "0.9.0", 1), "fr ")).unwrap();
    assert_eq!(scene.run(&["catalogue", "merge", "kit", "x.po", "--any-edition"]).code, 0);
    assert_eq!(scene.run(&["catalogue", "status", "kit"]).code, 0);
}

#[test]
fn xliff_goes_out_and_comes_back() {
    let scene = kit();
    assert_eq!(scene.run(&["catalogue", "export", "kit", "--out", "fr.xlf"]).code, 0);
    let text = fs::read_to_string(scene.path("fr.xlf")).unwrap();
    let filled = text.replace("</source>", "</source><target>traduit</target>");
    assert!(filled != text);
    fs::write(scene.path("fr.xlf"), filled).unwrap();
    let merged = scene.run(&["catalogue", "merge", "kit", "fr.xlf"]);
    assert_eq!(merged.code, 0, "{}", merged.stderr);
    assert_eq!(scene.run(&["catalogue", "status", "kit"]).code, 0);
    // A file is never written over.
    assert_eq!(scene.run(&["catalogue", "export", "kit", "--out", "fr.xlf"]).code, 3);
}

#[test]
fn a_gap_is_told_and_marked_or_stops_the_build() {
    let scene = kit();
    let outcome = scene.run(&["build", "kit", "--paper", "a4"]);
    assert!(outcome.code == 0 && outcome.stderr.contains("text-untranslated"), "{}", outcome.stderr);
    let manifest = fs::read_to_string(scene.path("kit/kit.yaml")).unwrap();
    fs::write(scene.path("kit/kit.yaml"), manifest + "untranslated: refuse\n").unwrap();
    let outcome = scene.run(&["build", "kit", "--paper", "a4", "--format", "json"]);
    assert!(
        outcome.code == 1 && outcome.findings().iter().any(|finding| finding.code == "text-untranslated"),
        "{}",
        outcome.stdout
    );
}

#[test]
fn a_language_that_kitwright_does_not_know_is_translated_whole() {
    let scene = kit();
    let manifest = fs::read_to_string(scene.path("kit/kit.yaml")).unwrap();
    fs::write(scene.path("kit/kit.yaml"), manifest.replace("languages: [en, fr]", "languages: [en, nl]")).unwrap();
    let none = scene.run(&["check", "kit", "--format", "json"]);
    assert!(none.findings().iter().any(|finding| finding.code == "language-unknown"), "{}", none.stdout);
    assert_eq!(scene.run(&["catalogue", "update", "kit"]).code, 0);
    let path = scene.path("kit/languages/nl.po");
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains("msgctxt \"kitwright/guide.title\""));
    // An empty one is enough to work on: the translator's bundle can be packed.
    scene.run(&["catalogue", "bundle", "kit", "--language", "nl"]).expect_code(0);
    fs::write(
        &path,
        text.replace(
            "msgid \"Check the scale first\"\nmsgstr \"\"",
            "msgid \"Check the scale first\"\nmsgstr \"Controleer de schaal\"",
        ),
    )
    .unwrap();
    let some = fs::read_to_string(&path).unwrap();
    assert!(some.contains("Controleer"), "the guide has that heading");
    scene.run(&["guide", "kit", "--language", "nl", "--out", "guides"]).expect_code(0);
    let page = fs::read_to_string(scene.path("guides/ropewalk-tote-1.0.0-guide-nl.html")).unwrap();
    assert!(page.contains("Controleer de schaal") && page.contains("lang=\"nl\""));
    // What is not translated yet is in English, and says so.
    assert!(page.contains("Words of the trade [en]") && !page.contains("Controleer de schaal [en]"), "{page}");
}

#[test]
fn broken_and_hostile_catalogues_are_told_and_left_alone() {
    let scene = kit();
    let path = scene.path("kit/languages/fr.po");
    let long = format!("msgctxt \"kit.title\"\nmsgid \"Ropewalk tote\"\nmsgstr \"{}\"\n", "é".repeat(4_000_000));
    let cases: [(&[u8], &str); 5] = [
        (b"msgid \"a\nmsgstr \"b\"\n", "po-syntax"),
        (b"caf\xe9", "po-unreadable"),
        (b"\xff\xfem\0s\0g\0", "po-unreadable"),
        (&[b'x'; 10_000_001], "po-unreadable"),
        (long.as_bytes(), "translation-unfit"),
    ];
    for (bytes, code) in cases {
        fs::write(&path, bytes).unwrap();
        let outcome = scene.run(&["check", "kit", "--format", "json"]);
        assert!(outcome.findings().iter().any(|finding| finding.code == code), "{code}: {}", outcome.stderr);
        if code != "translation-unfit" {
            assert_eq!(scene.run(&["catalogue", "update", "kit"]).code, 1, "{code}");
            assert!(fs::read(&path).unwrap() == bytes, "{code}: the file is as it was");
        }
    }
}

#[test]
fn pseudo_languages_need_no_catalogue() {
    let scene = kit();
    let outcome = scene.run(&["guide", "kit", "--language", "en-XA", "--language", "ar-XB", "--out", "try"]);
    assert_eq!(outcome.code, 0, "{}", outcome.stderr);
    let page = |tag: &str| fs::read_to_string(scene.path(&format!("try/ropewalk-tote-1.0.0-guide-{tag}.html"))).unwrap();
    assert!(page("en-XA").contains("Řöþ") || page("en-XA").contains("Řöpéŵ"), "the title has accents");
    assert!(page("ar-XB").contains("dir=\"rtl\""));
}

#[test]
fn the_guide_is_made_again_when_a_file_is_saved() {
    let scene = kit();
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_kitwright"))
        .args(["guide", "kit", "--language", "fr", "--watch"])
        .current_dir(scene.path("."))
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let page = scene.path("kit/out/ropewalk-tote-1.0.0-guide-fr.html");
    let holds = |words: &str| fs::read_to_string(&page).is_ok_and(|text| text.contains(words));
    // No test of speed: it waits as long as it takes, up to two minutes on a busy machine.
    let wait = |words: &str| {
        (0..600).any(|_| {
            holds(words) || {
                std::thread::sleep(std::time::Duration::from_millis(200));
                false
            }
        })
    };
    let first = wait("</html>");
    let catalogue = scene.path("kit/languages/fr.po");
    fs::write(&catalogue, translated(&fs::read_to_string(&catalogue).unwrap(), "nouveau ")).unwrap();
    let second = wait("nouveau Ropewalk tote");
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(first && second, "made: {first}, made again: {second}");
}

#[test]
fn no_placeholder_is_left_open_in_any_language() {
    let scene = Scene::new().kit("kit", "kits/ropewalk-tote");
    let languages = ["en", "fr", "de", "pl", "ar", "ja"];
    let asked: Vec<&str> = languages.iter().flat_map(|tag| ["--language", tag]).collect();
    scene.run(&[&["guide", "kit", "--out", "guides"], &asked[..]].concat()).expect_code(0);
    scene.run(&["build", "kit", "--out", "built"]).expect_code(0);
    let zip = fs::read(scene.path("built/ropewalk-tote-1.0.0.zip")).unwrap();
    zip::ZipArchive::new(std::io::Cursor::new(zip)).unwrap().extract(scene.path("guides")).unwrap();
    let mut read = 0;
    for (name, bytes) in scene.files().into_iter().filter(|(name, _)| name.starts_with("guides/")) {
        if !name.ends_with(".html") && !name.contains("README") {
            continue;
        }
        let text = String::from_utf8(bytes).unwrap();
        // Style and script have braces of their own.
        let words: String = text.split("<style>").map(|part| part.split("</style>").last().unwrap_or_default()).collect();
        let words: String = words.split("<script>").map(|part| part.split("</script>").last().unwrap_or_default()).collect();
        let open = words.split_once('{').map(|(_, rest)| rest.chars().take(80).collect::<String>());
        assert_eq!(open, None, "{name}");
        read += 1;
    }
    assert!(read >= languages.len() + 4, "only {read} texts were read");
}

#[test]
fn what_a_translator_writes_is_words_and_never_code() {
    let scene = kit();
    let path = scene.path("kit/languages/fr.po");
    let hostile = [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[mot](javascript:alert(1))",
        "[mot](data:text/html,alert)",
        "![mot](https://example.com/a.png)",
        "{n}{n}{kit}{__proto__}",
    ];
    let empty = fs::read_to_string(&path).unwrap();
    for words in hostile {
        let filled: String = empty
            .split_inclusive('\n')
            .map(|line| if line == "msgstr \"\"\n" { format!("msgstr \"{words}\"\n") } else { line.into() })
            .collect();
        // The header is the first entry, and stays as it is.
        let filled = filled.replacen(&format!("msgstr \"{words}\""), "msgstr \"\"", 1);
        fs::write(&path, filled).unwrap();
        let outcome = scene.run(&["guide", "kit", "--language", "fr", "--out", "guides"]).expect_code(0);
        let page = fs::read_to_string(scene.path("guides/ropewalk-tote-1.0.0-guide-fr.html")).unwrap();
        for live in ["<script>alert", "<img src=x", "href=\"javascript:", "href=\"data:", "example.com/a.png\""] {
            assert!(!page.contains(live), "{words} came through as {live}");
        }
        let told = outcome.stderr.contains("translation-unfit");
        assert!(told || words.starts_with('{'), "{words}: {}", outcome.stderr);
    }
}
