//! Faces: the fonts of a kit in the order of preference, and how lines of words are set with them.

mod bounds;
mod breaks;
mod font;
mod key;
mod known;
mod rights;
mod runs;
mod shape;
mod supply;

pub use bounds::bounded;
pub use font::Font;
pub use known::{is_file_of, known_fonts};
pub use rights::Rights;
pub use runs::steers;
pub use shape::Glyph;
pub use supply::{adds_to, group, lacking, missing, supplied};

use super::scene::{Anchor, Type, Words};
use kurbo::{BezPath, Point};
use std::borrow::Cow;

/// Regular or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// For words.
    Regular,
    /// For labels and titles.
    Bold,
}

/// The fonts of a kit: built-in Noto Sans first, then others for what it lacks; a brand's own before all for bold words.
pub struct Faces {
    fonts: Vec<Font>,
    /// Number of the brand's font.
    brand: Option<usize>,
}

/// A line of words, set.
#[derive(Clone, Debug)]
pub struct Line {
    /// From left to right.
    pub glyphs: Vec<Glyph>,
    /// How far the pen moved, in ems.
    pub width: f64,
}

/// Words in their place.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Left end of the base line, in mm.
    pub at: Point,
    /// Height of the em, in mm.
    pub size: f64,
    /// In ems from the left end.
    pub glyphs: Vec<Glyph>,
}

impl Faces {
    /// The built-in faces alone.
    pub fn built_in() -> Self {
        let faces = [("Noto Sans", notosans::REGULAR_TTF), ("Noto Sans Bold", notosans::BOLD_TTF)];
        // They can be read: every test of this folder would fail otherwise.
        let fonts = faces.into_iter().filter_map(|(name, bytes)| Font::read(name, Cow::Borrowed(bytes)).ok());
        Self { fonts: fonts.collect(), brand: None }
    }

    /// Adds a font for characters that those before it lack.
    pub fn add(&mut self, font: Font) {
        self.fonts.push(font);
    }

    /// Adds the brand's own font, for bold words.
    pub fn add_brand(&mut self, font: Font) {
        self.brand = Some(self.fonts.len());
        self.fonts.push(font);
    }

    /// A font by its number.
    pub fn font(&self, number: usize) -> Option<&Font> {
        self.fonts.get(number)
    }

    /// Whether some font has a character; signs without a picture need none.
    pub fn has(&self, c: char) -> bool {
        c.is_control() || steers(c) || self.fonts.iter().any(|font| font.has(c))
    }

    /// Whether a font of a weight has a character.
    fn has_in(&self, c: char, bold: bool) -> bool {
        self.fonts.iter().any(|font| font.bold == bold && font.has(c))
    }

    /// Sets a line of words; a letter that no font has shows the empty box of the first.
    pub fn line(&self, text: &str, weight: Weight) -> Line {
        let choose = |c: char, before: Option<usize>| self.choose(c, before, weight);
        let (mut glyphs, mut width) = (Vec::new(), 0.0);
        for run in runs::runs(text, &choose) {
            if let Some(font) = self.fonts.get(run.font) {
                shape::shape(font, &run, &mut width, &mut glyphs);
            }
        }
        Line { glyphs, width }
    }

    /// The font for a letter: that of the letter before it for signs which all scripts share, else the first that has it.
    fn choose(&self, c: char, before: Option<usize>, weight: Weight) -> usize {
        let has = |number: &usize| self.fonts.get(*number).is_some_and(|font| font.has(c));
        // A dot, a cross or a dash of ours looks alike in every line, whatever the letters around it.
        let shared = !c.is_alphanumeric() && !"·×–".contains(c);
        let kept = before.filter(|number| shared && (has(number) || c.is_whitespace()));
        kept.or_else(|| self.order(weight).find(has)).or(before).unwrap_or_else(|| self.order(weight).next().unwrap_or(0))
    }

    /// Numbers of the fonts for a weight, the best first.
    fn order(&self, weight: Weight) -> impl Iterator<Item = usize> {
        let bold = weight == Weight::Bold;
        let brand = self.brand.filter(|_| bold);
        let others = move |same: bool| {
            let suits = move |(_, font): &(usize, &Font)| (font.bold == bold) == same;
            self.fonts.iter().enumerate().filter(suits).map(|(number, _)| number).filter(move |n| Some(*n) != self.brand)
        };
        brand.into_iter().chain(others(true)).chain(others(false))
    }

    /// Width of words in mm, in the size that they get.
    pub fn width(&self, text: &str, style: Type) -> f64 {
        let width = self.line(text, style.weight).width * style.size;
        style.room.map_or(width, |room| width.min(room))
    }

    /// Words broken into lines that fit a width in mm; a single word wider than that stays whole.
    pub fn wrapped(&self, text: &str, style: Type, width: f64) -> Vec<String> {
        breaks::wrapped(text, |line| self.line(line, style.weight).width * style.size <= width)
    }

    /// Words in their place, shrunk to their room.
    pub fn place(&self, words: &Words) -> Placed {
        let line = self.line(&words.text, words.style.weight);
        let (wished, room) = (line.width * words.style.size, words.style.room);
        let shrink = room.filter(|room| wished > *room).map_or(1.0, |room| room.max(0.0) / wished);
        let width = wished * shrink;
        let left = match words.anchor {
            Anchor::Start => words.at.x,
            Anchor::Middle => words.at.x - width / 2.0,
            Anchor::End => words.at.x - width,
        };
        Placed { at: Point::new(left, words.at.y), size: words.style.size * shrink, glyphs: line.glyphs }
    }

    /// Words as outlines in mm.
    pub fn outlines(&self, words: &Words) -> BezPath {
        let placed = self.place(words);
        let mut path = BezPath::new();
        for glyph in &placed.glyphs {
            let at = Point::new(placed.at.x + glyph.x * placed.size, placed.at.y - glyph.y * placed.size);
            // A font with a glyph that fails was refused when it was tried out.
            let _ = self.fonts.get(glyph.font).map(|font| font.outline(glyph.id, at, placed.size, &mut path));
        }
        path
    }
}
