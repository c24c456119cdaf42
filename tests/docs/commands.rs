//! Every command line in the documents is one that the program understands.

use super::{documents, fenced, text};
use std::ffi::OsString;

/// Command lines in `sh` blocks, and whole ones between backticks in the prose.
fn lines(text: &str) -> Vec<String> {
    let blocks = fenced(text).into_iter().filter(|(word, _)| *word == "sh").map(|(_, line)| line.trim().to_owned());
    let prose: String = text.split("```").step_by(2).collect();
    let ticked = prose.split('`').skip(1).step_by(2).map(|code| code.replace('\n', " ")).filter(|code| code.contains(' '));
    blocks.chain(ticked.filter(|code| code.starts_with("kitwright ") || code.starts_with("cargo run "))).collect()
}

/// The words that reach the program: what a shell takes for itself is cut off.
fn words(line: &str) -> Option<Vec<OsString>> {
    let line = line.split(" > ").next().unwrap_or_default();
    let line = match line.strip_prefix("cargo run ") {
        Some(rest) => format!("kitwright {}", rest.split_once("-- ")?.1),
        None => line.to_owned(),
    };
    line.starts_with("kitwright ").then(|| line.split_whitespace().map(OsString::from).collect())
}

#[test]
fn command_lines_are_understood() {
    let mut count = 0;
    for document in documents() {
        for line in lines(&text(&document)) {
            let Some(words) = words(&line) else { continue };
            count += 1;
            // `kitwright build` in a sentence names the command, and no kit.
            let named = words.len() == 2
                && ["new", "check", "plan", "build", "sheet", "guide", "proof", "verify", "explain", "feedback"]
                    .iter()
                    .any(|name| words[1] == *name);
            if let (Err(refusal), false) = (kitwright::commands::understood(words), named) {
                panic!("{}: `{line}` is not understood: {refusal}", document.display());
            }
        }
    }
    assert!(count > 20, "only {count} command lines were found");
}

/// The check above can fail.
#[test]
fn wrong_command_lines_are_refused() {
    for line in ["kitwright bild kit", "kitwright build", "kitwright build kit --papers a4", "kitwright plan kit --format yaml"]
    {
        assert!(kitwright::commands::understood(words(line).expect(line)).is_err(), "{line}");
    }
    assert!(kitwright::commands::understood(words("kitwright help build").expect("help")).is_ok());
}

/// Each command and each of its options is told in docs/commands.md.
#[test]
fn every_option_is_documented() {
    let told = text("docs/commands.md");
    let catalogues = ["update", "status", "bundle", "merge", "export"].map(|what| vec!["catalogue", what]);
    let commands = ["new", "check", "plan", "build", "sheet", "picture", "guide", "proof", "verify", "key", "explain"]
        .map(|command| vec![command]);
    for command in commands.into_iter().chain(catalogues) {
        let (name, all) = (command[0], command.join(" "));
        assert!(told.contains(&format!("## `{name}`")), "{name} has no section");
        let help = super::kitwright().args(&command).arg("--help").output().expect("help");
        let help = String::from_utf8(help.stdout).expect("UTF-8");
        let options = help.split_whitespace().filter_map(|word| word.trim_end_matches([',', ';', ':']).strip_prefix("--"));
        for option in options {
            assert!(told.contains(&format!("`--{option}")), "`--{option}` of `{all}` is not told");
        }
    }
}
