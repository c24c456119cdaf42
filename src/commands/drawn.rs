//! Words in the drawing: what there is to translate, and the drawing with the words of each language.

use super::bundle;
use super::fonts::{self, Shelves};
use super::kit::{KitFiles, drawing_bytes};
use super::languages::Language;
use super::texts::Texts;
use crate::catalogue::{Said, is_pseudo};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::drawing::{self, Drawing, Lettering, Request, Word};
use crate::manifest::{DrawnWords, Kit};
use crate::plan::{self, Layout};
use crate::translation::DRAWING;
use rayon::prelude::*;

/// By how much words may outgrow their room before that is told: a tenth of the air around them, in mm.
const SLACK: f64 = 0.1;

/// The drawing in a language.
#[derive(Clone)]
pub(super) struct Worded {
    /// Tag of the language.
    pub(super) language: String,
    /// With its words.
    pub(super) drawing: Drawing,
}

/// Puts the drawing's words into a kit that was read without its drawing: from a bundle, or from the drawing's file, where they
/// are measured if that is wished.
pub(super) fn know(texts: &mut Texts, measured: bool, findings: &mut Findings) -> Result<(), Diagnostic> {
    let Texts { kit, folder, .. } = texts;
    if !kit.drawing.translate_words {
        return Ok(());
    }
    if bundle::is_bundle(folder) {
        kit.drawing.words = bundle::read(folder)?.words;
        return Ok(());
    }
    let Some(bytes) = drawing_bytes(kit, folder, findings) else { return Ok(()) };
    // What is wrong with the drawing is told by `check`; without it the words only lack their room.
    let mut unheard = Findings::new();
    let drawing = measured.then(|| {
        let fonts = fonts::named(kit, &Shelves { kit: folder, lent: None }, &mut unheard);
        drawing::read(&bytes, &Request::of(kit), &KitFiles { folder, fonts: &fonts }).0
    });
    kit.drawing.words = words(kit, &bytes, drawing.flatten().as_ref());
    Ok(())
}

/// The words of a drawing, with the room that they have in it.
pub(super) fn words(kit: &Kit, bytes: &[u8], drawing: Option<&Drawing>) -> Vec<DrawnWords> {
    let rooms = drawing.map(drawing::rooms).unwrap_or_default();
    let one = |word: Word| {
        let is_it = |(lettering, _): &&(&Lettering, f64)| lettering.origin == word.origin && lettering.text == word.text;
        let set = rooms.iter().find(is_it);
        let Word { text, line, element, .. } = word;
        let (width_mm, room_mm) = (set.map(|(lettering, _)| lettering.area.width()), set.map(|(_, room)| *room));
        DrawnWords { text, line, element, width_mm, room_mm }
    };
    drawing::words(bytes, &Request::of(kit)).into_iter().map(one).collect()
}

/// The drawing in every language that translates any of its words; languages that are made up leave it alone.
pub(super) fn worded(
    kit: &Kit,
    bytes: &[u8],
    files: &KitFiles,
    source: &Drawing,
    languages: &[Language],
    findings: &mut Findings,
) -> Vec<Worded> {
    let wanted = languages.iter().skip(1).filter(|language| kit.drawing.translate_words && !is_pseudo(language.tag()));
    let wanted: Vec<&Language> = wanted.collect();
    let read: Vec<_> = wanted.into_par_iter().filter_map(|language| in_language(kit, bytes, files, source, language)).collect();
    let rooms = if read.is_empty() { Vec::new() } else { drawing::rooms(source) };
    let put = |(language, drawing, more): (&Language, Option<Drawing>, Findings)| {
        // What the drawing has in any language was told of the source language already.
        let told: Vec<(&str, String)> = findings.iter().map(|finding| (finding.code, finding.message.clone())).collect();
        findings.extend(more.into_iter().filter(|finding| !told.contains(&(finding.code, finding.message.clone()))));
        let drawing = drawing?;
        findings.extend(too_wide(kit, &rooms, &drawing, language.tag()));
        Some(Worded { language: language.tag().to_owned(), drawing })
    };
    read.into_iter().filter_map(put).collect()
}

/// The drawing with a language's words, if it has any, and all that is found in it.
fn in_language<'a>(
    kit: &Kit,
    bytes: &[u8],
    files: &KitFiles,
    source: &Drawing,
    language: &'a Language,
) -> Option<(&'a Language, Option<Drawing>, Findings)> {
    let say = |text: &str| match language.words.say(DRAWING, text) {
        Said::Translated(words) => Some(words),
        Said::AsWritten | Said::Untranslated => None,
    };
    kit.drawing.words.iter().find_map(|words| say(&words.text))?;
    let request = Request::of(kit);
    let changed = drawing::with_words(bytes, &request, &say);
    let (read, findings) = drawing::read(&changed, &request, files);
    let known = drawing::same_elements(&request, &changed, bytes);
    Some((language, read.map(|read| source.reworded(&read, &known)), findings))
}

/// Words that run into other ink, measured as they are set. The words of both drawings come in the same order.
fn too_wide(kit: &Kit, rooms: &[(&Lettering, f64)], worded: &Drawing, language: &str) -> Vec<Diagnostic> {
    let pairs = rooms.iter().zip(&worded.lettering).filter(|((mine, _), theirs)| mine.origin == theirs.origin);
    let wide = pairs.filter(|((mine, room), theirs)| mine.text != theirs.text && theirs.area.width() > room + SLACK);
    let finding = |((mine, room), theirs): (&(&Lettering, f64), &Lettering)| {
        warning!(
            "words-too-long",
            text = theirs.text,
            width = format_args!("{:.0}", theirs.area.width().ceil()),
            language,
            room = format_args!("{:.0}", room.floor()),
            file = kit.drawing.file
        )
        .at(mine.origin.clone())
    };
    wide.map(finding).collect()
}

/// Sheets that only the words of another language need: all languages have them, so that all have the same plan.
pub(super) fn more_sheets(layouts: &[Layout], source: &Drawing, worded: &[Worded]) -> Vec<Diagnostic> {
    let bare =
        layouts.iter().flat_map(|layout| plan::bare_sheets(layout, source).into_iter().map(move |sheet| (layout, sheet)));
    let finding = |(layout, sheet): (&Layout, usize)| {
        let sheet = layout.sheets.get(sheet)?;
        let area = sheet.area.to_kurbo_mm();
        let reaches = |lettering: &&Lettering| {
            let turned = kurbo::Affine::rotate(lettering.angle).transform_rect_bbox(lettering.area);
            turned.overlaps(area)
        };
        let words = worded.iter().find_map(|worded| Some((worded, worded.drawing.lettering.iter().find(reaches)?)));
        let why =
            words.map_or_else(String::new, |(worded, it)| say!("by-words-in", text = it.text, language = worded.language));
        let place = words.map_or_else(Place::default, |(_, lettering)| lettering.origin.clone());
        Some(warning!("words-move-sheets", label = sheet.label, id = layout.setup.paper.id, why).at(place))
    };
    bare.filter_map(finding).collect()
}
