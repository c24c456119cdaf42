//! The drawing as every later step sees it: layers, pieces and items, all in millimetres on paper, y down.

use super::traced::{Traced, Untraced};
use crate::diagnostic::Place;
use crate::manifest::Colour;
use crate::units::{Length, Point, Size};
use kurbo::{Affine, BezPath, Rect};
use std::sync::Arc;

/// A drawing at true size.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Width and height of the drawing's own page.
    pub size: Size,
    /// Printed layers: base layers in the drawing's order, then size layers in the manifest's order.
    pub layers: Vec<Layer>,
    /// Everything printed, in paint order, lowest first.
    pub pieces: Vec<Piece>,
    /// Measured control measurements, in the manifest's order; `None` where the element was not found.
    pub controls: Vec<Option<Measured>>,
    /// The grid of blank sheets that it was drawn on, if it was.
    pub held: Option<Held>,
    /// Its printed words, for those who translate them.
    pub lettering: Vec<Lettering>,
    /// Lines that were asked for by name, in that order.
    pub traced: Vec<Result<Traced, Untraced>>,
}

/// Words on paper.
#[derive(Clone, Debug)]
pub struct Lettering {
    /// The text element.
    pub origin: Place,
    /// What they say, without blanks around them.
    pub text: String,
    /// How far their line is turned, in radians, clockwise on paper.
    pub angle: f64,
    /// Their box in mm, once the paper is turned back by that angle about its top left.
    pub area: Rect,
    /// Whether longer words would reach further back, and further on.
    pub grows: (bool, bool),
}

/// A grid of blank sheets, found again in a drawing that was made on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Id of the paper.
    pub paper: String,
    /// Rows of the grid.
    pub rows: usize,
    /// Columns of the grid.
    pub columns: usize,
    /// Whether the paper lies on its side.
    pub lying: bool,
    /// All its tiles together, in mm of the drawing.
    pub area: Rect,
}

impl Drawing {
    /// The same drawing with base layers and one size alone; that size is then the kit's first.
    pub fn for_size(&self, size: usize) -> Self {
        self.for_sizes(&[size])
    }

    /// The same drawing with base layers and some sizes alone, which are then numbered in that order.
    pub fn for_sizes(&self, sizes: &[usize]) -> Self {
        let layers: Vec<(usize, Role)> =
            self.layers.iter().enumerate().filter_map(|(index, layer)| Some((index, layer.role.among(sizes)?))).collect();
        let named = |(index, role): &(usize, Role)| Some(Layer { name: self.layers.get(*index)?.name.clone(), role: *role });
        let kept = self.kept_for(sizes);
        let moved = |piece: &Piece| {
            let layer = layers.iter().position(|(index, _)| *index == piece.layer)?;
            Some(Piece { layer, ..piece.clone() })
        };
        Self {
            layers: layers.iter().filter_map(named).collect(),
            pieces: kept.iter().filter_map(|piece| self.pieces.get(*piece)).filter_map(moved).collect(),
            controls: self.controls.iter().map(|control| control.as_ref().and_then(|it| it.among(sizes))).collect(),
            ..self.clone()
        }
    }

    /// Indices of the pieces that are left if only some sizes are.
    pub fn kept_for(&self, sizes: &[usize]) -> Vec<usize> {
        let kept = |piece: &Piece| self.layers.get(piece.layer).is_some_and(|layer| layer.role.among(sizes).is_some());
        (0..self.pieces.len()).filter(|index| self.pieces.get(*index).is_some_and(kept)).collect()
    }
}

impl Role {
    /// The role in a kit of some sizes alone, if it has one there.
    fn among(self, sizes: &[usize]) -> Option<Self> {
        match self {
            Self::Base => Some(Self::Base),
            Self::Size(own) => sizes.iter().position(|size| *size == own).map(Self::Size),
        }
    }
}

impl Measured {
    /// The measurement in a kit of some sizes alone, if any of their buyers gets it.
    fn among(&self, sizes: &[usize]) -> Option<Self> {
        let own: Vec<usize> = (0..).zip(sizes).filter(|(_, size)| self.sizes.contains(size)).map(|(index, _)| index).collect();
        (self.sizes.is_empty() || !own.is_empty()).then(|| Self { sizes: own, ..self.clone() })
    }
}

/// One printed layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layer {
    /// Visible name in the drawing.
    pub name: String,
    /// For which buyers it is printed.
    pub role: Role,
}

/// For which buyers a layer is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// For all.
    Base,
    /// For those who make this size: index into the kit's sizes.
    Size(usize),
}

/// Items that belong together and are pressed as one form: a named group of a layer, or a run of loose neighbours.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Index into [`Drawing::layers`].
    pub layer: usize,
    /// Visible name, if it has one.
    pub name: Option<String>,
    /// What it covers, strokes included, in mm.
    pub bounds: Rect,
    /// In paint order.
    pub items: Vec<Item>,
}

/// One painted thing.
#[derive(Clone, Debug)]
pub struct Item {
    /// What is painted.
    pub shape: Shape,
    /// Clip paths that all apply, in mm.
    pub clips: Vec<Arc<Clip>>,
    /// What it covers after clipping, stroke included, in mm.
    pub bounds: Rect,
    /// Line and element in the user's file.
    pub origin: Place,
    /// What it is a letter of, if it is one.
    pub letter: Option<Letter>,
}

/// What a letter belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letter {
    /// To words of the drawing.
    Words,
    /// To the name of a size, set beside its line for one paper.
    SizeName,
}

impl Item {
    /// The same item with another path in its place; its box follows.
    pub fn repainted(&self, shape: PathShape) -> Self {
        let inked = super::ink::bounds(&shape.path, shape.stroke.as_ref().map(|stroke| &stroke.style));
        let bounds = self.clips.iter().fold(inked, |bounds, clip| bounds.intersect(kurbo::Shape::bounding_box(&clip.path)));
        Self { shape: Shape::Path(shape), bounds, ..self.clone() }
    }
}

/// What an item paints.
#[derive(Clone, Debug)]
pub enum Shape {
    /// Lines and curves.
    Path(PathShape),
    /// A picture.
    Image(ImageShape),
}

/// A path with its fill and stroke, fill first unless `stroke_first`.
#[derive(Clone, Debug)]
pub struct PathShape {
    /// In mm; curves stay curves.
    pub path: BezPath,
    /// Inside.
    pub fill: Option<Fill>,
    /// Line.
    pub stroke: Option<Stroke>,
    /// Whether the line lies beneath the fill.
    pub stroke_first: bool,
}

/// How a path is filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Flat colour.
    pub colour: Colour,
    /// 0 to 1.
    pub opacity: f64,
    /// Even-odd instead of nonzero.
    pub even_odd: bool,
}

/// How a path is stroked. All lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Flat colour.
    pub colour: Colour,
    /// 0 to 1.
    pub opacity: f64,
    /// Width, caps, joins, mitre limit, dashes and where they start, in mm.
    pub style: kurbo::Stroke,
}

/// A picture, placed by a matrix.
#[derive(Clone, Debug)]
pub struct ImageShape {
    /// Decoded pixels.
    pub pixels: Arc<Pixels>,
    /// From the unit square (0,0 top left, 1,1 bottom right of the picture) to mm.
    pub placement: Affine,
    /// 0 to 1.
    pub opacity: f64,
}

/// Decoded pixels, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green, blue, three bytes a pixel.
    pub rgb: Vec<u8>,
    /// One byte a pixel, if any pixel is not opaque.
    pub alpha: Option<Vec<u8>>,
}

/// A clip path.
#[derive(Clone, Debug)]
pub struct Clip {
    /// Outline in mm.
    pub path: BezPath,
    /// Even-odd instead of nonzero.
    pub even_odd: bool,
}

/// A control measurement as found in the drawing, in f64 from the file's own numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The measured length; of a pair by how much the first side is longer than the others.
    pub length: Length,
    /// How to find it again on paper: what adds up to it. Empty if any of it is not printed.
    pub traces: Vec<Trace>,
    /// Indices of the sizes whose buyers get all of it.
    pub sizes: Vec<usize>,
}

/// A length that can be found again in the ink.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    /// Whether it is taken away rather than added.
    pub minus: bool,
    /// How it is measured.
    pub kind: TraceKind,
    /// Points on paper: both ends; for lengths along a line also points between, at equal distances along it.
    pub points: Vec<Point>,
}

/// How a length is measured again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TraceKind {
    /// The distance of two places where lines end, turn or bend back.
    Straight,
    /// Along a whole line, from end to end.
    Line,
    /// Once round a closed line.
    Outline,
    /// Along a line, from one place on it to another.
    Between,
    /// How much further right one place is than the other.
    Width,
    /// How much further down one place is than the other.
    Height,
}
