//! One manifest from two files: keys that the manifest leaves out come whole from the shared file.

use super::checks::files;
use super::document::Document;
use super::places::Places;
use super::raw::{RawFont, RawManifest};
use super::raw_guide::RawGuide;
use super::words::{Line, NameOr};
use crate::diagnostic::Findings;

/// Keys that tell one kit from another and so have no place in a shared file.
pub(super) const KIT_ONLY: [&str; 5] = ["name", "shared", "edition", "drawing", "blank"];

/// A manifest with its gaps filled.
pub struct Merged {
    /// All sections.
    pub raw: RawManifest,
    /// Where each value stands, in whichever file.
    pub places: Places,
}

/// Fills the gaps of the manifest from the shared file; refuses keys that do not belong there.
pub fn merge(main: &Document, shared: Option<&Document>, findings: &mut Findings) -> Merged {
    let mut places = main.places.clone();
    let Some(shared) = shared else { return Merged { raw: main.raw.clone(), places } };
    for key in KIT_ONLY.iter().filter(|key| shared.places.has(key)) {
        findings.push(error!("key-misplaced", key).at(shared.places.of_path(key)));
    }
    for key in shared.places.top_keys().filter(|key| !main.places.has(key) && !KIT_ONLY.contains(key)) {
        places.adopt(&shared.places, key);
    }
    // Texts were read with each file's own findings; only paths depend on where a file lies.
    let seen_from_kit = from_kit(shared.raw.clone(), main.shared().unwrap_or_default());
    Merged { raw: fill(main.raw.clone(), seen_from_kit), places }
}

/// Rewrites the paths of a shared file, which are relative to it, to be relative to the kit's folder.
fn from_kit(raw: RawManifest, shared: &str) -> RawManifest {
    let joined = |path: Line| Line(files::joined(shared, &path.0));
    RawManifest {
        logo: raw.logo.map(joined),
        fonts: raw.fonts.map(|fonts| fonts.into_iter().map(|font| font.map(|font| joined_font(shared, font))).collect()),
        brand_font: raw.brand_font.map(joined),
        guide: raw.guide.map(|guide| joined_guide(shared, guide)),
        ..raw
    }
}

fn joined_font(shared: &str, font: NameOr<RawFont>) -> NameOr<RawFont> {
    match font {
        NameOr::Name(file) => NameOr::Name(files::joined(shared, &file)),
        // A bare name may mean a font of the machine; one in the shared file's own folder is written with `./`.
        NameOr::Told(font) if !font.file.0.contains('/') => NameOr::Told(font),
        NameOr::Told(font) => NameOr::Told(RawFont { file: Line(files::joined(shared, &font.file.0)), ..font }),
    }
}

/// Chapters in files; pictures of texts are always sought from the kit's folder.
fn joined_guide(shared: &str, mut guide: RawGuide) -> RawGuide {
    for file in guide.chapters.iter_mut().filter_map(|chapter| chapter.file.as_mut()) {
        file.0 = files::joined(shared, &file.0);
    }
    guide
}

fn fill(main: RawManifest, shared: RawManifest) -> RawManifest {
    RawManifest {
        name: main.name,
        shared: main.shared,
        edition: main.edition,
        drawing: main.drawing,
        blank: main.blank,
        title: main.title.or(shared.title),
        publisher: main.publisher.or(shared.publisher),
        date: main.date.or(shared.date),
        copyright: main.copyright.or(shared.copyright),
        logo: main.logo.or(shared.logo),
        mark_colour: main.mark_colour.or(shared.mark_colour),
        source_language: main.source_language.or(shared.source_language),
        languages: main.languages.or(shared.languages),
        sizes: main.sizes.or(shared.sizes),
        base_layers: main.base_layers.or(shared.base_layers),
        never_printed: main.never_printed.or(shared.never_printed),
        papers: main.papers.or(shared.papers),
        margins: main.margins.or(shared.margins),
        margin_sets: main.margin_sets.or(shared.margin_sets),
        border: main.border.or(shared.border),
        layouts: main.layouts.or(shared.layouts),
        joins: main.joins.or(shared.joins),
        join_error: main.join_error.or(shared.join_error),
        size_files: main.size_files.or(shared.size_files),
        projection: main.projection.or(shared.projection),
        untranslated: main.untranslated.or(shared.untranslated),
        size_lines: main.size_lines.or(shared.size_lines),
        size_names: main.size_names.or(shared.size_names),
        fills: main.fills.or(shared.fills),
        control_measurements: main.control_measurements.or(shared.control_measurements),
        cloths: main.cloths.or(shared.cloths),
        seams: main.seams.or(shared.seams),
        fonts: main.fonts.or(shared.fonts),
        brand_font: main.brand_font.or(shared.brand_font),
        guide: main.guide.or(shared.guide),
    }
}
