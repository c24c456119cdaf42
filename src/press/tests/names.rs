//! Names along size lines: beside their own line, clear of all others, on the sheet, and left out where there is no room.

use super::{Mark, Pressable, drawn, home};
use crate::drawing::{Drawing, Item, Shape};
use crate::manifest::SizeNames;
use crate::plan::tests::sample::Sample;
use crate::press::names::named;
use kurbo::{ParamCurveNearest, Point, Rect};

/// Two ends of a line and its size.
type Ends = ((f64, f64), (f64, f64), usize);

/// Lines of sizes 0 and 1, by their ends, on two sheets of 150 by 200 mm, with names along them.
fn pressed(lines: &[Ends]) -> (Pressable, Drawing) {
    let bar = |&(from, to, size): &Ends| drawn(Mark::Bar(from.into(), to.into(), 0.5, None), size + 1);
    let sample = Sample { drawn: lines.iter().map(bar).collect(), sizes: 2, setup: home(150.0, 200.0, [5.0; 4], 2.0) };
    let mut pressable = Pressable::of(&sample);
    pressable.kit.inking.size_names = SizeNames::AlongLines;
    let drawing = pressable.pressed(named);
    (pressable, drawing)
}

/// Names with the index of their piece.
fn names(drawing: &Drawing) -> Vec<(usize, &Item)> {
    let pieces = drawing.pieces.iter().enumerate();
    pieces
        .flat_map(|(index, piece)| piece.items.iter().filter(|item| item.letter.is_some()).map(move |item| (index, item)))
        .collect()
}

/// How far the letters' outline is from a straight line between two points.
fn distance(item: &Item, from: (f64, f64), to: (f64, f64)) -> f64 {
    let Shape::Path(shape) = &item.shape else { panic!("letters are paths") };
    let line = kurbo::Line::new(from, to);
    let points = shape.path.elements().iter().filter_map(|element| element.end_point());
    points.map(|point| line.nearest(point, 1e-6).distance_sq.sqrt()).fold(f64::MAX, f64::min)
}

#[test]
fn names_stand_beside_their_lines_on_every_sheet() {
    let lines = [((10.0, 20.0), (250.0, 20.0), 0), ((10.0, 30.0), (250.0, 30.0), 1), ((20.0, 60.0), (100.0, 140.0), 0)];
    let (pressable, drawing) = pressed(&lines);
    let names = names(&drawing);
    let areas: Vec<Rect> = pressable.layout.sheets.iter().map(|sheet| sheet.area.to_kurbo_mm()).collect();
    assert!(areas.len() >= 2);
    for (piece, name) in &names {
        let (from, to, _) = lines[*piece];
        let off = distance(name, from, to);
        // Half the line's width and the gap; letters stand on the line or hang from it.
        assert!((0.25 + 0.3..0.25 + 1.2).contains(&off), "a name stands {off} mm off its line");
        for (index, (from, to, _)) in lines.iter().enumerate() {
            assert!(index == *piece || distance(name, *from, *to) > 0.9, "a name stands at another line");
        }
        assert!(areas.iter().any(|area| area.inflate(-5.0, -5.0).contains_rect(name.bounds)), "a name leaves its sheet");
    }
    for area in &areas {
        for (piece, (from, to, _)) in lines.iter().enumerate() {
            let inside = (0..=100)
                .filter(|i| area.inflate(-6.0, -6.0).contains(Point::from(*from).lerp((*to).into(), f64::from(*i) / 100.0)));
            let count = names.iter().filter(|(own, name)| *own == piece && area.contains(name.bounds.center())).count();
            assert_eq!(count, usize::from(inside.count() > 15), "line {piece} on {area:?}");
        }
    }
}

#[test]
fn a_name_without_room_is_left_out() {
    let close: Vec<_> = (0..12).map(|i| ((10.0, 20.0 + 2.0 * f64::from(i)), (120.0, 20.0 + 2.0 * f64::from(i)), 0)).collect();
    let (_, drawing) = pressed(&close);
    let rows: Vec<usize> = names(&drawing).iter().map(|(piece, _)| *piece).collect();
    assert_eq!(rows, [0, 11], "only the outermost lines have room beside them");
}

#[test]
fn names_are_upright() {
    let (_, drawing) = pressed(&[((60.0, 10.0), (60.0, 120.0), 0), ((100.0, 120.0), (20.0, 150.0), 1)]);
    for (piece, name) in names(&drawing) {
        let bounds = name.bounds;
        if piece == 0 {
            // Read upward, letters stand to the left of their line: their feet are on the right.
            assert!(bounds.x1 < 60.0 && bounds.x1 > 59.0, "{bounds:?}");
        } else {
            assert!(bounds.center().y < 150.0 - (bounds.center().x - 20.0) * 30.0 / 80.0, "the name stands above its line");
        }
    }
}
