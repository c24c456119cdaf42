//! Fills that cost ink: which are large, and how they are printed as outlines or as light hatching.

use super::colour::{contrast, on_paper};
use super::scan::{area, spans};
use crate::drawing::{Drawing, Fill, Item, PathShape, Piece, Shape, Stroke};
use crate::manifest::Colour;
use kurbo::{Affine, BezPath, Cap, Join, Rect, Shape as _};

/// A fill of this area and more is large, in mm²: 4 cm² (our own measure).
pub(super) const LARGE_MM2: f64 = 400.0;

/// A fill whose mean width is less, in mm, is a letter turned into a path or a thick line, whatever its area.
const SLENDER_MM: f64 = 2.0;

/// Width of the outline that takes the place of a fill, and of hatching, in mm (series of ISO 128-2).
const OUTLINE_MM: f64 = 0.35;
const HATCH_MM: f64 = 0.25;

/// Distance of hatching lines, in mm: with their width, less than a tenth of the ink.
const APART_MM: f64 = 3.0;

/// The area of a large fill in mm²; none if the item has no fill, or one that is small, slender, white or a letter.
pub(super) fn large(item: &Item) -> Option<(Fill, f64)> {
    let Shape::Path(shape) = &item.shape else { return None };
    let fill = shape.fill.filter(|fill| on_paper(fill.colour, fill.opacity) != Colour::WHITE && item.letter.is_none())?;
    // The box is quicker than the area, and never smaller.
    let area = (item.bounds.area() >= LARGE_MM2).then(|| area(&shape.path, fill.even_odd).min(item.bounds.area()))?;
    let mean_width = 2.0 * area / shape.path.perimeter(0.1);
    (area >= LARGE_MM2 && mean_width >= SLENDER_MM).then_some((fill, area))
}

/// The drawing with outlines instead of large fills.
pub(super) fn outlined(drawing: Drawing) -> Drawing {
    turned(drawing, |item, shape, fill| vec![item.repainted(outline(shape, fill))])
}

/// The drawing with outlined hatching instead of large fills.
pub(super) fn hatched(drawing: Drawing) -> Drawing {
    turned(drawing, |item, shape, fill| {
        let hatching = PathShape {
            path: hatching(&shape.path, fill.even_odd),
            fill: None,
            stroke: Some(line(fill, HATCH_MM)),
            stroke_first: false,
        };
        vec![item.repainted(hatching), item.repainted(outline(shape, fill))]
    })
}

/// Large fills are turned, but for those that something white lies upon: without its ground it would vanish.
fn turned(drawing: Drawing, turn: impl Fn(&Item, &PathShape, Fill) -> Vec<Item>) -> Drawing {
    let white: Vec<Rect> =
        drawing.pieces.iter().flat_map(|piece| &piece.items).filter(|item| is_white(item)).map(|item| item.bounds).collect();
    super::replaced(drawing, |_: &Piece, item| {
        let bears_white = || white.iter().any(|other| other.overlaps(item.bounds));
        match (&item.shape, large(&item)) {
            (Shape::Path(shape), Some((fill, _))) if !bears_white() => turn(&item, shape, fill),
            _ => vec![item],
        }
    })
}

fn is_white(item: &Item) -> bool {
    let Shape::Path(shape) = &item.shape else { return false };
    let white = |colour: Colour| colour == Colour::WHITE;
    shape.fill.is_some_and(|fill| white(fill.colour)) || shape.stroke.as_ref().is_some_and(|stroke| white(stroke.colour))
}

/// The shape without its fill; its own stroke, if it has a visible one, is its outline.
fn outline(shape: &PathShape, fill: Fill) -> PathShape {
    let own = shape.stroke.clone().filter(|stroke| on_paper(stroke.colour, stroke.opacity) != Colour::WHITE);
    PathShape { fill: None, stroke: Some(own.unwrap_or_else(|| line(fill, OUTLINE_MM))), ..shape.clone() }
}

/// A line in the colour of a fill, or black where that would be pale.
fn line(fill: Fill, width: f64) -> Stroke {
    let colour = on_paper(fill.colour, fill.opacity);
    let colour = if contrast(colour) < super::advice::LEAST_CONTRAST { Colour::BLACK } else { colour };
    Stroke { colour, opacity: 1.0, style: kurbo::Stroke::new(width).with_caps(Cap::Butt).with_join(Join::Round) }
}

/// Lines rising at 45° inside a path; those of neighbouring shapes meet, as all lie on one set of lines across the drawing.
fn hatching(path: &BezPath, even_odd: bool) -> BezPath {
    let turn = Affine::rotate(std::f64::consts::FRAC_PI_4);
    let mut lines = BezPath::new();
    for (y, from, to) in spans(&(turn * path), even_odd, APART_MM) {
        lines.move_to((from, y));
        lines.line_to((to, y));
    }
    turn.inverse() * lines
}
