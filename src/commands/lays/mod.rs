//! `lays`: how much cloth a kit takes, as a table or a record, and pictures of how the pieces lie on it.

mod record;
mod text;

pub use record::LaysRecord;

use super::args;
use super::check::refuse;
use super::kit::{Loaded, load};
use super::laid::{KEPT, written};
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::guide::lay_pictures;
use crate::lays::LayBook;
use crate::package::Names;
use crate::press::LAY_MARK;
use std::path::{Path, PathBuf};

/// Largest file that is looked at before it is replaced by a new picture.
const PICTURE_BYTES: u64 = 10_000_000;

/// Searches all lays and shows them.
pub(super) fn run(wish: &args::Lays, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    if loaded.as_ref().is_some_and(|loaded| !loaded.laid.is_some()) {
        findings.push(error!("cloths-missing"));
    }
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    let Some(book) = loaded.laid.book(&loaded.kit, &loaded.store)? else { return Ok(findings) };
    let mut files = Vec::new();
    if let Some(folder) = &wish.out {
        files.extend(pictures(&loaded, &book, folder)?);
    }
    if wish.keep {
        let path = loaded.folder.join(KEPT);
        files::replace(&path, &written(&book))?;
        files.push(path.display().to_string());
    }
    if screen.for_machines() {
        screen.record(&record::record(&loaded, book, files, &findings));
        return Ok(findings);
    }
    screen.findings(&findings);
    screen.data(&text::text(&loaded, &book));
    files.iter().for_each(|file| screen.say(file));
    Ok(findings)
}

/// Writes a picture of each lay, in the language that the publisher writes in.
fn pictures(loaded: &Loaded, book: &LayBook, folder: &Path) -> Result<Vec<String>, Diagnostic> {
    files::create_folder(folder)?;
    let source = loaded.languages.first().ok_or_else(|| error!("bug-languages"))?;
    let drawn = lay_pictures(book, &source.messages, &source.words);
    let named = drawn.into_iter().map(|(what, svg)| (folder.join(Names::of(&loaded.kit).lay(&what)), svg));
    let pictures: Vec<(PathBuf, String)> = named.collect();
    pictures.iter().try_for_each(|(path, _)| refuse_strangers(path))?;
    let all: Vec<(&Path, &[u8])> = pictures.iter().map(|(path, svg)| (path.as_path(), svg.as_bytes())).collect();
    files::replace_all(&all)?;
    Ok(pictures.iter().map(|(path, _)| path.display().to_string()).collect())
}

/// Only a picture of ours is replaced.
fn refuse_strangers(path: &Path) -> Result<(), Diagnostic> {
    let ours = |bytes: Vec<u8>| bytes.windows(LAY_MARK.len()).any(|part| part == LAY_MARK.as_bytes());
    if !path.exists() || files::read(path, PICTURE_BYTES, code!("cannot-write")).is_ok_and(ours) {
        return Ok(());
    }
    let shown = path.display().to_string();
    Err(error!("cannot-write/no-lay", shown).at(Place::file(shown)))
}
