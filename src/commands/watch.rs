//! Waiting for the files of a kit to change: they are looked at a few times a second, which works on every kind of disk.

use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long to sleep between two looks.
const PAUSE: Duration = Duration::from_millis(300);
/// How deep folders are looked into, and how many files are looked at.
const DEPTH: usize = 4;
const MOST: usize = 5_000;

/// The state of a kit's files when they were last looked at.
pub(super) struct Watch {
    kit: PathBuf,
    seen: Vec<String>,
}

impl Watch {
    /// Begins to watch a kit, given by its folder or manifest.
    pub(super) fn of(kit: &Path) -> Self {
        Self { kit: kit.to_path_buf(), seen: state(kit, |_| true) }
    }

    /// Returns when a file was saved, made or removed.
    pub(super) fn wait(&mut self) {
        loop {
            std::thread::sleep(PAUSE);
            let now = state(&self.kit, |_| true);
            if now != self.seen {
                // An editor that writes in two goes gets the time for both.
                std::thread::sleep(PAUSE);
                self.seen = state(&self.kit, |_| true);
                return;
            }
        }
    }

    /// The state of all files that the sheets may depend on: not chapters, catalogues.
    pub(super) fn drawing_of(kit: &Path) -> Vec<String> {
        state(kit, |path| !["md", "po"].contains(&path.extension().and_then(|ending| ending.to_str()).unwrap_or_default()))
    }
}

/// A line for each file of the kit's folder and each plain file beside it: path, size, time of the last change.
fn state(kit: &Path, wanted: impl Fn(&Path) -> bool) -> Vec<String> {
    let folder = if kit.is_dir() { kit } else { kit.parent().unwrap_or(Path::new(".")) };
    let mut files = Vec::new();
    gather(folder, DEPTH, &mut files);
    gather(&folder.join(".."), 0, &mut files);
    files.sort();
    let line = |path: &PathBuf| {
        let about = std::fs::metadata(path).ok()?;
        Some(format!("{} {} {:?}", path.display(), about.len(), about.modified().ok()))
    };
    files.iter().filter(|path| wanted(path)).filter_map(line).collect()
}

fn gather(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) {
    for path in std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()) {
        let hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        // What kitwright makes is no reason to make it again.
        if hidden || found.len() >= MOST || path.file_name().is_some_and(|name| name == "out") {
            continue;
        }
        if path.is_dir() {
            if depth > 0 {
                gather(&path, depth - 1, found);
            }
        } else {
            found.push(path);
        }
    }
}
