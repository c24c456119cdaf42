//! What README.md shows is what there is.

use super::{fenced, kitwright, root, same_or_update, text};

/// The line above the example of a plan.
const MARK: &str = "<!-- plan of kits/ropewalk-tote -->\n";

#[test]
fn the_two_commands_stand_first_and_work() {
    let readme = text("README.md");
    let commands: Vec<&str> = fenced(&readme).into_iter().filter(|(word, _)| *word == "sh").map(|(_, line)| line).collect();
    assert_eq!(commands, ["cargo run --release -- build kits/ropewalk-tote", "tests/run"]);
    let folder = tempfile::tempdir().expect("folder");
    kitwright().args(["build", "kits/ropewalk-tote", "--out"]).arg(folder.path()).assert().success();
    assert!(folder.path().join("ropewalk-tote-1.0.0.zip").is_file());
    assert!(root().join("tests/run").is_file(), "the second command is not there");
}

#[test]
fn the_plan_is_the_real_one() {
    let readme = text("README.md");
    let (before, rest) = readme.split_once(MARK).expect("mark");
    let after = rest.strip_prefix("```text\n").and_then(|rest| rest.split_once("```\n")).expect("block").1;
    let plan = kitwright().args(["plan", "kits/ropewalk-tote"]).output().expect("plan");
    let plan = String::from_utf8(plan.stdout).expect("UTF-8");
    // Only the first paper: up to the second blank line that begins one.
    let first: Vec<&str> = plan.split("\n\n").take(4).collect();
    same_or_update("README.md", &format!("{before}{MARK}```text\n{}\n```\n{after}", first.join("\n\n")));
}

/// Minimum Rust as Cargo.toml has it.
#[test]
fn the_rust_version_is_told() {
    let cargo = text("Cargo.toml");
    let version = cargo.lines().find_map(|line| line.strip_prefix("rust-version = \"")?.strip_suffix('"')).expect("version");
    assert!(text("README.md").contains(&format!("Rust {version} or newer")));
}
