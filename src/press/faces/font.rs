//! One font file, ready to set words with.

use super::rights::Rights;
use crate::diagnostic::{Diagnostic, Place};
use harfrust::{FontRef, ShaperData};
use kurbo::{BezPath, Point};
use std::borrow::Cow;
use ttf_parser::name_id;

/// From here on a face counts as bold (OS/2 `usWeightClass`: 600 is semi-bold).
const BOLD_FROM: u16 = 600;

/// A font with its tables looked up.
pub struct Font {
    /// The file, as findings name it.
    pub file: String,
    /// Its PostScript name, fit for a PDF name.
    pub name: String,
    /// Whether it is semi-bold or bolder.
    pub bold: bool,
    /// What its makers allow.
    pub rights: Rights,
    bytes: Cow<'static, [u8]>,
    data: ShaperData,
    em: f64,
}

impl Font {
    /// The font in a file's bytes; of a collection, the first one.
    pub fn read(file: &str, bytes: Cow<'static, [u8]>) -> Result<Self, Diagnostic> {
        let bad = || error!("font-bad", name = file).at(Place::file(file));
        let (name, bold, rights, em) = {
            let face = ttf_parser::Face::parse(&bytes, 0).map_err(|_| bad())?;
            let bold = face.is_bold() || face.weight().to_number() >= BOLD_FROM;
            (postscript_name(&face), bold, Rights::of(&face), f64::from(face.units_per_em()))
        };
        let data = ShaperData::new(&FontRef::from_index(&bytes, 0).map_err(|_| bad())?);
        if em <= 0.0 {
            return Err(bad());
        }
        Ok(Self { file: file.into(), name, bold, rights, bytes, data, em })
    }

    /// All of the file.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Units of the font in an em.
    pub const fn em(&self) -> f64 {
        self.em
    }

    /// The tables that shaping needs.
    pub const fn data(&self) -> &ShaperData {
        &self.data
    }

    /// The font for one task; `None` only for bytes that [`Font::read`] would have refused.
    pub fn face(&self) -> Option<ttf_parser::Face<'_>> {
        ttf_parser::Face::parse(&self.bytes, 0).ok()
    }

    /// Whether it has a picture of a character.
    pub fn has(&self, character: char) -> bool {
        let glyph = self.face().and_then(|face| face.glyph_index(character));
        glyph.is_some_and(|glyph| glyph.0 != 0)
    }

    /// How far a glyph moves the pen, in ems.
    pub fn advance(&self, id: u16) -> f64 {
        let advance = self.face().and_then(|face| face.glyph_hor_advance(ttf_parser::GlyphId(id)));
        f64::from(advance.unwrap_or(0)) / self.em
    }

    /// Adds a glyph's outline to a path in mm: its origin at `at`, y down, em of `size` mm. A blank glyph adds nothing.
    pub fn outline(&self, id: u16, at: Point, size: f64, path: &mut BezPath) {
        let mut pen = Pen { path, at, scale: size / self.em };
        let _ = self.face().and_then(|face| face.outline_glyph(ttf_parser::GlyphId(id), &mut pen));
    }
}

/// Letters, digits and hyphens of the PostScript name; those need no escaping anywhere.
fn postscript_name(face: &ttf_parser::Face) -> String {
    let names = face.names().into_iter().filter(|name| name.name_id == name_id::POST_SCRIPT_NAME);
    let name = names.filter_map(|name| name.to_string()).next().unwrap_or_default();
    let plain: String = name.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(60).collect();
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

impl ttf_parser::OutlineBuilder for Pen<'_> {
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
