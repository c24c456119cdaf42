//! Fills as outlines and as hatching.

use super::drawing;
use crate::drawing::{Drawing, PathShape, Shape};
use crate::inking::fills::{hatched, outlined};
use crate::manifest::Colour;
use kurbo::Shape as _;

/// A large block with its own line, a small block, a large pale one, and a dark one that white letters stand on.
const BLOCKS: &str = "<rect fill='#333' x='10' y='10' width='40' height='30'/><rect fill='#333' x='60' y='10' width='9' height='9'/>\
    <path stroke='none' fill='#eee' d='M10 60h40v30h-40z'/><rect fill='#000' x='100' y='100' width='50' height='20'/>\
    <path stroke='none' fill='#fff' d='M110 105h5v10h-5z'/>";

fn shapes(drawing: &Drawing) -> Vec<&PathShape> {
    let items = drawing.pieces.iter().flat_map(|piece| &piece.items);
    items.filter_map(|item| if let Shape::Path(shape) = &item.shape { Some(shape) } else { None }).collect()
}

#[test]
fn large_fills_become_outlines() {
    let turned = outlined(drawing(BLOCKS, "", ""));
    let shapes = shapes(&turned);
    let filled: Vec<bool> = shapes.iter().map(|shape| shape.fill.is_some()).collect();
    assert_eq!(filled, [false, true, false, true, true], "small ones, and the ground of white letters, stay");
    assert_eq!(shapes[0].stroke.as_ref().unwrap().style.width, 0.5, "a shape's own line is its outline");
    assert_eq!(shapes[2].stroke.as_ref().unwrap().colour, Colour::BLACK, "a pale outline would vanish");
    let bounds = turned.pieces[0].items[2].bounds;
    assert!((bounds.x0 - (10.0 - 0.175)).abs() < 1e-9, "the outline's width counts: {bounds:?}");
}

#[test]
fn hatching_stays_inside_and_is_light() {
    let turned = hatched(drawing("<path stroke='none' fill='#333' d='M10 10H90V90H10ZM30 30V70H70V30Z'/>", "", ""));
    let shapes = shapes(&turned);
    assert_eq!(shapes.len(), 2);
    let (lines, outline) = (shapes[0], shapes[1]);
    assert!(lines.fill.is_none() && outline.fill.is_none());
    let ring = |at: kurbo::Point| outline.path.winding(at) != 0;
    let segments: Vec<kurbo::PathSeg> = lines.path.segments().collect();
    assert!(segments.len() > 20);
    for segment in &segments {
        let kurbo::PathSeg::Line(line) = segment else { panic!("hatching is straight") };
        assert!(((line.p1 - line.p0).y + (line.p1 - line.p0).x).abs() < 1e-6, "hatching rises at 45°: {line:?}");
        assert!((1..100).all(|i| ring(line.p0.lerp(line.p1, f64::from(i) / 100.0))), "{line:?} leaves the shape");
    }
    // Ink of the lines against that of the fill, 4800 mm²; the distance of 3 mm is ours.
    let ink = lines.path.perimeter(0.01) * lines.stroke.as_ref().unwrap().style.width;
    assert!(ink / 4800.0 < 0.1 && ink / 4800.0 > 0.06, "{}", ink / 4800.0);
}
