//! The chapters of the guide: in the manifest itself or in files, each with a name of its own for links and translators.

use super::files;
use crate::diagnostic::Diagnostic;
use crate::manifest::checks::Check;
use crate::manifest::guide::Chapter;
use crate::manifest::raw_guide::RawChapter;
use crate::manifest::yaml::item_path;

/// Names that other parts of the guide go by: as contexts of texts, or as places that links point to.
const TAKEN: [&str; 26] = [
    "about",
    "changes",
    "check",
    "contents",
    "copy-shop",
    "cover",
    "cutting-list",
    "fabric",
    "fabric-table",
    "glossary",
    "help",
    "introduction",
    "join",
    "licence",
    "map",
    "materials",
    "measures",
    "notions",
    "package",
    "picker",
    "print",
    "safety",
    "size-table",
    "sizes",
    "text",
    "untranslated",
];

/// All chapters that are readable, in order.
pub(super) fn read(check: &mut Check<'_>, list: &[RawChapter]) -> Vec<Chapter> {
    let mut chapters: Vec<Chapter> = Vec::new();
    for (index, raw) in list.iter().enumerate() {
        let path = item_path("guide.chapters", index);
        let Some(chapter) = one(check, &path, raw, index + 1) else { continue };
        if chapters.iter().any(|known| known.context.eq_ignore_ascii_case(&chapter.context)) {
            check.refuse(&format!("{path}.file"), error!("chapter-twice", id = chapter.id()));
        }
        chapters.push(chapter);
    }
    chapters
}

fn one(check: &mut Check<'_>, path: &str, raw: &RawChapter, number: usize) -> Option<Chapter> {
    match (&raw.title, &raw.text, &raw.file) {
        (Some(title), Some(text), None) => {
            let (title, text) = (title.0.trim().to_owned(), text.0.trim().to_owned());
            Some(Chapter { title, text, file: None, context: format!("guide.chapter-{number}") })
        }
        (None, None, Some(file)) => {
            let (file, name) = check.take(&format!("{path}.file"), named(&file.0))?;
            Some(Chapter { file: Some(file), context: format!("guide.{name}"), ..Chapter::default() })
        }
        _ => {
            check.refuse(path, error!("chapter-form", path));
            None
        }
    }
}

/// The path of a chapter's file, and what the chapter is called after it.
fn named(path: &str) -> Result<(String, String), Diagnostic> {
    let file = files::inside(path)?;
    let name = file.rsplit('/').next().unwrap_or_default();
    let Some(stem) = name.strip_suffix(".md").or_else(|| name.strip_suffix(".markdown")) else {
        return Err(error!("chapter-file/ending", file));
    };
    // The name becomes part of addresses and of translators' files, where blanks and dots would be in the way.
    if stem.is_empty() || !stem.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_')) {
        return Err(error!("chapter-file/letters", file));
    }
    let lower = stem.to_lowercase();
    if TAKEN.contains(&lower.as_str()) || ["chapter-", "map-", "term-"].iter().any(|start| lower.starts_with(start)) {
        return Err(error!("chapter-file/taken", file));
    }
    Ok((file.clone(), stem.to_owned()))
}
