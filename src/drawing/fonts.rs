//! The fonts that words in a drawing may use: the built-in Noto Sans and the kit's own files, and nothing else, ever.

use super::request::{FontFile, Resources};
use crate::diagnostic::{Diagnostic, Findings, Place, or_list};
use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use usvg::fontdb::{self, Database, Family, ID, Query, Style, Weight};
use usvg::{Font, FontFamily, FontStyle};

/// Family for words without one, and for `sans-serif`.
pub const BUILT_IN: &str = "Noto Sans";

/// All fonts of a kit. Files that are no fonts are findings.
pub fn database(resources: &dyn Resources, findings: &mut Findings) -> Database {
    let mut database = Database::new();
    for bytes in [notosans::REGULAR_TTF, notosans::BOLD_TTF, notosans::ITALIC_TTF, notosans::BOLD_ITALIC_TTF] {
        database.load_font_source(fontdb::Source::Binary(Arc::new(bytes)));
    }
    for FontFile { name, bytes } in resources.fonts() {
        if !load(&mut database, bytes) {
            findings.push(error!("font-bad", name).at(Place::file(name)));
        }
    }
    database.set_sans_serif_family(BUILT_IN);
    database
}

/// Adds the fonts of a file; whether there are any. Where its damage brings the library down, there are none.
fn load(database: &mut Database, bytes: &[u8]) -> bool {
    let source = fontdb::Source::Binary(Arc::new(bytes.to_vec()));
    let loaded = catch_unwind(AssertUnwindSafe(|| database.load_font_source(source)));
    loaded.is_ok_and(|fonts| !fonts.is_empty())
}

/// The font for some words, or what is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// This one, as asked.
    Found(ID),
    /// None of the families is there; holds the first.
    NoFamily(String),
    /// The family is there, but not in this style; holds family and style.
    NoStyle(String, String),
}

/// Chooses as CSS does among the families named, but never outside them.
pub fn choose(font: &Font, database: &Database) -> Choice {
    let mut missing: Option<String> = None;
    for family in font.families() {
        let name = match family {
            FontFamily::Named(name) => name.as_str(),
            // A generic family after a missing one would be a silent substitute.
            FontFamily::SansSerif if missing.is_none() => BUILT_IN,
            other => {
                missing.get_or_insert(other.to_string());
                continue;
            }
        };
        // Some editors write the PostScript name where the family belongs.
        let by_script = database.faces().find(|face| face.post_script_name.eq_ignore_ascii_case(name)).map(|face| face.id);
        let style = style(font.style());
        let query = Query { families: &[Family::Name(name)], weight: Weight(font.weight()), style, ..Query::default() };
        match (by_script, database.query(&query)) {
            (_, Some(id)) if suits(font, database, id) => return Choice::Found(id),
            (Some(id), None) => return Choice::Found(id),
            (_, Some(_)) => return Choice::NoStyle(name.to_owned(), described(font)),
            (None, None) => missing.get_or_insert(name.to_owned()),
        };
    }
    Choice::NoFamily(missing.unwrap_or_default())
}

fn style(style: FontStyle) -> Style {
    match style {
        FontStyle::Normal => Style::Normal,
        FontStyle::Italic => Style::Italic,
        FontStyle::Oblique => Style::Oblique,
    }
}

/// Whether a face is what was asked for: upright or not, and on the same side of semi-bold.
fn suits(font: &Font, database: &Database, id: ID) -> bool {
    database.face(id).is_some_and(|face| {
        let slanted = font.style() != FontStyle::Normal;
        let any_weight = !font.variations().is_empty();
        (face.style != Style::Normal) == slanted && (any_weight || (face.weight.0 >= 600) == (font.weight() >= 600))
    })
}

/// The style that was asked for, in words.
fn described(font: &Font) -> String {
    let weight = if font.weight() >= 600 { "bold" } else { "regular" };
    if font.style() == FontStyle::Normal { weight.into() } else { format!("{weight} italic") }
}

/// The finding for words whose font is not there.
pub fn missing(choice: &Choice, words: &str, database: &Database) -> Option<Diagnostic> {
    let what = match choice {
        Choice::Found(_) => return None,
        Choice::NoFamily(family) => say!("font-of-family", family),
        Choice::NoStyle(family, style) => say!("font-in-style", family, style),
    };
    let families: BTreeSet<&str> = database.faces().filter_map(|face| Some(face.families.first()?.0.as_str())).collect();
    Some(error!("font-missing", what, words = shown(words), choices = or_list(families)))
}

/// The finding for a character that its font lacks.
pub fn no_glyph(character: &str, words: &str) -> Diagnostic {
    let codes: Vec<String> = character.chars().map(|c| format!("U+{:04X}", u32::from(c))).collect();
    error!("glyph-missing", character, codes = codes.join(" "), words = shown(words))
}

/// Words short enough for a message.
fn shown(words: &str) -> String {
    let words = words.trim();
    let short: String = words.chars().take(40).collect();
    if short.len() < words.len() { short + "…" } else { short }
}
