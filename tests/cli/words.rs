//! Help, versions and colour: what a person sees.

use crate::scene::Scene;

const COMMANDS: [&str; 7] = ["new", "check", "plan", "build", "sheet", "verify", "explain"];

#[test]
fn help_names_all_commands_and_exit_codes() {
    let scene = Scene::new();
    for args in [&["--help"][..], &["-h"], &["help"]] {
        let outcome = scene.run(args).expect_code(0);
        for word in COMMANDS.iter().chain(&["Exit codes", "findings", "bug"]) {
            assert!(outcome.stdout.contains(word), "{args:?} does not say `{word}`:\n{}", outcome.stdout);
        }
    }
}

#[test]
fn every_command_has_help_of_its_own() {
    let scene = Scene::new();
    for command in COMMANDS {
        let outcome = scene.run(&[command, "--help"]).expect_code(0);
        assert!(outcome.stdout.contains(&format!("kitwright {command}")), "{}", outcome.stdout);
        assert!(outcome.stdout.contains("--format"), "{}", outcome.stdout);
    }
}

#[test]
fn the_version_is_the_crates() {
    let outcome = Scene::new().run(&["--version"]).expect_code(0);
    assert_eq!(outcome.stdout.trim(), format!("kitwright {}", env!("CARGO_PKG_VERSION")));
}

#[test]
fn colour_is_only_for_those_who_ask() {
    let scene = Scene::new();
    let coloured = |args: &[&str], variables: &[(&str, &str)]| scene.run_with(args, variables).stderr.contains('\u{1b}');
    assert!(!coloured(&["check", "nowhere"], &[]), "not a terminal");
    assert!(coloured(&["check", "nowhere", "--color", "always"], &[]));
    assert!(!coloured(&["check", "nowhere", "--color", "never"], &[]));
    assert!(!coloured(&["check", "nowhere"], &[("NO_COLOR", "1")]));
}

#[test]
fn quiet_is_quiet() {
    let scene = Scene::first_kit();
    let outcome = scene.run(&["build", "kit", "--quiet"]).expect_code(0);
    assert_eq!(outcome.stderr, "");
}

#[test]
fn control_characters_of_a_file_do_not_reach_the_terminal() {
    let scene = Scene::first_kit();
    scene.change("kit/kit.yaml", "border: 3 mm", "\"bor\\e[31mder\": 3 mm");
    let outcome = scene.run(&["check", "kit"]).expect_code(1);
    assert!(!outcome.stderr.contains('\u{1b}'), "{:?}", outcome.stderr);
}
