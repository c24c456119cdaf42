//! A scene: lines, words and pictures that kitwright adds to paper, in plain millimetres, before any file format.

use super::faces::Weight;
use crate::drawing::Pixels;
use crate::manifest::Colour;
use kurbo::{Affine, BezPath, Line, Point, Rect, Shape, Vec2};
use std::ops::Range;
use std::sync::Arc;

/// How finely circles and round corners are drawn, in mm.
const CURVE_MM: f64 = 0.001;

/// What is to be drawn, lowest first; words lie on top of all lines.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// Lines and areas.
    pub strokes: Vec<Inked>,
    /// Pictures.
    pub pictures: Vec<Picture>,
    /// Words.
    pub words: Vec<Words>,
    /// Lengths that this scene promises to be true on paper.
    pub promises: Vec<ScaleMark>,
    /// Words to be read out, in reading order; all other words are left out there.
    pub passages: Vec<Passage>,
    /// Places that lead to other pages.
    pub links: Vec<Link>,
}

/// Words that belong together, for those who hear a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passage {
    /// What they are.
    pub part: Part,
    /// Which of the scene's words.
    pub words: Range<usize>,
}

/// What a passage is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The page's title.
    Title,
    /// A heading.
    Heading,
    /// A paragraph.
    Paragraph,
    /// A cell of a table, in its heading or not.
    Cell {
        /// Whether a row begins here.
        opens_row: bool,
        /// Whether it heads a column.
        head: bool,
    },
}

/// A place on a page that leads to another one.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// In mm on the sheet.
    pub area: Rect,
    /// Label of the page that it leads to.
    pub to: String,
    /// Where it leads, in words.
    pub says: String,
}

/// A path with its paint.
#[derive(Clone, Debug)]
pub struct Inked {
    /// In mm.
    pub path: BezPath,
    /// Colour of the inside.
    pub fill: Option<Colour>,
    /// Even-odd instead of nonzero.
    pub even_odd: bool,
    /// Colour and style of the line; all lengths in mm.
    pub line: Option<(Colour, kurbo::Stroke)>,
}

/// A raster picture, placed by a matrix from the unit square to mm.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Decoded pixels.
    pub pixels: Arc<Pixels>,
    /// From the unit square, top left first, to mm.
    pub placement: Affine,
}

/// A line of words.
#[derive(Clone, Debug)]
pub struct Words {
    /// What it says.
    pub text: String,
    /// The anchored end of the base line, in mm.
    pub at: Point,
    /// Which end that is.
    pub anchor: Anchor,
    /// Size, weight and room.
    pub style: Type,
    /// Colour.
    pub colour: Colour,
}

/// A length on a page that is promised to be true.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleMark {
    /// As in `rule 100 mm`.
    pub what: String,
    /// One end on the sheet, in mm.
    pub from: Point,
    /// The other end on the sheet, in mm.
    pub to: Point,
}

/// Which end of a line of words is at the given place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

/// Size and weight of words.
#[derive(Clone, Copy, Debug)]
pub struct Type {
    /// Height of the em, in mm.
    pub size: f64,
    /// Regular or bold.
    pub weight: Weight,
    /// The width in mm that words are shrunk to if they are wider; `None` for as wide as they come.
    pub room: Option<f64>,
}

impl Type {
    /// Regular words of a size in mm.
    pub const fn regular(size: f64) -> Self {
        Self { size, weight: Weight::Regular, room: None }
    }

    /// Bold words of a size in mm.
    pub const fn bold(size: f64) -> Self {
        Self { size, weight: Weight::Bold, room: None }
    }

    /// The same, but never wider than a room in mm.
    pub const fn within(self, room: f64) -> Self {
        Self { room: Some(room), ..self }
    }
}

impl Scene {
    /// A straight line of a width in mm.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, colour: Colour) {
        self.stroke(Line::new(from, to).to_path(CURVE_MM), kurbo::Stroke::new(width).with_caps(kurbo::Cap::Butt), colour);
    }

    /// Any path as a line.
    pub fn stroke(&mut self, path: BezPath, style: kurbo::Stroke, colour: Colour) {
        self.strokes.push(Inked { path, fill: None, even_odd: false, line: Some((colour, style)) });
    }

    /// Any shape as an area.
    pub fn fill(&mut self, shape: impl Shape, colour: Colour) {
        self.strokes.push(Inked { path: shape.to_path(CURVE_MM), fill: Some(colour), even_odd: false, line: None });
    }

    /// The outline of a shape, of a width in mm.
    pub fn outline(&mut self, shape: impl Shape, width: f64, colour: Colour) {
        let style = kurbo::Stroke::new(width).with_join(kurbo::Join::Miter);
        self.stroke(shape.to_path(CURVE_MM), style, colour);
    }

    /// Words at a place; no words leave no trace.
    pub fn words(&mut self, text: &str, at: (f64, f64), style: Type, anchor: Anchor, colour: Colour) {
        if text.is_empty() {
            return;
        }
        self.words.push(Words { text: text.into(), at: at.into(), anchor, style, colour });
    }

    /// Marks all words from the given one on as a passage to be read out.
    pub fn passage(&mut self, part: Part, from: usize) {
        if from < self.words.len() {
            self.passages.push(Passage { part, words: from..self.words.len() });
        }
    }

    /// Promises that two points are as far apart on paper as they are here.
    pub fn promise(&mut self, what: impl Into<String>, from: (f64, f64), to: (f64, f64)) {
        self.promises.push(ScaleMark { what: what.into(), from: from.into(), to: to.into() });
    }

    /// Adds all of another scene, moved.
    pub fn add(&mut self, mut other: Self, by: Vec2) {
        let shift = Affine::translate(by);
        other.strokes.iter_mut().for_each(|inked| inked.path.apply_affine(shift));
        other.pictures.iter_mut().for_each(|picture| picture.placement = shift * picture.placement);
        other.words.iter_mut().for_each(|words| words.at += by);
        for mark in &mut other.promises {
            (mark.from, mark.to) = (mark.from + by, mark.to + by);
        }
        let before = self.words.len();
        for passage in &mut other.passages {
            passage.words = passage.words.start + before..passage.words.end + before;
        }
        other.links.iter_mut().for_each(|link| link.area = link.area + by);
        self.passages.append(&mut other.passages);
        self.links.append(&mut other.links);
        self.strokes.append(&mut other.strokes);
        self.pictures.append(&mut other.pictures);
        self.words.append(&mut other.words);
        self.promises.append(&mut other.promises);
    }
}

/// A rectangle from its top left corner and size, in mm.
pub fn rect(x: f64, y: f64, width: f64, height: f64) -> Rect {
    Rect::new(x, y, x + width, y + height)
}
