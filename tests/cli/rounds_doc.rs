//! docs/rounds.md, word for word: every command in its order, and between them what the publisher does by hand.

use crate::scene::{Scene, project};

/// A part of the document: its heading, the commands, and a file to be written.
struct Part {
    heading: String,
    commands: Vec<String>,
    file: Option<String>,
}

fn parts() -> Vec<Part> {
    let text = std::fs::read_to_string(project().join("docs/rounds.md")).unwrap();
    let part = |text: &str| {
        let blocks = |kind: &str| -> Vec<String> {
            let fence = format!("```{kind}\n");
            let opened = text.split(&fence).skip(1);
            opened.map(|block| block.split("```").next().unwrap().to_owned()).collect()
        };
        Part {
            heading: text.lines().next().unwrap_or_default().to_owned(),
            commands: blocks("sh").concat().lines().map(str::to_owned).collect(),
            file: blocks("yaml").pop(),
        }
    };
    text.split("\n## ").skip(1).map(part).collect()
}

/// What a tester sends back.
const ANSWER: &str = r#"{"format": 1, "kit": "tansy-apron", "edition": "1.0.0", "round": 1, "tester": "07", "language": "en",
    "paper": "a4", "printer": "ink jet", "scale": {"unit": "mm", "across": "100", "down": "100"}, "size": "40", "map": ["A1"],
    "sheets": [{"sheet": "A1", "kind": "line", "severity": "small", "note": "the fold is hard to see"}], "steps": [],
    "fit": "good", "overall": "ready", "more": ""}"#;

/// What the publisher does before the commands of a part.
fn by_hand(scene: &Scene, part: &Part) {
    const KIT: &str = "kits/tansy-apron";
    match part.heading.as_str() {
        "Who tests what" => scene.write(&format!("{KIT}/testers.yaml"), part.file.as_ref().unwrap()),
        "What they say" => scene.write("answers/07.json", ANSWER),
        "The correction" => {
            // The grid is held where it lies, as the plan says, and a mark of the body is made longer.
            let plan = scene.run(&["plan", KIT]).expect_code(0).stdout;
            assert!(plan.contains("to hold it there: placement: {from:"), "{plan}");
            let line = scene.bytes(&format!("{KIT}/apron.svg"));
            assert!(String::from_utf8(line).unwrap().contains(MARK.0), "the mark to correct is there");
            scene.change(&format!("{KIT}/apron.svg"), MARK.0, MARK.1);
        }
        "A corrected second edition" => {
            scene.change(&format!("{KIT}/apron.svg"), MARK.1, "M229,414 L241,414 L241,422");
            scene.change(&format!("{KIT}/kit.yaml"), "edition: 1.0.0", "edition: 1.1.0");
            scene.change(&format!("{KIT}/kit.yaml"), "Edition 1.0.0 is the first.", "A mark was too short.");
            for language in ["fr", "de", "pl"] {
                let file = format!("{KIT}/languages/{language}.po");
                scene.change(&file, "msgid \"Edition 1.0.0 is the first.\"", "msgid \"A mark was too short.\"");
            }
        }
        _ => {}
    }
}

/// A mark on the body of size 44: as it is, and as it is corrected.
const MARK: (&str, &str) = ("M229,414 L237,414 L237,422", "M229,414 L239,414 L239,422");

#[test]
fn the_way_through_the_rounds_is_as_it_is_told() {
    let scene = Scene::new().kit("kits/tansy-apron", "kits/tansy-apron");
    let mut outcomes = Vec::new();
    for part in parts() {
        by_hand(&scene, &part);
        for command in &part.commands {
            let words: Vec<&str> = command.strip_prefix("kitwright ").unwrap().split_whitespace().collect();
            let outcome = scene.run(&words).expect_code(0);
            outcomes.push((part.heading.clone(), words[0].to_owned(), outcome.stdout));
        }
    }
    let said = |heading: &str, command: &str| -> &str {
        let found = outcomes.iter().find(|(part, name, _)| part == heading && name == command);
        &found.unwrap_or_else(|| panic!("{heading}: {command}")).2
    };
    assert!(said("The first round", "verify").contains("fine"));
    assert!(said("The second round", "review").contains("tansy-apron-1.0.0-review-2-07.zip"));
    // One mark of one size lies on one sheet of each home paper.
    let changed = said("A corrected second edition", "compare");
    assert!(changed.contains("A4: reprint sheet B2\n") && changed.contains("US Letter: reprint sheet B2\n"), "{changed}");
    assert!(said("A corrected second edition", "release").contains("tansy-apron-1.1.0-from-1.0.0.zip"));
    scene.run(&["verify", "kits/tansy-apron/out/tansy-apron-1.1.0.zip"]).expect_code(0);
}
