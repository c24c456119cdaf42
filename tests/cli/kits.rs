//! Kits with one fault each, which must be told exactly; kits with odd but right habits, which must pass; and the demo kits.

use crate::scene::{Finding, Scene, folders, project};

/// One line of an `expect.txt`: a code, and where; without a line number any place in that file will do.
struct Expected {
    code: String,
    file: String,
    line: Option<u64>,
}

impl Expected {
    fn of(text: &str) -> Self {
        let (code, place) = text.split_once(' ').unwrap_or_else(|| panic!("no place in `{text}`"));
        let (file, line) = match place.split_once(':') {
            Some((file, line)) => (file, Some(line.parse().unwrap())),
            None => (place, None),
        };
        Self { code: code.into(), file: file.into(), line }
    }

    fn fits(&self, finding: &Finding) -> bool {
        self.code == finding.code && self.file == finding.file && (self.line.is_none() || self.line == finding.line)
    }
}

/// Takes one finding for each expected one; gives what is wrong, if anything.
fn mismatch(text: &str, mut found: Vec<Finding>) -> Option<String> {
    let (more, lines): (Vec<&str>, Vec<&str>) =
        text.lines().filter(|line| !line.is_empty()).partition(|line| *line == "and more");
    for line in &lines {
        let expected = Expected::of(line);
        match found.iter().position(|finding| expected.fits(finding)) {
            Some(index) => drop(found.remove(index)),
            None => return Some(format!("expected {line}, found {found:?}")),
        }
    }
    (more.is_empty() && !found.is_empty()).then(|| format!("more than expected: {found:?}"))
}

#[test]
fn every_faulty_kit_gives_just_its_findings() {
    let mut wrong = Vec::new();
    for name in folders("tests/faulty") {
        let expected = std::fs::read_to_string(project().join("tests/faulty").join(&name).join("expect.txt")).unwrap();
        let scene = Scene::new().kit("kit", &format!("tests/faulty/{name}"));
        let outcome = scene.run(&["check", "kit", "--format", "json"]);
        let code = if expected.starts_with("manifest-missing") { 2 } else { 1 };
        if outcome.code != code {
            wrong.push(format!("{name}: exit code {}, expected {code}\n{}{}", outcome.code, outcome.stdout, outcome.stderr));
            continue;
        }
        wrong.extend(mismatch(&expected, outcome.findings()).map(|text| format!("{name}: {text}")));
        let helpless = outcome.findings().into_iter().filter(|finding| finding.hints == 0);
        wrong.extend(helpless.map(|finding| format!("{name}: `{}` does not say what to do", finding.code)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_faulty_kit_is_built() {
    for name in folders("tests/faulty") {
        let scene = Scene::new().kit("kit", &format!("tests/faulty/{name}"));
        let before = scene.files();
        let outcome = scene.run(&["build", "kit", "--out", "made"]);
        assert!([1, 2].contains(&outcome.code), "{name} ended with {}:\n{}", outcome.code, outcome.stderr);
        assert_eq!(outcome.stdout, "", "{name} gave data although nothing was made");
        assert!(scene.files() == before, "{name}: files changed: {:?}", scene.names());
        assert!(!scene.path("made").exists(), "{name} left its output folder behind");
    }
}

#[test]
fn good_kits_pass() {
    for name in folders("tests/good") {
        let scene = Scene::new().kit("kit", &format!("tests/good/{name}"));
        let outcome = scene.run(&["check", "kit", "--format", "json", "--deny-warnings"]);
        assert_eq!((outcome.code, outcome.findings()), (0, Vec::new()), "{name}: {}", outcome.stderr);
    }
}

#[test]
fn demo_kits_have_no_errors() {
    for name in ["ropewalk-tote", "tansy-apron"] {
        let scene = Scene::new().kit("kit", &format!("kits/{name}"));
        let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(0);
        assert!(outcome.findings().iter().all(|finding| !finding.is_error), "{name}");
    }
}
