//! Flat prints: the same sheet in greys alone, without anything see-through, for print shops whose machines know no more.
//!
//! A see-through colour becomes the colour that it makes on white paper. Areas and pictures of that kind go beneath everything
//! else, so that they cannot hide a line; lines stay where they are.

use super::faces::Faces;
use super::scene::{Inked, Scene};
use crate::drawing::{Drawing, ImageShape, Item, PathShape, Piece, Pixels, Shape};
use crate::manifest::Colour;
use std::sync::Arc;

/// A drawing in two passes, each with all pieces at their own numbers.
pub(super) struct Passes {
    /// What was see-through: areas and pictures.
    pub grounds: Drawing,
    /// Everything else.
    pub lines: Drawing,
}

/// Parts a drawing into its passes.
pub(super) fn passes(drawing: &Drawing) -> Passes {
    let pass = |ground: bool| {
        let piece = |piece: &Piece| Piece {
            items: piece.items.iter().filter_map(|item| part(item, ground)).collect(),
            ..piece.clone()
        };
        Drawing { pieces: drawing.pieces.iter().map(piece).collect(), ..drawing.clone() }
    };
    Passes { grounds: pass(true), lines: pass(false) }
}

/// Whether the second pass has a piece as it is: opaque, and in greys.
pub(super) fn is_flat(piece: &Piece) -> bool {
    let grey = |colour: Colour, opacity: f64| opacity >= 1.0 && on_white(colour, 1.0) == colour;
    piece.items.iter().all(|item| match &item.shape {
        Shape::Path(PathShape { fill: None, stroke: None, .. }) | Shape::Image(_) => false,
        Shape::Path(PathShape { fill, stroke, .. }) => {
            fill.is_none_or(|fill| grey(fill.colour, fill.opacity))
                && stroke.as_ref().is_none_or(|stroke| grey(stroke.colour, stroke.opacity))
        }
    })
}

/// What an item gives to a pass.
fn part(item: &Item, ground: bool) -> Option<Item> {
    let shape = match &item.shape {
        Shape::Path(path) => Shape::Path(path_part(path, ground)?),
        Shape::Image(image) => {
            let clear = image.opacity < 1.0 || image.pixels.alpha.is_some();
            (clear == ground).then(|| Shape::Image(grey_image(image)))?
        }
    };
    Some(Item { shape, ..item.clone() })
}

fn path_part(path: &PathShape, ground: bool) -> Option<PathShape> {
    let fill = path.fill.filter(|fill| (fill.opacity < 1.0) == ground);
    let fill = fill.map(|fill| crate::drawing::Fill { colour: on_white(fill.colour, fill.opacity), opacity: 1.0, ..fill });
    let stroke = path.stroke.as_ref().filter(|_| !ground).map(|stroke| {
        let colour = on_white(stroke.colour, stroke.opacity);
        crate::drawing::Stroke { colour, opacity: 1.0, style: stroke.style.clone() }
    });
    (fill.is_some() || stroke.is_some()).then(|| PathShape { fill, stroke, ..path.clone() })
}

fn grey_image(image: &ImageShape) -> ImageShape {
    ImageShape { pixels: Arc::new(grey_pixels(&image.pixels, image.opacity)), placement: image.placement, opacity: 1.0 }
}

/// Opaque pixels in greys, as on white paper.
fn grey_pixels(pixels: &Pixels, opacity: f64) -> Pixels {
    let alpha = |index: usize| pixels.alpha.as_ref().and_then(|alpha| alpha.get(index)).map_or(1.0, |&a| f64::from(a) / 255.0);
    let pixel = |(index, rgb): (usize, &[u8])| {
        let part = |place: usize| rgb.get(place).copied().unwrap_or_default();
        let colour = on_white(Colour { red: part(0), green: part(1), blue: part(2) }, alpha(index) * opacity);
        [colour.red, colour.green, colour.blue]
    };
    Pixels { rgb: pixels.rgb.chunks(3).enumerate().flat_map(pixel).collect(), alpha: None, ..pixels.clone() }
}

/// The grey of a colour (ISO 32000-1, 10.3.2: 0.30, 0.59 and 0.11 of red, green and blue), mixed with white.
fn on_white(colour: Colour, opacity: f64) -> Colour {
    let grey = 0.30 * f64::from(colour.red) + 0.59 * f64::from(colour.green) + 0.11 * f64::from(colour.blue);
    let mixed = 255.0 + (grey - 255.0) * opacity.clamp(0.0, 1.0);
    let value = mixed.round().clamp(0.0, 255.0) as u8;
    Colour { red: value, green: value, blue: value }
}

/// A scene in greys, its words as outlines; nothing in it can be clicked or read out.
pub(super) fn scene(mut scene: Scene, faces: &Faces) -> Scene {
    for inked in &mut scene.strokes {
        inked.fill = inked.fill.map(|colour| on_white(colour, 1.0));
        inked.line = inked.line.take().map(|(colour, style)| (on_white(colour, 1.0), style));
    }
    scene.pictures.iter_mut().for_each(|picture| picture.pixels = Arc::new(grey_pixels(&picture.pixels, 1.0)));
    let outlines = scene.words.drain(..).map(|words| Inked {
        path: faces.outlines(&words),
        fill: Some(on_white(words.colour, 1.0)),
        even_odd: false,
        line: None,
    });
    scene.strokes.extend(outlines);
    scene.passages.clear();
    scene.links.clear();
    scene
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn greys_are_those_of_the_standard() {
        // ISO 32000-1, 10.3.2 (weights from memory): red 0.30, green 0.59, blue 0.11 of full light.
        let grey = |red, green, blue| on_white(Colour { red, green, blue }, 1.0).red;
        assert_eq!([grey(255, 0, 0), grey(0, 255, 0), grey(0, 0, 255)], [77, 150, 28]);
        assert_eq!([grey(0, 0, 0), grey(255, 255, 255)], [0, 255]);
    }

    #[test]
    fn half_a_black_is_a_middle_grey_on_paper() {
        assert_eq!(on_white(Colour::BLACK, 0.5), Colour { red: 128, green: 128, blue: 128 });
        let pixels = Pixels { width: 2, height: 1, rgb: vec![0, 0, 0, 255, 0, 0], alpha: Some(vec![0, 255]) };
        assert_eq!(grey_pixels(&pixels, 1.0).rgb, [255, 255, 255, 77, 77, 77]);
    }
}
