//! `explain`: every code has its page, and a slip of the pen is met with the code that was meant.

use crate::scene::Scene;

#[test]
fn a_code_is_explained_in_lines_that_fit() {
    let outcome = Scene::new().run(&["explain", "scale-suspect"]).expect_code(0);
    assert!(outcome.stdout.starts_with("scale-suspect (The drawing: size and scale)\n"), "{}", outcome.stdout);
    assert!(outcome.stdout.contains("units-per-inch"), "{}", outcome.stdout);
    assert!(outcome.stdout.lines().all(|line| line.chars().count() <= 80), "{}", outcome.stdout);
    assert_eq!(outcome.stderr, "");
}

#[test]
fn without_a_code_all_are_listed_by_section() {
    let scene = Scene::new();
    let list = scene.run(&["explain"]).expect_code(0).stdout;
    let record = scene.run(&["explain", "--format", "json"]).expect_code(0).json();
    let codes = record["codes"].as_array().unwrap();
    assert!(codes.len() > 150, "{} codes", codes.len());
    for code in codes {
        assert!(list.contains(&format!("\n  {} ", code["code"].as_str().unwrap())), "{code}");
        assert!(list.contains(code["section"].as_str().unwrap()), "{code}");
    }
}

#[test]
fn an_unknown_code_is_met_with_the_nearest() {
    let scene = Scene::new();
    let near = scene.run(&["explain", "scale-suspekt"]).expect_code(2);
    assert!(near.stderr.contains("argument-bad") && near.stderr.contains("`scale-suspect`"), "{}", near.stderr);
    let far = scene.run(&["explain", "xyz"]).expect_code(2);
    assert!(far.stderr.contains("kitwright explain"), "{}", far.stderr);
}
