//! One font file, ready to set words with.

use super::rights::Rights;
use crate::diagnostic::{Diagnostic, Place};
use harfrust::{FontRef, GlyphBuffer, ShapeOptions, ShaperData, UnicodeBuffer};
use kurbo::{BezPath, Point};
use skrifa::font::name::NameId;
use skrifa::font::{Source, metrics::Metrics};
use skrifa::raw::TableProvider;
use skrifa::raw::model::Error;
use skrifa::raw::tables::glyf::outline::OutlinePlan;
use skrifa::raw::tables::os2::SelectionFlags;
use skrifa::{DrawMemory, GlyphId, PathSink, ScalerFont};
use std::borrow::Cow;
use std::sync::Arc;

/// From here on a face counts as bold (OS/2 `usWeightClass`: 600 is semi-bold).
const BOLD_FROM: u16 = 600;
/// Units that an em may have (OpenType specification, table head, field `unitsPerEm`).
const EMS: std::ops::RangeInclusive<u16> = 16..=16_384;

/// A file's bytes, shared with what reads them.
type Bytes = Arc<dyn AsRef<[u8]> + Send + Sync>;

/// A font with its tables looked up.
pub struct Font {
    /// The file, as findings name it.
    pub file: String,
    /// Its PostScript name, fit for a PDF name.
    pub name: String,
    /// How heavy it is (OS/2 `usWeightClass`).
    pub weight: u16,
    /// Whether it is semi-bold or bolder.
    pub bold: bool,
    /// What its makers allow.
    pub rights: Rights,
    bytes: Bytes,
    data: ShaperData,
    glyphs: ScalerFont,
}

impl Font {
    /// The font in a file's bytes; of a collection, the first one.
    pub fn read(file: &str, bytes: Cow<'static, [u8]>) -> Result<Self, Diagnostic> {
        let bad = || error!("font-bad", name = file).at(Place::file(file));
        let bytes: Bytes = Arc::new(bytes);
        let data = ShaperData::new(&FontRef::from_index((*bytes).as_ref(), 0).map_err(|_| bad())?);
        let font = skrifa::Font::new(Source::from(Arc::clone(&bytes)), 0).ok_or_else(bad)?;
        let Metrics { raw_units_per_em, num_glyphs, .. } = font.metrics();
        if !EMS.contains(raw_units_per_em) || *num_glyphs == 0 {
            return Err(bad());
        }
        let weight = font.default_attributes().weight.value() as u16;
        let (name, bold, rights) = (postscript_name(&font), weight >= BOLD_FROM || is_marked_bold(&font), Rights::of(&font));
        let glyphs = ScalerFont::force_unhinted(font, None);
        Ok(Self { file: file.into(), name, weight, bold, rights, bytes, data, glyphs })
    }

    /// All of the file.
    pub fn bytes(&self) -> &[u8] {
        (*self.bytes).as_ref()
    }

    /// What it tells about itself as a whole, in its own units.
    pub fn metrics(&self) -> &Metrics {
        self.glyphs.font().metrics()
    }

    /// Units of the font in an em.
    pub fn em(&self) -> f64 {
        f64::from(self.metrics().units_per_em)
    }

    /// Letters as glyphs, for one direction; `None` only for bytes that were refused when they were read.
    pub fn shaped(&self, letters: UnicodeBuffer) -> Option<GlyphBuffer> {
        let tables = FontRef::from_index(self.bytes(), 0).ok()?;
        Some(self.data.shaper(&tables).build().shape(letters, ShapeOptions::new()))
    }

    /// Whether it has a picture of a character.
    pub fn has(&self, character: char) -> bool {
        self.glyphs.font().charmap().map_unicode(character).is_some()
    }

    /// How far a glyph moves the pen, in ems.
    pub fn advance(&self, id: u16) -> f64 {
        f64::from(self.glyphs.font().glyph_metrics().h_advance(GlyphId::from(id))) / self.em()
    }

    /// Adds a glyph's outline to a path in mm: its origin at `at`, y down, em of `size` mm. A blank glyph adds nothing; one that is
    /// damaged, or made to keep a reader busy, fails.
    pub fn outline(&self, id: u16, at: Point, size: f64, path: &mut BezPath) -> Result<(), Error> {
        draw(&self.glyphs, GlyphId::from(id), &mut Pen { path, at, scale: size / self.em() })
    }
}

/// Draws a glyph, with bounds to the parts and steps that it may be made of.
pub(super) fn draw(font: &ScalerFont, id: GlyphId, pen: &mut impl PathSink) -> Result<(), Error> {
    match font.outline(id) {
        Some(outline) => outline.draw(DrawMemory::Scratch, pen).map(drop).map_err(|error| error.kind()),
        // Blank, or not to be read: only the plan of a TrueType outline tells which.
        None => OutlinePlan::new(&font.font(), id).map(drop),
    }
}

fn is_marked_bold(font: &skrifa::Font) -> bool {
    font.tables().os2().is_ok_and(|os2| os2.fs_selection().contains(SelectionFlags::BOLD))
}

/// Letters, digits and hyphens of the PostScript name; those need no escaping anywhere.
fn postscript_name(font: &skrifa::Font) -> String {
    let name = font.names().get(NameId::POSTSCRIPT_NAME).and_then(|name| name.english_or_first());
    let letters = name.into_iter().flat_map(|name| name.name().chars());
    let plain: String = letters.filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(60).collect();
    if plain.is_empty() { "Font".into() } else { plain }
}

/// Takes a glyph's outline from font units to mm.
struct Pen<'a> {
    path: &'a mut BezPath,
    at: Point,
    scale: f64,
}

impl Pen<'_> {
    fn point(&self, x: f32, y: f32) -> Point {
        Point::new(self.at.x + f64::from(x) * self.scale, self.at.y - f64::from(y) * self.scale)
    }
}

impl PathSink for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.point(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.point(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.quad_to(self.point(x1, y1), self.point(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path.curve_to(self.point(x1, y1), self.point(x2, y2), self.point(x, y));
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}
