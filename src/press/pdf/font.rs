//! Fonts in a PDF: only the glyphs that its words use (or the whole font, if its licence bits ask for that), each embedded once.

use crate::press::faces::{Faces, Font, Glyph, Rights};
use crate::press::scene::Words;
use kurbo::Point;
use lopdf::{Dictionary, Document, Object, Stream, dictionary};
use printpdf::{FontId, FontMetrics, FontType, ParsedFont, PdfFont, PdfFontMetricsStub};
use sha2::{Digest, Sha256};
use skrifa::raw::types::F48Dot16;
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The fonts of a whole document with the glyphs that are used.
pub(super) struct Fonts<'a> {
    faces: &'a Faces,
    used: BTreeMap<usize, Used>,
}

/// Words in their place, their glyphs numbered as in the embedded fonts.
pub(super) struct Letters {
    /// Left end of the base line, in mm.
    pub(super) at: Point,
    /// Height of the em, in mm.
    pub(super) size: f64,
    /// In ems from the left end; the number of each is its code in the page.
    pub(super) glyphs: Vec<Glyph>,
}

/// What is used of one font. A glyph that stands for different letters at different places gets a code for each, so that
/// the letters can be told again: skeletons of Arabic letters, for example, are shared by several.
#[derive(Default)]
struct Used {
    remapper: GlyphRemapper,
    codes: BTreeMap<(u16, String), u16>,
    /// Number of the glyph in the embedded font, for each code.
    glyphs: BTreeMap<u16, Slot>,
}

/// A code's glyph: its number in the embedded font, and in the font's own file.
#[derive(Clone, Copy)]
struct Slot {
    embedded: u16,
    own: u16,
}

impl Used {
    fn code(&mut self, font: &Font, glyph: &Glyph) -> u16 {
        let embedded = if font.rights == Rights::Whole { glyph.id } else { self.remapper.remap(glyph.id) };
        // A CFF font has no table from codes to glyphs in a PDF: there the code is the glyph's number.
        let free = font.rights == Rights::Subset && font.bytes().get(..4) != Some(b"OTTO");
        let next = u16::try_from(self.codes.len() + 1).unwrap_or(u16::MAX);
        let code = if free { *self.codes.entry((glyph.id, glyph.text.clone())).or_insert(next) } else { embedded };
        self.glyphs.insert(code, Slot { embedded, own: glyph.id });
        code
    }
}

impl<'a> Fonts<'a> {
    /// No glyph yet.
    pub(super) const fn of(faces: &'a Faces) -> Self {
        Self { faces, used: BTreeMap::new() }
    }

    /// Sets words and gives their glyphs with the codes that they have in the embedded fonts.
    pub(super) fn letters(&mut self, words: &Words) -> Letters {
        let placed = self.faces.place(words);
        let coded = placed.glyphs.into_iter().filter_map(|glyph| {
            let font = self.faces.font(glyph.font)?;
            let id = self.used.entry(glyph.font).or_default().code(font, &glyph);
            Some(Glyph { id, ..glyph })
        });
        Letters { glyphs: coded.collect(), at: placed.at, size: placed.size }
    }

    /// The fonts for printpdf. A font that cannot be cut down is left out, and its words with it: the built-in ones can,
    /// and all others were tried out when they were read.
    pub(super) fn embedded(&self) -> BTreeMap<FontId, PdfFont> {
        let each = self.used.iter();
        each.filter_map(|(&number, used)| Some((font_id(number), used.embedded(self.faces.font(number)?)?))).collect()
    }

    /// Writes the table from codes to glyphs for each font that needs one; printpdf knows only fonts in which both are the same.
    pub(super) fn number_glyphs(&self, doc: &mut Document) {
        for (&number, used) in &self.used {
            if used.glyphs.iter().all(|(code, slot)| *code == slot.embedded) {
                continue;
            }
            let map = doc.add_object(Stream::new(dictionary! {}, used.table()));
            let named = self.faces.font(number).map(|font| font.name.clone()).unwrap_or_default();
            for object in doc.objects.values_mut() {
                if let Some(inner) = descendant(object, &named) {
                    inner.set("CIDToGIDMap", map);
                }
            }
        }
    }
}

/// The inner dictionary of a font with such a name behind its subset tag.
fn descendant<'o>(object: &'o mut Object, name: &str) -> Option<&'o mut Dictionary> {
    let font = object.as_dict_mut().ok()?;
    let base = font.get(b"BaseFont").and_then(Object::as_name).ok()?;
    if base.get(7..) != Some(name.as_bytes()) {
        return None;
    }
    font.get_mut(b"DescendantFonts").ok()?.as_array_mut().ok()?.first_mut()?.as_dict_mut().ok()
}

impl Used {
    /// Two bytes a code, from code 0 (ISO 32000-1, 9.7.4.2).
    fn table(&self) -> Vec<u8> {
        let last = self.glyphs.keys().next_back().copied().unwrap_or(0);
        (0..=last).flat_map(|code| self.glyphs.get(&code).map_or(0, |slot| slot.embedded).to_be_bytes()).collect()
    }

    fn embedded(&self, font: &Font) -> Option<PdfFont> {
        let whole = font.rights == Rights::Whole;
        let bytes = if whole { font.bytes().to_vec() } else { subsetter::subset(font.bytes(), 0, &self.remapper).ok()? };
        let about = font.metrics();
        let em = about.units_per_em;
        let width = |own: u16| (font.advance(own) * f64::from(em)).round() as u16;
        let whole_units = |number: F48Dot16| number.to_f32().round() as i16;
        let line = about.h_line().unwrap_or_default();
        let metrics = PdfFontMetricsStub {
            units_per_em: em,
            x_min: whole_units(about.bounds.x_min),
            y_min: whole_units(about.bounds.y_min),
            x_max: whole_units(about.bounds.x_max),
            y_max: whole_units(about.bounds.y_max),
            us_weight_class: font.weight,
            ..PdfFontMetricsStub::default()
        };
        let name = if whole { font.name.clone() } else { format!("{}+{}", subset_tag(&bytes), font.name) };
        Some(PdfFont::new(ParsedFont {
            font_name: Some(name),
            font_index: 0,
            codepoint_to_glyph: BTreeMap::new(),
            glyph_widths: self.glyphs.iter().map(|(code, slot)| (*code, width(slot.own))).collect(),
            units_per_em: em,
            font_metrics: FontMetrics { ascent: whole_units(line.ascender), descent: whole_units(line.descender) },
            font_type: FontType::TrueType,
            pdf_font_metrics: metrics,
            original_bytes: bytes,
        }))
    }
}

/// The name of a font among the resources of every page.
pub(super) fn font_id(number: usize) -> FontId {
    FontId(format!("F{number}"))
}

/// Six capitals that tell one subset from another (ISO 32000-1, 9.6.4), drawn from its bytes.
fn subset_tag(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect()
}
