//! The chapters of the guide that stand in files of their own.

use super::kit::inside;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::manifest::Kit;
use std::path::Path;

/// Largest chapter that is read; a thousand pages of a book.
const CHAPTER_BYTES: u64 = 1_000_000;
/// Code of a chapter that cannot be had.
const UNREADABLE: &str = "chapter-unreadable";

/// Fills in title and text of the chapters that are files.
pub(super) fn read(kit: &mut Kit, folder: &Path, findings: &mut Findings) {
    for index in 0..kit.guide.chapters.len() {
        let Some(file) = kit.guide.chapters.get(index).and_then(|chapter| chapter.file.clone()) else { continue };
        let key = format!("guide.chapters[{index}].file");
        let Some(path) = inside(kit, folder, &file, &key, UNREADABLE, findings) else { continue };
        let read = files::read_text(&path, CHAPTER_BYTES, UNREADABLE).map_err(|finding| finding.at(kit.places.of_path(&key)));
        let parts = findings.take(read.and_then(|text| parts(&file, &text)));
        if let (Some((title, text)), Some(chapter)) = (parts, kit.guide.chapters.get_mut(index)) {
            (chapter.title, chapter.text) = (title, text);
        }
    }
}

/// Title and text of a chapter; the line of the title stays as an empty one, so that all lines keep their numbers.
#[allow(clippy::result_large_err, reason = "a finding is the error of every step")]
fn parts(file: &str, text: &str) -> Result<(String, String), Diagnostic> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    let title = first.trim_end().strip_prefix("# ").map(|title| title.trim_end_matches('#').trim());
    match title.filter(|title| !title.is_empty()) {
        Some(title) => Ok((title.to_owned(), format!("\n{rest}"))),
        None => {
            let finding = Diagnostic::error("chapter-title", format!("the chapter `{file}` does not begin with its title"));
            Err(finding.at(Place::at(file, 1, 1)).hint("write the title as the first line, as in `# Sewing`"))
        }
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
        for bad in ["", "Sewing", "## Sewing", "#", "# #", "\n# Sewing"] {
            assert_eq!(parts("sewing.md", bad).unwrap_err().code, "chapter-title", "{bad:?}");
        }
    }
}
