//! From one manifest, and perhaps a shared file, to a kit that is complete and checked.

use super::checks::{
    Check, blank, cloths, controls, files, guide, inking, languages, layers, lengths, papers, remarks, seams, words,
};
use super::document::Document;
use super::fonts;
use super::kit::{Colour, DrawingSource, Kit};
use super::merge::{Merged, merge};
use super::places::Places;
use super::raw::{RawDrawing, RawManifest};
use super::section::Section;
use super::yaml::item_path;
use crate::diagnostic::Findings;
use crate::units::Length;

/// Misfit of a join unless the manifest says otherwise (common practice, no published source).
const JOIN_ERROR: Length = Length::mm(0.3);
/// Largest misfit of a join that a manifest may state; our own limit, far above what scissors and tape make of it.
const MAX_JOIN_ERROR: Length = Length::mm(5.0);

/// Checks what a manifest means and fills in the defaults.
///
/// `shared` is the file that the manifest names at `shared:`; without it (because it could not be read) keys that may
/// stand in it are not called missing. There is a kit only if there is no error; what [`super::parse`] found counts too.
/// Warnings stop nothing; they are told only of a complete kit, since a half-read list of papers or sizes would mislead.
pub fn kit(main: &Document, shared: Option<&Document>) -> (Option<Kit>, Findings) {
    let mut findings = Findings::new();
    let Merged { raw, mut places } = merge(main, shared, &mut findings);
    let shared_unread = main.places.has("shared") && shared.is_none();
    let mut check = Check::new(&places, findings, shared_unread);
    let built = build(&mut check, &raw);
    let (complete, mut findings) = check.finish();
    let kit = built.filter(|_| complete).map(|(kit, languages)| {
        move_languages(&mut places, &languages);
        Kit { places, ..kit }
    });
    findings.extend(kit.iter().flat_map(remarks::of));
    (kit, findings)
}

/// The kit without its places, and where each of its languages stood in the list.
fn build(check: &mut Check<'_>, raw: &RawManifest) -> Option<(Kit, Vec<usize>)> {
    let name = check.required("name", &raw.name, |text| words::name(&text.0));
    let title = check.required("title", &raw.title, |text| words::text(&text.0));
    let publisher = check.required("publisher", &raw.publisher, |text| words::text(&text.0));
    // No `?` before all sections were read: one bad value must not hide the findings of the others.
    let edition = check.required("edition", &raw.edition, |text| words::edition(&text.0));
    let date = check.required("date", &raw.date, |text| words::date(&text.0));
    let copyright = check.required("copyright", &raw.copyright, |text| words::text(&text.0));
    let logo = check.optional("logo", &raw.logo, |text| files::inside(&text.0));
    let mark_colour = check.optional("mark-colour", &raw.mark_colour, |text| words::colour(&text.0));
    let (source_language, languages) = languages::read(check, raw);
    let (indices, languages) = languages.into_iter().unzip();
    // Its value was used before; only a refused one counts here.
    check.optional("shared", &raw.shared, |_| Ok(()));
    let blank = blank::read(check, raw);
    // A grid that was refused is still one: then nobody misses the drawing.
    let drawing = match raw.blank {
        Section::Absent => drawing(check, raw),
        _ => Some(DrawingSource::default()),
    };
    let layers = layers::read(check, raw);
    let papers = papers::read(check, raw);
    let sharing = check.optional("layouts", &raw.layouts, |sharing| Ok(*sharing)).unwrap_or_default();
    let joins = check.optional("joins", &raw.joins, |joins| Ok(*joins)).unwrap_or_default();
    let join_error =
        check.optional("join-error", &raw.join_error, |text| lengths::between(&text.0, Length::ZERO, MAX_JOIN_ERROR));
    let size_files = check.optional("size-files", &raw.size_files, |wanted| Ok(*wanted)).unwrap_or_default();
    let untranslated = check.optional("untranslated", &raw.untranslated, |choice| Ok(*choice)).unwrap_or_default();
    let projection = check.optional("projection", &raw.projection, |wanted| Ok(*wanted)).unwrap_or_default();
    let inking = inking::read(check, raw, layers.sizes.len());
    let controls = controls::read(check, raw, &layers.sizes);
    let fonts = fonts::read(check, raw);
    let brand_font = check.optional("brand-font", &raw.brand_font, |text| files::inside(&text.0));
    let guide = guide::read(check, raw);
    let cloths = cloths::read(check, raw, &guide);
    let seams = seams::read(check, raw);
    let kit = Kit {
        name: name?,
        title: title?,
        publisher: publisher?,
        edition: edition?,
        date: date?,
        copyright: copyright?,
        logo,
        mark_colour: mark_colour.unwrap_or(Colour::BLACK),
        source_language,
        languages,
        drawing: drawing?,
        blank,
        sizes: layers.sizes,
        base_layers: layers.base,
        never_printed: layers.never,
        papers,
        sharing,
        joins,
        join_error: join_error.unwrap_or(JOIN_ERROR),
        size_files,
        projection,
        untranslated,
        inking,
        controls,
        cloths,
        seams,
        fonts,
        brand_font,
        guide,
        corrections: None,
        review: None,
        places: Places::default(),
    };
    Some((kit, indices))
}

fn drawing(check: &mut Check<'_>, raw: &RawManifest) -> Option<DrawingSource> {
    let raw = check.required("drawing", &raw.drawing, |drawing| Ok(drawing.clone()))?;
    let RawDrawing { file, units_per_inch, translate_words } = raw;
    let file = check.take("drawing.file", files::inside(&file.0))?;
    let svg = file.rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("svg"));
    if !svg {
        check.refuse("drawing.file", error!("drawing-form", file));
        return None;
    }
    Some(DrawingSource {
        file,
        units_per_inch,
        translate_words: translate_words.unwrap_or_default(),
        ..DrawingSource::default()
    })
}

/// The kit's list of languages begins with the source language, so its places move along.
fn move_languages(places: &mut Places, indices: &[usize]) {
    let path = |index: usize| item_path("languages", index);
    let moved: Vec<_> = indices.iter().map(|&index| places.of_path(&path(index))).collect();
    moved.into_iter().enumerate().for_each(|(index, place)| places.insert(path(index), place));
}
