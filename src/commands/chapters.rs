//! What the guide takes from files of its own, and what its texts may not hold: chapters, pictures, links.

use super::kit::inside;
use super::pictures::GuidePictures;
use super::texts::MANIFEST;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files::{self, SourceFolder};
use crate::guide::{self, Illustration, OwnText};
use crate::manifest::{self, Kit};
use crate::markdown::{self, Checking};
use crate::press;
use crate::translation::unseen;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// Largest chapter that is read; a thousand pages of a book.
const CHAPTER_BYTES: u64 = 1_000_000;
/// Largest picture that is read.
const PICTURE_BYTES: u64 = 50_000_000;

/// Fills in title and text of the chapters that are files.
pub(super) fn read(kit: &mut Kit, folder: &SourceFolder, findings: &mut Findings) {
    for index in 0..kit.guide.chapters.len() {
        let Some(file) = kit.guide.chapters.get(index).and_then(|chapter| chapter.file.clone()) else { continue };
        let key = format!("guide.chapters[{index}].file");
        let Some(path) = inside(kit, folder, &file, &key, code!("chapter-unreadable"), findings) else { continue };
        let read = folder
            .read_text(&path, CHAPTER_BYTES, code!("chapter-unreadable"))
            .map_err(|finding| finding.at(kit.places.of_path(&key)));
        let parts = findings.take(read.and_then(|text| parts(&file, &text)));
        if let (Some((title, text)), Some(chapter)) = (parts, kit.guide.chapters.get_mut(index)) {
            (chapter.title, chapter.text) = (title, text);
        }
    }
}

/// Holds all texts against what a guide may hold, and reads the pictures that they show, by their path from the kit's folder.
pub(super) fn pictures(kit: &Kit, folder: &SourceFolder, findings: &mut Findings) -> BTreeMap<String, Illustration> {
    let (texts, ids) = (guide::own_texts(kit), guide::ids(kit));
    let mut pictures = BTreeMap::new();
    for text in &texts {
        findings.extend(markdown::check(text.text, &Checking { ids: &ids, place: &|line| text.place(kit, line) }));
        for link in markdown::pictures(text.text) {
            let place = text.place(kit, link.line);
            let Some(path) = findings.take(path(text, &link.path).map_err(|finding| finding.at(place.clone()))) else {
                continue;
            };
            let Entry::Vacant(entry) = pictures.entry(path) else { continue };
            // A picture that cannot be had is told of where it is first shown.
            let read = picture(entry.key(), folder).map_err(|finding| finding.at(place));
            entry.insert(findings.take(read).unwrap_or_default());
        }
    }
    pictures
}

/// Files of the kit that some systems take for one, of those that it names in the manifest or shows.
pub(super) fn twins(kit: &Kit, shared: Option<&String>, findings: &mut Findings) {
    let chapters = kit.guide.chapters.iter().filter_map(|chapter| chapter.file.clone());
    let fonts = kit.fonts.iter().map(|font| font.file.clone());
    let own = std::iter::once(kit.drawing.file.clone()).chain(shared.cloned()).chain(kit.logo.clone());
    let mut known: BTreeMap<String, String> = BTreeMap::new();
    for name in own.chain(chapters).chain(fonts).chain(GuidePictures::names(kit)) {
        let one = known.entry(manifest::folded(&name)).or_insert_with(|| name.clone());
        if *one != name {
            findings.push(error!("file-name/twins", one, other = name).at(Place::file(MANIFEST)));
        }
    }
}

#[allow(clippy::result_large_err, reason = "a finding is the error of every step")]
fn path(text: &OwnText<'_>, address: &str) -> Result<String, Diagnostic> {
    let path = text.picture(address).ok_or_else(|| error!("picture-missing", address))?;
    manifest::inside(&path)
}

#[allow(clippy::result_large_err, reason = "a finding is the error of every step")]
fn picture(path: &str, folder: &SourceFolder) -> Result<Illustration, Diagnostic> {
    let outside = || error!("picture-missing/outside", path);
    let file = files::below(folder, path).ok_or_else(outside)?;
    let (before, after) = press::illustration(path, &folder.read(&file, PICTURE_BYTES, code!("picture-missing"))?)?;
    Ok(Illustration { before, after })
}

/// Title and text of a chapter; the line of the title stays as an empty one, so that all lines keep their numbers.
#[allow(clippy::result_large_err, reason = "a finding is the error of every step")]
fn parts(file: &str, text: &str) -> Result<(String, String), Diagnostic> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    let title = first.trim_end().strip_prefix("# ").map(|title| title.trim_end_matches('#').trim());
    match title.filter(|title| !title.is_empty()) {
        Some(title) => match unseen(title) {
            None => Ok((title.to_owned(), format!("\n{rest}"))),
            Some(sign) => {
                let codepoint = format!("{:04X}", u32::from(sign));
                Err(error!("text-control/markdown", codepoint).at(Place::at(file, 1, 1)))
            }
        },
        None => Err(error!("chapter-title", file).at(Place::at(file, 1, 1))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_line_is_the_title_and_lines_keep_their_numbers() {
        let (title, text) = parts("sewing.md", "\u{feff}# Sewing #\r\n\r\nPin.\n").unwrap();
        assert_eq!((title.as_str(), text.as_str()), ("Sewing", "\n\r\nPin.\n"));
        assert_eq!(text.lines().position(|line| line == "Pin."), Some(2), "line 3 of the file");
        assert_eq!(parts("sewing.md", "# Sewing").unwrap().1, "\n");
        for bad in ["# A\u{7}", "# \u{202e}gniweS"] {
            assert_eq!(parts("sewing.md", bad).unwrap_err().code, "text-control", "{bad:?}");
        }
        for bad in ["", "Sewing", "## Sewing", "#", "# #", "\n# Sewing"] {
            assert_eq!(parts("sewing.md", bad).unwrap_err().code, "chapter-title", "{bad:?}");
        }
    }
}
