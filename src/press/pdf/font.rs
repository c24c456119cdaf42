//! Fonts in a PDF: only the glyphs that its words use, each weight embedded once.

use crate::press::face::{Glyph, Weight, advance, shape};
use crate::press::scene::Words;
use printpdf::{FontId, FontMetrics, FontType, ParsedFont, PdfFont, PdfFontMetricsStub};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The glyphs of a whole document, a remapper a weight.
#[derive(Default)]
pub(super) struct Fonts {
    used: BTreeMap<Weight, GlyphRemapper>,
}

impl Fonts {
    /// Shapes words and gives their glyphs with the numbers that they have in the embedded font.
    pub(super) fn glyphs(&mut self, words: &Words) -> Vec<Glyph> {
        let remapper = self.used.entry(words.weight).or_default();
        let glyphs = shape(&words.text, words.weight).into_iter();
        glyphs.map(|glyph| Glyph { id: remapper.remap(glyph.id), ..glyph }).collect()
    }

    /// The fonts for printpdf. A face that cannot be cut down is left out, and its words with it: the built-in ones can.
    pub(super) fn embedded(&self) -> BTreeMap<FontId, PdfFont> {
        let fonts = self.used.iter().filter_map(|(&weight, remapper)| Some((font_id(weight), embedded(weight, remapper)?)));
        fonts.collect()
    }
}

/// The name of a weight among the resources of every page.
pub(super) fn font_id(weight: Weight) -> FontId {
    FontId(weight.name().into())
}

fn embedded(weight: Weight, remapper: &GlyphRemapper) -> Option<PdfFont> {
    let bytes = subsetter::subset(weight.bytes(), 0, remapper).ok()?;
    let face = ttf_parser::Face::parse(weight.bytes(), 0).ok()?;
    let em = face.units_per_em();
    let width = |old: u16| (advance(old, weight) * f64::from(em)).round() as u16;
    let glyph_widths =
        remapper.remapped_gids().enumerate().filter_map(|(new, old)| Some((u16::try_from(new).ok()?, width(old))));
    let bounds = face.global_bounding_box();
    let metrics = PdfFontMetricsStub {
        units_per_em: em,
        x_min: bounds.x_min,
        y_min: bounds.y_min,
        x_max: bounds.x_max,
        y_max: bounds.y_max,
        us_weight_class: face.weight().to_number(),
        ..PdfFontMetricsStub::default()
    };
    Some(PdfFont::new(ParsedFont {
        font_name: Some(format!("{}+{}", subset_tag(&bytes), weight.name())),
        font_index: 0,
        codepoint_to_glyph: BTreeMap::new(),
        glyph_widths: glyph_widths.collect(),
        units_per_em: em,
        font_metrics: FontMetrics { ascent: face.ascender(), descent: face.descender() },
        font_type: FontType::TrueType,
        pdf_font_metrics: metrics,
        original_bytes: bytes,
    }))
}

/// Six capitals that tell one subset from another (ISO 32000-1, 9.6.4), drawn from its bytes.
fn subset_tag(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect()
}
