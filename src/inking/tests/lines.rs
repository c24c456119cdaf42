//! Which strokes are restyled, and what stays.

use super::drawing;
use crate::drawing::{Drawing, Item, Shape, Stroke};
use crate::inking::lines::distinct;
use crate::inking::{pattern, sample};
use crate::manifest::Colour;

fn items(drawing: &Drawing) -> Vec<&Item> {
    drawing.pieces.iter().flat_map(|piece| &piece.items).collect()
}

fn stroke(item: &Item) -> Option<&Stroke> {
    match &item.shape {
        Shape::Path(shape) => shape.stroke.as_ref(),
        Shape::Image(_) => None,
    }
}

fn path(item: &Item) -> String {
    match &item.shape {
        Shape::Path(shape) => shape.path.to_svg(),
        Shape::Image(_) => String::new(),
    }
}

/// Cutting line, notch, fold in its own style, filled dot, compound of small marks, and a short grainline in the size's style.
const SIZE: &str = "<path stroke='#c00' d='M10 10H100V90'/><path stroke='#c00' d='M50 10v6'/>\
    <path stroke-width='.25' stroke-dasharray='6 2' d='M10 50H90'/><rect x='20' y='20' width='30' height='30' fill='#000' stroke='#c00'/>\
    <path stroke='#c00' d='M30 70h8v8M80 70h-8v8'/><path stroke='#c00' stroke-opacity='.5' d='M10 95H60'/>";

#[test]
fn cutting_lines_are_restyled_and_nothing_else() {
    let drawn = drawing("<path d='M0 0H100'/>", "<path d='M5 5H95'/>", SIZE);
    let restyled = distinct(drawn.clone());
    let (before, after) = (items(&drawn), items(&restyled));
    assert_eq!(before.len(), after.len());
    for (one, other) in before.iter().zip(&after) {
        assert_eq!(path(one), path(other), "a path was changed");
    }
    let changed: Vec<usize> = (0..before.len()).filter(|&index| stroke(before[index]) != stroke(after[index])).collect();
    // The line of size a, the cutting line of size b, and the long one of the same colour, width and dashes.
    assert_eq!(changed, [1, 2, 7]);
    let line = stroke(after[2]).unwrap();
    assert_eq!((line.colour, line.opacity, &line.style), (Colour::BLACK, 1.0, &pattern(1)));
    assert_eq!(stroke(after[1]).unwrap().style, pattern(0));
}

#[test]
fn a_heavier_line_claims_its_room() {
    let drawn = drawing("", "<path d='M5 5H95'/>", "<path stroke-width='.2' d='M5 50H95'/>");
    let restyled = distinct(drawn);
    let piece = restyled.pieces.last().unwrap();
    assert!((piece.bounds.y0 - (50.0 - 0.35)).abs() < 1e-9 && piece.bounds == piece.items[0].bounds);
}

#[test]
fn the_sample_is_the_commonest_line_not_the_first() {
    let lines = "<path stroke='#00f' d='M0 0H20'/><path d='M0 9H50'/><path d='M0 19H50'/><path stroke='#0a0' d='M0 29H90'/>";
    let drawn = drawing("", lines, "<path d='M0 40h5'/>");
    assert_eq!(sample(&drawn, 0).unwrap().colour, Colour::BLACK);
    assert_eq!(sample(&drawn, 1), None, "a notch is no line");
}
