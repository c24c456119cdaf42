//! The publisher's mark: a plover cut from paper, and its name in letters made of circles and strokes.

use crate::svg;
use kurbo::{Affine, Arc, BezPath, Cap, Circle, Shape, Stroke, StrokeOpts};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The bird, beak to the right, 12 mm high; eye, neck ring and wing are holes.
const BIRD: &str = "M11.5,3.55 L9.95,3.05 C9.7,2.1 8.8,1.4 7.7,1.4 C6.3,1.4 5.35,2.3 5.15,3.6 C4.95,4.7 4.2,5.2 3.1,5.7 \
    C1.9,6.25 1.1,6.9 0.2,8 L2.5,7.85 C3.1,8.75 4.1,9.3 5.2,9.38 L5.2,11.7 L6.5,11.7 L6.5,11.3 L5.65,11.3 L5.65,9.4 \
    C6.05,9.4 6.45,9.33 6.8,9.2 L6.8,11.7 L8.1,11.7 L8.1,11.3 L7.25,11.3 L7.25,9.02 C8.7,8.3 9.5,6.9 9.5,5.4 C9.5,4.9 9.6,4.5 \
    9.9,4.15 Z \
    M8.35,2.75 C8.35,2.5 8.55,2.3 8.8,2.3 C9.05,2.3 9.25,2.5 9.25,2.75 C9.25,3 9.05,3.2 8.8,3.2 C8.55,3.2 8.35,3 8.35,2.75 Z \
    M5.5,4.1 C6.4,4.9 7.9,5.1 9.35,4.5 L9.25,5.15 C7.8,5.75 6.3,5.5 5.15,4.75 Z \
    M2.6,7.1 L6.9,6.3 L4.6,8.2 Z";

/// Radius of the round letters and width of the pen, before the words are fitted to their places.
const ROUND: f64 = 1.0;
const PEN: f64 = 0.44;

/// The whole mark as SVG: two flat shapes, no text, 30 by 12 mm.
pub fn svg() -> String {
    let bird = BezPath::from_svg(BIRD).expect("the bird is valid path data");
    let mut words = BezPath::new();
    words.extend(word("ploverfield", 0.34, 13.2, 6.6, 16.6));
    words.extend(word("paper", 1.15, 13.2, 10.2, 9.2));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <svg xmlns=\"http://www.w3.org/2000/svg\" width=\"30mm\" height=\"12mm\" viewBox=\"0 0 30 12\">\n  {}\n  {}\n</svg>\n",
        svg::path(&bird, "id=\"bird\" fill-rule=\"evenodd\""),
        svg::path(&words, "id=\"words\"")
    )
}

/// A word with its left end and base line at a point, scaled to a width.
fn word(text: &str, gap: f64, x: f64, y: f64, width: f64) -> BezPath {
    // Letters are set side by side at a size of their own, then the whole word is fitted.
    let (mut strokes, mut pen) = (BezPath::new(), 0.0);
    for letter in text.chars() {
        let (shape, wide) = glyph(letter);
        strokes.extend(Affine::translate((pen, 0.0)) * shape);
        pen += wide + PEN + gap;
    }
    // Strokes become outlines here, so that the mark needs nothing but fills from whoever prints it.
    let style = Stroke::new(PEN).with_caps(Cap::Butt);
    let outline = kurbo::stroke(strokes, &style, &StrokeOpts::default(), 0.003);
    Affine::translate((x, y)) * Affine::scale(width / (pen - gap)) * Affine::translate((PEN / 2.0, 0.0)) * outline
}

/// One letter as strokes, its left stroke at nought and its base line at nought, with its width.
fn glyph(letter: char) -> (BezPath, f64) {
    let bowl = Circle::new((ROUND, -ROUND), ROUND).to_path(0.001);
    let wide = 2.0 * ROUND;
    // Stems end level with the outer edge of the round letters, which is half a pen beyond their middle line.
    let half_pen = PEN / 2.0;
    match letter {
        'p' => (with(bowl, &[[0.0, -wide - half_pen, 0.0, 1.3]]), wide),
        'd' => (with(bowl, &[[wide, -3.3, wide, half_pen]]), wide),
        'a' => (with(bowl, &[[wide, -wide - half_pen, wide, half_pen]]), wide),
        'l' => (with(BezPath::new(), &[[0.0, -3.3, 0.0, half_pen]]), 0.0),
        'i' => (with(BezPath::new(), &[[0.0, -wide - half_pen, 0.0, half_pen], [0.0, -3.3, 0.0, -3.3 + PEN]]), 0.0),
        'v' => (BezPath::from_svg("M0,-2.2 L0.95,-0.3 L1.9,-2.2").unwrap_or_default(), 1.9),
        'e' => (with(arc(ROUND, -ROUND, ROUND, 0.8, TAU - 0.8), &[[0.0, -ROUND, wide + half_pen, -ROUND]]), wide),
        'r' => (with(arc(ROUND, -ROUND, ROUND, PI, 1.9), &[[0.0, -wide - half_pen, 0.0, half_pen]]), 1.2),
        'f' => (with(arc(0.95, -2.6, 0.7, PI, FRAC_PI_2), &[[0.25, -2.6, 0.25, half_pen], [-0.2, -wide, 0.95, -wide]]), 0.85),
        _ => (bowl, wide),
    }
}

/// Part of a circle; angles run clockwise from the right.
fn arc(x: f64, y: f64, radius: f64, from: f64, sweep: f64) -> BezPath {
    Arc::new((x, y), (radius, radius), from, sweep, 0.0).to_path(0.001)
}

/// A shape with straight strokes added: x and y of both ends.
fn with(mut shape: BezPath, lines: &[[f64; 4]]) -> BezPath {
    for [x0, y0, x1, y1] in lines {
        shape.move_to((*x0, *y0));
        shape.line_to((*x1, *y1));
    }
    shape
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_lies_on_the_page() {
        let page = kurbo::Rect::new(0.0, 0.0, 30.0, 12.0);
        let words = word("ploverfield", 0.34, 13.2, 6.6, 16.6).bounding_box();
        for area in [words, BezPath::from_svg(BIRD).unwrap().bounding_box()] {
            assert_eq!(area.union(page), page);
        }
    }
}
