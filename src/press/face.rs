//! The built-in faces: shaping, widths and outlines of the words that kitwright sets.

use harfrust::{FontRef, ShapeOptions, ShaperData, UnicodeBuffer};
use kurbo::{BezPath, Point};

/// Regular or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// For words.
    Regular,
    /// For labels and titles.
    Bold,
}

/// One placed glyph of a line of words, in ems from its left end.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// Number in the face.
    pub id: u16,
    /// Distance from the left end.
    pub x: f64,
    /// The letters that it stands for.
    pub text: String,
}

impl Weight {
    /// The face's file.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => notosans::REGULAR_TTF,
            Self::Bold => notosans::BOLD_TTF,
        }
    }

    /// Name of the face for files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Regular => "NotoSans-Regular",
            Self::Bold => "NotoSans-Bold",
        }
    }
}

/// The glyphs of a line of words, in visual order; a letter that the face lacks shows its empty box.
pub fn shape(text: &str, weight: Weight) -> Vec<Glyph> {
    let Ok(font) = FontRef::from_index(weight.bytes(), 0) else { return Vec::new() };
    let data = ShaperData::new(&font);
    let shaper = data.shaper(&font).build();
    let em = f64::from(shaper.units_per_em());
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.guess_segment_properties();
    let shaped = shaper.shape(buffer, ShapeOptions::new());
    let starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    let mut pen = 0.0;
    let placed = shaped.glyph_infos().iter().zip(shaped.glyph_positions()).map(|(info, position)| {
        let x = pen + f64::from(position.x_offset) / em;
        pen += f64::from(position.x_advance) / em;
        let from = info.cluster as usize;
        let to = starts.iter().copied().filter(|&start| start > from).min().unwrap_or(text.len());
        Glyph { id: u16::try_from(info.glyph_id).unwrap_or(0), x, text: text.get(from..to).unwrap_or_default().into() }
    });
    placed.collect()
}

/// Width of a line of words, in ems.
pub fn line_width(text: &str, weight: Weight) -> f64 {
    let glyphs = shape(text, weight);
    let advance = |glyph: &Glyph| advance(glyph.id, weight);
    glyphs.last().map_or(0.0, |last| last.x + advance(last))
}

/// How far a glyph moves the pen, in ems.
pub fn advance(id: u16, weight: Weight) -> f64 {
    let Ok(face) = ttf_parser::Face::parse(weight.bytes(), 0) else { return 0.0 };
    let advance = face.glyph_hor_advance(ttf_parser::GlyphId(id)).unwrap_or(0);
    f64::from(advance) / f64::from(face.units_per_em())
}

/// A line of words as outlines in mm: base line from `at` to the right, y down, em of `size` mm.
pub fn outlines(text: &str, weight: Weight, at: Point, size: f64) -> BezPath {
    let Ok(face) = ttf_parser::Face::parse(weight.bytes(), 0) else { return BezPath::new() };
    let scale = size / f64::from(face.units_per_em());
    let mut pen = Pen { path: BezPath::new(), at, scale };
    for glyph in shape(text, weight) {
        pen.at.x = at.x + glyph.x * size;
        // A blank glyph has no outline.
        let _ = face.outline_glyph(ttf_parser::GlyphId(glyph.id), &mut pen);
    }
    pen.path
}

/// Takes a glyph's outline from font units to mm.
struct Pen {
    path: BezPath,
    at: Point,
    scale: f64,
}

impl Pen {
    fn point(&self, x: f32, y: f32) -> Point {
        Point::new(self.at.x + f64::from(x) * self.scale, self.at.y - f64::from(y) * self.scale)
    }
}

impl ttf_parser::OutlineBuilder for Pen {
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
