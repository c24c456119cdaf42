//! A scene: a temporary folder with files, the program run in it, and what came of it.

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A temporary folder in which the program is run.
pub struct Scene {
    folder: TempDir,
}

/// What a run gave.
#[derive(Debug)]
pub struct Outcome {
    /// Exit code; a run ended by a signal has none and fails at once.
    pub code: i32,
    /// Standard output.
    pub stdout: String,
    /// Standard error.
    pub stderr: String,
}

impl Scene {
    /// An empty folder.
    pub fn new() -> Self {
        Self { folder: TempDir::new().unwrap() }
    }

    /// The same with a file in it; folders above it are made.
    pub fn file(self, name: &str, text: &str) -> Self {
        self.write(name, text);
        self
    }

    /// The same with a folder of the project copied to `name`, and the plain files beside that folder beside the copy.
    pub fn kit(self, name: &str, from: &str) -> Self {
        let source = project().join(from);
        copy_files(&source, &self.path(name), true);
        copy_files(source.parent().unwrap(), self.path(name).parent().unwrap(), false);
        self
    }

    /// The same with the kit that `new` makes, in the folder `kit`.
    pub fn first_kit() -> Self {
        let scene = Self::new();
        scene.run(&["new", "kit"]).expect_code(0);
        scene
    }

    /// Writes a file.
    pub fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// Changes a text file: every `from` becomes `to`; there must be one.
    pub fn change(&self, name: &str, from: &str, to: &str) {
        let text = String::from_utf8(self.bytes(name)).unwrap();
        assert!(text.contains(from), "`{name}` holds no `{from}`");
        self.write(name, &text.replace(from, to));
    }

    /// A path in the scene.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The bytes of a file.
    pub fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// All files and their bytes, by path, sorted; what builds remember is left out, `cache.rs` looks at it.
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        let mut found = Vec::new();
        gather(self.folder.path(), self.folder.path(), &mut found);
        found.retain(|(name, _)| !name.contains("/.kitwright-cache/"));
        found.sort();
        found
    }

    /// Their paths alone.
    pub fn names(&self) -> Vec<String> {
        self.files().into_iter().map(|(name, _)| name).collect()
    }

    /// Runs the program in the scene.
    pub fn run(&self, args: &[&str]) -> Outcome {
        self.run_with(args, &[])
    }

    /// Runs the program with variables set in its environment.
    pub fn run_with(&self, args: &[&str], variables: &[(&str, &str)]) -> Outcome {
        let mut command = Command::new(env!("CARGO_BIN_EXE_kitwright"));
        command.args(args).envs(variables.iter().copied());
        self.outcome(command)
    }

    /// Runs a command in the scene.
    pub fn outcome(&self, mut command: Command) -> Outcome {
        let output = command.current_dir(self.folder.path()).env_remove("NO_COLOR").output().unwrap();
        let signal = || panic!("{command:?} was ended by a signal: {}", String::from_utf8_lossy(&output.stderr));
        Outcome {
            code: output.status.code().unwrap_or_else(signal),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Outcome {
    /// Insists on an exit code.
    pub fn expect_code(self, code: i32) -> Self {
        assert_eq!(self.code, code, "stdout:\n{}\nstderr:\n{}", self.stdout, self.stderr);
        self
    }

    /// Standard output as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("{error} in:\n{}\n{}", self.stdout, self.stderr))
    }

    /// The findings of a JSON result.
    pub fn findings(&self) -> Vec<Finding> {
        self.json()["findings"].as_array().expect("findings").iter().map(Finding::of).collect()
    }
}

/// A finding, as far as these tests look at it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Kind.
    pub code: String,
    /// File that it points at; empty if it points nowhere.
    pub file: String,
    /// Line.
    pub line: Option<u64>,
    /// Whether it stops the build.
    pub is_error: bool,
    /// What to do.
    pub hints: usize,
}

impl Finding {
    fn of(record: &Value) -> Self {
        let text = |key: &str| record[key].as_str().unwrap_or_default().to_owned();
        Self {
            code: text("code"),
            file: text("file"),
            line: record["line"].as_u64(),
            is_error: text("severity") == "error",
            hints: record["hints"].as_array().map_or(0, Vec::len),
        }
    }
}

/// The project's own folder.
pub fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The folders in a folder of the project, sorted; there must be some.
pub fn folders(name: &str) -> Vec<String> {
    let entries = std::fs::read_dir(project().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    let folders = entries.map(|entry| entry.unwrap()).filter(|entry| entry.path().is_dir());
    let mut names: Vec<String> = folders.map(|entry| entry.file_name().into_string().unwrap()).collect();
    assert!(!names.is_empty(), "{name} holds no folder");
    names.sort();
    names
}

/// Copies plain files; `deep` takes folders along, but for what was built.
fn copy_files(from: &Path, to: &Path, deep: bool) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap().map(Result::unwrap) {
        if entry.path().is_file() {
            std::fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        } else if deep && entry.file_name() != "out" {
            copy_files(&entry.path(), &to.join(entry.file_name()), deep);
        }
    }
}

fn gather(root: &Path, folder: &Path, found: &mut Vec<(String, Vec<u8>)>) {
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            gather(root, &path, found);
        } else {
            let name = path.strip_prefix(root).unwrap().to_string_lossy().into_owned();
            found.push((name, std::fs::read(&path).unwrap()));
        }
    }
}
