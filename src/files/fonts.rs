//! Where fonts lie: the files of a folder in sorted order, and the folders in which systems keep theirs.

use std::path::{Path, PathBuf};

/// How deep a folder of fonts is looked through; systems sort theirs into two or three levels.
const DEPTH: usize = 5;
/// Most files that are looked at, so that a wrong folder costs no minutes.
const MOST: usize = 20_000;

/// All font files in a folder and those below it, sorted by path; none if it is not there.
pub fn fonts_in(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    gather(folder, DEPTH, &mut found);
    found.sort();
    found
}

fn gather(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for path in entries.map(|entry| entry.path()) {
        if found.len() >= MOST {
            return;
        }
        if path.is_dir() && depth > 0 {
            gather(&path, depth - 1, found);
        } else if is_font(&path) {
            found.push(path);
        }
    }
}

fn is_font(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    ["ttf", "otf", "ttc"].iter().any(|known| ending.eq_ignore_ascii_case(known))
}

/// The folders of fonts of Linux, macOS and Windows, the user's own after the system's; those that are not there do no harm.
pub fn system_font_folders() -> Vec<PathBuf> {
    let fixed = ["/usr/share/fonts", "/usr/local/share/fonts", "/System/Library/Fonts", "/Library/Fonts"].map(PathBuf::from);
    let below = |variable: &str, folders: &[&str]| -> Vec<PathBuf> {
        let base = std::env::var_os(variable).map(PathBuf::from).filter(|base| base.is_absolute());
        base.into_iter().flat_map(|base| folders.iter().map(move |folder| base.join(folder)).collect::<Vec<_>>()).collect()
    };
    let own = below("HOME", &[".local/share/fonts", ".fonts", "Library/Fonts"]);
    let windows = [below("WINDIR", &["Fonts"]), below("LOCALAPPDATA", &["Microsoft/Windows/Fonts"])].concat();
    fixed.into_iter().chain(own).chain(windows).collect()
}
