//! What testers send back, through the program: page, table and record, who has not answered, and files that are left alone.

use crate::scene::Scene;

/// A file of a tester for the kit that `new` makes.
fn answer(tester: &str, round: u32, fit: &str) -> String {
    format!(
        "{{\"format\": 1, \"kit\": \"first-kit\", \"edition\": \"0.1.0\", \"round\": {round}, \"tester\": \"{tester}\",
         \"language\": \"en\", \"paper\": \"a4\", \"printer\": \"\", \"scale\": {{\"unit\": \"in\", \"across\": \"3 15/16\",
         \"down\": \"\"}}, \"size\": \"\", \"map\": [\"A1\"], \"sheets\": [{{\"sheet\": \"A1\", \"kind\": \"cut\",
         \"severity\": \"small\", \"note\": \"foot\"}}], \"steps\": [{{\"step\": \"check\", \"title\": \"x\", \"answer\": \"ok\",
         \"note\": \"\"}}], \"fit\": \"{fit}\", \"overall\": \"ready\", \"more\": \"\"}}"
    )
}

/// Two rounds, and files that do not belong.
fn scene() -> Scene {
    Scene::first_kit()
        .file("in/a.json", &answer("07", 1, "good"))
        .file("in/b.json", &answer("07", 2, "better"))
        .file("in/c.json", &answer("66", 2, "who?"))
        .file("in/d.json", &answer("08", 2, "other kit").replace("first-kit", "other-kit"))
        .file("in/e.json", "{")
        .file("in/note.txt", "no answer")
        .file("testers.yaml", "testers:\n  - {id: \"07\"}\n  - {id: anna}\n")
}

#[test]
fn answers_become_a_page_and_a_table_and_strangers_stay_out() {
    let scene = scene();
    let args = ["feedback", "in", "--kit", "kit", "--roster", "testers.yaml"];
    let outcome = scene.run(&args).expect_code(0);
    for code in ["feedback-unreadable", "feedback-other", "feedback-stranger"] {
        assert!(outcome.stderr.contains(&format!("[{code}]")), "{code}: {}", outcome.stderr);
    }
    assert!(outcome.stderr.contains("not yet answered: anna"), "{}", outcome.stderr);
    let files: Vec<&str> = outcome.stdout.lines().collect();
    let page = String::from_utf8(scene.bytes(files[0])).unwrap();
    let table = String::from_utf8(scene.bytes(files[1])).unwrap();
    assert!(page.contains("better") && page.contains("true to size") && !page.contains("who?"));
    assert!(table.starts_with("\u{feff}round,edition") && table.contains(",fit,,,,good,,a.json\r\n"), "{table}");
    // Again: the same bytes, in the place of our own.
    let before = scene.files();
    scene.run(&args).expect_code(0);
    assert!(scene.files() == before);
    scene.change(files[1], "good", "good!");
    assert!(scene.run(&args).expect_code(3).stderr.contains("[cannot-write]"));
}

#[test]
fn nothing_is_written_where_nothing_can_be_read() {
    let scene = Scene::first_kit().file("in/e.json", "{").file("testers.yaml", "testers:\n  - {id: a b}\n");
    let before = scene.files();
    assert!(scene.run(&["feedback", "in"]).expect_code(1).stderr.contains("[feedback-none]"));
    let refused = scene.run(&["feedback", "in", "--kit", "kit", "--roster", "testers.yaml"]).expect_code(1);
    assert!(refused.stderr.contains("[tester-id]") && refused.stderr.contains("testers.yaml:2"), "{}", refused.stderr);
    let missing = scene.run(&["feedback", "in", "--kit", "kit", "--roster", "nowhere.yaml"]).expect_code(1);
    assert!(missing.stderr.contains("[roster-unreadable]"));
    scene.run(&["feedback", "in", "--roster", "testers.yaml"]).expect_code(2);
    assert!(scene.files() == before);
}

#[test]
fn signs_that_cannot_be_seen_are_told_of_and_too_many_files_refused() {
    let scene = Scene::new().file("in/a.json", &answer("07", 1, "\\u202ereversed"));
    let outcome = scene.run(&["feedback", "in/a.json"]).expect_code(0);
    assert!(outcome.stderr.contains("[feedback-signs]"));
    assert!(String::from_utf8(scene.bytes("first-kit-feedback.html")).unwrap().contains("⟨U+202E⟩reversed"));
    for number in 0..2001 {
        scene.write(&format!("many/{number}.json"), "{}");
    }
    assert!(scene.run(&["feedback", "many"]).expect_code(1).stderr.contains("[feedback-many]"));
    scene.write("large.json", &" ".repeat(1_000_001));
    assert!(scene.run(&["feedback", "large.json"]).expect_code(1).stderr.contains("[feedback-unreadable]"));
}
