//! `new`: a small working kit to begin with.

use super::args;
use super::screen::Screen;
use super::texts::MANIFEST;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use std::path::Path;

/// The files of the first kit.
const FILES: [(&str, &str); 2] = [
    (MANIFEST, include_str!("../../templates/kit/kit.yaml")),
    ("drawing.svg", include_str!("../../templates/kit/drawing.svg")),
];

/// Makes the folder and puts the files into it; a folder that holds anything is left alone.
pub(super) fn run(wish: &args::New, screen: &Screen) -> Result<Findings, Diagnostic> {
    if !is_empty(&wish.dir) {
        let shown = wish.dir.display().to_string();
        return Err(error!("cannot-write/not-empty", shown).at(Place::file(shown)));
    }
    files::create_folder(&wish.dir)?;
    for (name, text) in FILES {
        files::write_new(&wish.dir.join(name), text.as_bytes())?;
    }
    screen.say(&say!("made-first-kit", dir = wish.dir.display()));
    Ok(Findings::new())
}

fn is_empty(dir: &Path) -> bool {
    if !dir.exists() {
        return true;
    }
    std::fs::read_dir(dir).is_ok_and(|mut entries| entries.next().is_none())
}
