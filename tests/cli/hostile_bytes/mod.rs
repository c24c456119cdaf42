//! Files made to do harm: each is refused by name, in time and in bounded memory, and nothing is written.

mod files;
mod fonts;
mod images;
mod packages;
mod zips;

use crate::scene::{Outcome, Scene};
use std::fs::File;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The longest that the program may take over a hostile file.
const LONGEST: Duration = Duration::from_secs(5);
/// The most memory that it may take, in MiB.
const MOST: u64 = 1024;
/// Other programs keep a computer busy too: it is slow only if it is so every time.
const TRIES: usize = 3;

/// Runs the program and insists on its time and memory; a run that goes on much longer is ended.
#[track_caller]
fn bounded(scene: &Scene, args: &[&str]) -> Outcome {
    bounded_as(&|| Command::new(env!("CARGO_BIN_EXE_kitwright")), scene, args)
}

/// The same with a command that starts the program.
#[track_caller]
fn bounded_as(program: &dyn Fn() -> Command, scene: &Scene, args: &[&str]) -> Outcome {
    let runs = (0..TRIES).map(|_| watched(program(), scene, args));
    let run = runs.into_iter().find(|run| run.1 <= LONGEST);
    let (outcome, _, memory) = run.unwrap_or_else(|| panic!("{args:?} takes longer than {LONGEST:?}"));
    assert!(memory <= MOST, "{args:?} takes {memory} MiB");
    outcome
}

/// What a run gave, how long it took, and its peak of memory in MiB (0 where the system does not tell).
fn watched(mut command: Command, scene: &Scene, args: &[&str]) -> (Outcome, Duration, u64) {
    let outside = tempfile::tempdir().unwrap();
    let (out, err) = (outside.path().join("out"), outside.path().join("err"));
    let start = Instant::now();
    command.args(args).current_dir(scene.path("")).stdin(Stdio::null());
    let mut child = command.stdout(File::create(&out).unwrap()).stderr(File::create(&err).unwrap()).spawn().unwrap();
    let mut memory = 0;
    let status = loop {
        memory = memory.max(peak(child.id()));
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if start.elapsed() > 4 * LONGEST {
            child.kill().unwrap();
            panic!("{args:?} does not end");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    let read = |path| std::fs::read_to_string(path).unwrap();
    let code = status.code().unwrap_or_else(|| panic!("{args:?} was ended by a signal: {}", read(&err)));
    (Outcome { code, stdout: read(&out), stderr: read(&err) }, start.elapsed(), memory)
}

/// The most memory that a process ever took, in MiB (proc(5): `VmHWM`, in KiB).
fn peak(process: u32) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.trim().trim_end_matches(" kB").parse::<u64>().ok()).unwrap_or(0) / 1024
}

/// Insists that a finding was told, that the program did not panic, and that nothing was written.
#[track_caller]
fn refuses(scene: &Scene, args: &[&str], code: &str) -> Outcome {
    let before = scene.names();
    let outcome = bounded(scene, args);
    let said = outcome.stderr.contains(&format!("[{code}]"));
    assert!(said && [1, 2].contains(&outcome.code), "{args:?}: {code}:\n{}{}", outcome.stdout, outcome.stderr);
    assert!(!outcome.stderr.contains("panicked"), "{}", outcome.stderr);
    assert_eq!(scene.names(), before, "{args:?} writes");
    outcome
}
