//! Forms and answers as testers have them: what is asked, what is read, what is refused, and that no word is lost or run.

use super::*;
use crate::catalogue::Messages;
use crate::diagnostic::Findings;
use crate::review::{Roster, Tester};

/// A form for a tester of the invented publisher Ploverfield Paper; the judge fills it in, too.
pub(super) fn source(messages: &Messages) -> FormSource<'_> {
    let sheet = |index: usize| FormSheet {
        label: format!("{}{}", ["A", "B", "C"][index / 4], index % 4 + 1),
        row: index / 4,
        column: index % 4,
        changed: index == 6,
    };
    let step = |id: &str, title: &str| FormStep { id: id.into(), title: title.into() };
    FormSource {
        kit: "tansy-apron".into(),
        title: "Tansy apron".into(),
        edition: "1.2.0".into(),
        publisher: "Ploverfield Paper".into(),
        round: 2,
        tester: "07".into(),
        sizes: ["38", "40"].map(String::from).to_vec(),
        paper: "a4".into(),
        paper_title: "A4".into(),
        sheets: (0..12).filter(|index| *index != 3).map(sheet).collect(),
        steps: vec![step("check", "Check the scale first"), step("pocket/step-3", "Step 3: turn the <opening>")],
        messages,
    }
}

/// A file of a tester, with some of its text replaced.
fn file(changes: &[(&str, &str)]) -> String {
    let text = r#"{"format": 1, "kit": "tansy-apron", "edition": "1.2.0", "round": 1, "tester": "07", "language": "en",
        "paper": "a4", "printer": "Inkjet", "scale": {"unit": "mm", "across": "97", "down": "97,1"}, "size": "38",
        "map": ["A1", "A2", "B1"], "sheets": [{"sheet": "B1", "kind": "meet", "severity": "stops", "note": "2 mm off"}],
        "steps": [{"step": "check", "title": "Check", "answer": "unclear", "note": "which square?"}],
        "fit": "too long", "overall": "serious", "more": ""}"#;
    changes.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

fn returned(name: &str, changes: &[(&str, &str)]) -> Returned {
    Returned { file: name.into(), path: name.into(), answer: Answer::read(name, file(changes).as_bytes()).unwrap() }
}

fn roster(ids: &[&str]) -> Roster {
    let tester = |id: &&str| Tester { id: (*id).into(), sizes: Vec::new(), paper: "a4".into(), language: "en".into(), line: 1 };
    Roster { testers: ids.iter().map(tester).collect() }
}

fn codes(findings: &Findings) -> Vec<&str> {
    findings.iter().map(|finding| finding.code).collect()
}

#[test]
fn the_form_asks_in_every_language_and_runs_its_own_script_alone() {
    // The judge `tests/judges/feedback.py` takes its form from here, if it is told of no other.
    let kept = std::env::var_os("KITWRIGHT_FORMS").map(std::path::PathBuf::from);
    for language in ["en", "fr", "de", "pl", "ar", "ja"] {
        let messages = Messages::builtin(language).unwrap();
        let html = form(&source(&messages)).unwrap();
        for asked in ["feedback.printer", "feedback.scale", "feedback.fit", "feedback.overall", "feedback.kept"] {
            assert!(html.contains(&messages.text(asked, &[])), "{language}: {asked}");
        }
        assert!(html.contains("default-src 'none'") && html.contains("turn the &lt;opening&gt;"));
        assert_eq!(html.matches("<script").count(), 1);
        assert!(!["innerHTML", "eval(", "http://", "https://"].iter().any(|word| html.contains(word)));
        assert_eq!(html.contains("dir=\"rtl\""), language == "ar");
        if let Some(folder) = &kept {
            std::fs::create_dir_all(folder).unwrap();
            std::fs::write(folder.join(format!("form-{language}.html")), html).unwrap();
        }
    }
}

#[test]
fn the_committed_schema_is_the_one_of_the_types() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/schema/feedback-file.schema.json");
    let text = format!("{:#}\n", schema());
    if std::env::var_os("KITWRIGHT_UPDATE").is_some_and(|value| value == "1") {
        std::fs::write(path, &text).unwrap();
    }
    let committed = std::fs::read_to_string(path).unwrap().replace("\r\n", "\n");
    assert!(committed == text, "run the tests with KITWRIGHT_UPDATE=1 and commit the new schema");
}

#[test]
fn what_no_form_can_have_saved_is_refused() {
    let long = "x".repeat(form::LONGEST_TEXT + 1);
    let refused: [(&[(&str, &str)], &str); 13] = [
        (&[("{", "")], "feedback-unreadable"),
        (&[("\"format\": 1", "\"format\": 2")], "feedback-format"),
        (&[("\"format\": 1, ", "")], "feedback-unreadable"),
        (&[("\"more\": \"\"", "\"more\": \"\", \"html\": \"\"")], "feedback-unreadable"),
        (&[("\"more\": \"\"", "\"more\": [[[[]]]]")], "feedback-unreadable"),
        (&[("tansy-apron", "../apron")], "feedback-unreadable"),
        (&[("1.2.0", "one")], "feedback-unreadable"),
        (&[("\"round\": 1", "\"round\": 0")], "feedback-unreadable"),
        (&[("\"07\"", "\"0 7\"")], "feedback-unreadable"),
        (&[("\"B1\", \"kind", "\"<b>\", \"kind")], "feedback-unreadable"),
        (&[("\"meet\"", "\"melt\"")], "feedback-unreadable"),
        (&[("\"a4\"", "\"a\\u202e4\"")], "feedback-unreadable"),
        (&[("too long", &long)], "feedback-unreadable"),
    ];
    for (changes, code) in refused {
        let finding = Answer::read("a.json", file(changes).as_bytes()).unwrap_err();
        assert_eq!(finding.code, code, "{changes:?}");
        assert_eq!(finding.place.unwrap().file, "a.json");
    }
    let deep = format!("{{\"format\": {}", "[".repeat(100_000));
    assert_eq!(Answer::read("a.json", deep.as_bytes()).unwrap_err().code, "feedback-unreadable");
    assert_eq!(Answer::read("a.json", b"\xff\xfe").unwrap_err().code, "feedback-unreadable");
    assert!(Answer::read("a.json", file(&[("{", "\u{feff}{")]).as_bytes()).is_ok(), "some editors add a mark");
}

#[test]
fn labels_are_places_of_a_map_that_can_be_drawn() {
    for (label, wanted) in [("A1", Some((0, 0))), ("B3", Some((1, 2))), ("AA200", Some((26, 199)))] {
        assert_eq!(answer::place(label), wanted, "{label}");
    }
    for label in ["", "A", "1", "A0", "a1", "A1b", "A 1", "ZZ1", "A201", "AAAAAAAAAAAAAAAAAAAA1", "A99999999999999999999"] {
        assert_eq!(answer::place(label), None, "{label}");
    }
}

#[test]
fn answers_that_do_not_belong_are_left_out_and_the_others_stay() {
    let all = vec![
        returned("a.json", &[]),
        returned("a copy.json", &[]),
        returned("b.json", &[("\"07\"", "\"08\"")]),
        returned("c.json", &[("\"07\"", "\"08\""), ("too long", "too short")]),
        returned("d.json", &[("tansy-apron", "ropewalk-tote")]),
        returned("e.json", &[("\"07\"", "\"09\""), ("1.2.0", "1.1.0")]),
        returned("f.json", &[("\"07\"", "\"66\"")]),
        returned("g.json", &[("\"07\"", "\"08\""), ("\"round\": 1", "\"round\": 2"), ("1.2.0", "1.3.0")]),
    ];
    let roster = roster(&["07", "08", "10"]);
    let (merged, findings) = Merged::of(all, &About { roster: Some(&roster), ..About::default() });
    let merged = merged.unwrap();
    assert_eq!(codes(&findings), ["feedback-other", "feedback-other", "feedback-stranger", "feedback-twice"]);
    let left: Vec<_> = merged.left_out.iter().map(|left| left.file.as_str()).collect();
    assert_eq!(left, ["d.json", "e.json", "f.json", "c.json"]);
    let rounds: Vec<_> = merged.rounds.iter().map(|round| (round.number, round.edition.as_str())).collect();
    assert_eq!(rounds, [(2, "1.3.0"), (1, "1.2.0")]);
    assert_eq!(merged.rounds[0].missing, ["07", "10"]);
    assert_eq!(merged.rounds[1].answered, ["07", "08"]);
    assert!(Merged::of(Vec::new(), &About::default()).0.is_none());
}

#[test]
fn what_is_new_in_a_round_is_marked() {
    let second = [("\"round\": 1", "\"round\": 2"), ("\"B1\", \"kind", "\"A2\", \"kind"), ("\"07\"", "\"08\"")];
    let merged = Merged::of(vec![returned("a.json", &[]), returned("b.json", &second)], &About::default()).0.unwrap();
    let new: Vec<_> = merged.remarks().iter().filter(|one| one.new).map(|one| one.place.to_owned()).collect();
    assert_eq!(new, ["A2"], "the step was told before");
    let html = page(&merged, "t.csv", "0").unwrap();
    assert!(html.contains("New since round 1") && html.contains("sheet B1 on a4"), "what is gone is told, too");
}

#[test]
fn no_word_is_lost_and_none_is_run() {
    let hostile = [
        ("too long", "=HYPERLINK(\\\"x\\\")<script>alert(1)</script>"),
        ("Inkjet", "@SUM(1)\\n\\u202eevil"),
        ("2 mm off", "</ul><img src=x onerror=alert(1)>"),
        ("which square?", "-1+{{ 7*7 }}"),
    ];
    let one = returned("=a.json", &hostile);
    assert!(one.answer.is_strange());
    let merged = Merged::of(vec![one], &About::default()).0.unwrap();
    let html = page(&merged, "t.csv", "0").unwrap();
    let wanted = [
        "=HYPERLINK(&quot;x&quot;)&lt;script&gt;alert(1)&lt;&#x2F;script&gt;",
        "⟨U+202E⟩evil",
        "&lt;img src=x onerror=alert(1)&gt;",
        "-1+{{ 7*7 }}",
        "“fit to page” was on",
        "97.0 %",
    ];
    for words in wanted {
        let plain = words.replace("&#x2F;", "/");
        assert!(html.contains(words) || html.contains(&plain), "{words}");
    }
    assert!(!html.contains("<script") && !html.contains("<img"));
    let table = String::from_utf8(table(&merged).unwrap()).unwrap();
    assert!(table.starts_with("\u{feff}round,edition,tester"));
    for cell in ["\"'=HYPERLINK(\"\"x\"\")<script>", "\"'@SUM(1)\n⟨U+202E⟩evil\"", ",'-1+{{ 7*7 }},", ",'=a.json\r\n"] {
        assert!(table.contains(cell), "{cell}\n{table}");
    }
}

proptest::proptest! {
    #[test]
    fn no_text_makes_it_panic(label in ".*", typed in ".*", text in ".*") {
        let _ = (answer::place(&label), cause::measured(&typed, true), Answer::read("a", text.as_bytes()));
        let json = serde_json::to_string(&text).unwrap();
        let file = file(&[("\"too long\"", &json), ("\"97\"", &json)]);
        if let Ok(answer) = Answer::read("a", file.as_bytes()) {
            let one = Returned { file: label, path: typed, answer };
            let merged = Merged::of(vec![one], &About::default()).0.unwrap();
            assert!(page(&merged, "t", "0").is_ok() && table(&merged).is_ok());
        }
    }
}
