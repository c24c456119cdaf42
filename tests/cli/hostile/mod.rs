//! Files made to hurt: each must end within seconds of processor time and 1 GiB of memory, with the finding that fits.

mod drawing;
mod elsewhere;
mod names;
mod words;
mod yaml;

use crate::scene::{Finding, Outcome, Scene};
use std::process::Command;

/// Processor time of a run, in seconds, on all cores together. A program that checks every sum, as these tests run it, takes
/// several times as long as a released one.
const SECONDS: u32 = if cfg!(debug_assertions) { 15 } else { 5 };
/// Address space of a run, in KiB: 1 GiB. The 256 MiB that reading a drawing reserves for its stack are in it.
const KIB: u32 = 1024 * 1024;

/// A kit with a drawing of these bytes.
pub fn kit(drawing: impl AsRef<[u8]>) -> Scene {
    let scene = Scene::new().file("kit/kit.yaml", &manifest(""));
    std::fs::write(scene.path("kit/d.svg"), drawing).unwrap();
    scene
}

/// A small manifest, and what else it says.
pub fn manifest(more: &str) -> String {
    format!(
        "name: small\ntitle: Small\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\n\
         drawing: {{file: d.svg}}\npapers: [a4]\n{more}"
    )
}

/// A drawing of 100 by 100 mm with a line in it, and whatever else.
pub fn svg(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"100mm\" height=\"100mm\" \
         viewBox=\"0 0 100 100\"><path d=\"M0 0h90\" stroke=\"#000\"/>\n{body}</svg>"
    )
}

/// Runs the program within the limits; going beyond them ends it by a signal, which fails the test.
#[cfg(unix)]
pub fn run(scene: &Scene, args: &[&str]) -> Outcome {
    let limits = format!("ulimit -t {SECONDS} && ulimit -v {KIB} && exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &limits, env!("CARGO_BIN_EXE_kitwright")]).args(args);
    scene.outcome(command)
}

/// Where the system knows no such limits, the test says whether the right finding comes.
#[cfg(not(unix))]
pub fn run(scene: &Scene, args: &[&str]) -> Outcome {
    scene.run(args)
}

/// All findings of `check`, which must end as one does that found something, or nothing.
#[track_caller]
pub fn check(scene: &Scene, more: &[&str]) -> Vec<Finding> {
    let outcome = run(scene, &[&["check", "kit", "--format", "json"], more].concat());
    assert!([0, 1, 2].contains(&outcome.code), "{}: {}", outcome.code, outcome.stderr);
    outcome.findings()
}

/// Insists that `check` finds one thing alone: an error with advice.
#[track_caller]
pub fn refused(scene: &Scene, code: &str) {
    let findings = check(scene, &[]);
    let shown: String = format!("{findings:?}").chars().take(2000).collect();
    assert!(
        !findings.is_empty() && findings.iter().all(|finding| finding.code == code && finding.hints > 0),
        "{code}: {shown}"
    );
    assert!(findings.iter().any(|finding| finding.is_error), "{code}: {shown}");
}
