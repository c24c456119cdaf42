//! True size from the bytes: where lines end on the page, after all matrices and roundings, against the drawing.

use super::pdf::{Read, number};
use super::{Pressable, drawn, three_sheets, wide};
use crate::plan::tests::sample::Sample;
use crate::plan::tests::shapes::Mark;
use crate::press::{home_pdf, wide_pdf};
use kurbo::{Affine, Point};
use lopdf::content::{Content, Operation};

/// The error budget on paper, in mm.
const BUDGET: f64 = 0.01;
/// A point of PDF in mm (ISO 32000-1, 8.3.2.3: 1/72 in).
const POINT: f64 = 25.4 / 72.0;

/// Ends of the straight lines of a piece on a page, in mm from its top left.
fn ends(pdf: &Read, page: usize, piece: usize, height: f64) -> Vec<Point> {
    let to_page = matrix(&pdf.operations(page), piece);
    let to_paper = Affine::new([POINT, 0.0, 0.0, -POINT, 0.0, height]) * to_page;
    let form = Content::decode(&pdf.form(page, piece)).unwrap();
    let lines = form.operations.iter().filter(|operation| matches!(operation.operator.as_str(), "m" | "l"));
    lines.map(|operation| to_paper * Point::new(number(&operation.operands[0]), number(&operation.operands[1]))).collect()
}

/// The product of the matrices that are in force where a piece is painted.
fn matrix(operations: &[Operation], piece: usize) -> Affine {
    let (mut now, mut stack) = (Affine::IDENTITY, Vec::new());
    for operation in operations {
        match operation.operator.as_str() {
            "q" => stack.push(now),
            "Q" => now = stack.pop().unwrap(),
            "cm" => {
                let values: Vec<f64> = operation.operands.iter().map(number).collect();
                now *= Affine::new(values.try_into().unwrap());
            }
            "Do" if operation.operands[0].as_name().unwrap() == format!("P{piece}-0").as_bytes() => return now,
            _ => {}
        }
    }
    panic!("piece {piece} is not on the page");
}

#[test]
fn a_line_across_a0_keeps_its_place_to_a_hundredth() {
    let (from, to) = (Point::new(0.123_45, 0.987_65), Point::new(829.876_54, 1_178.012_34));
    let sample = Sample { drawn: vec![drawn(Mark::Bar(from, to, 0.3, None), 0)], sizes: 0, setup: wide("a0") };
    let pressable = Pressable::of(&sample);
    assert_eq!(pressable.layout.sheets.len(), 1);
    let pdf = Read::of(&pressable.pressed(|job, layout| wide_pdf(job, layout).unwrap().bytes));
    let shift = pressable.layout.tile.to_kurbo_mm().origin() - pressable.layout.sheets[0].area.to_kurbo_mm().origin();
    let found = ends(&pdf, 0, 0, pressable.layout.sheet_size.height.to_mm());
    for (found, true_place) in found.iter().zip([from + shift, to + shift]) {
        assert!(found.distance(true_place) < BUDGET / 2.0, "{found} instead of {true_place}");
    }
    assert!((found[0].distance(found[1]) - from.distance(to)).abs() < BUDGET / 2.0);
}

#[test]
fn every_sheet_shows_its_part_in_its_place() {
    let sample = three_sheets();
    let pressable = Pressable::of(&sample);
    let layout = &pressable.layout;
    assert_eq!(layout.sheets.len(), 3);
    let pdf = Read::of(&pressable.pressed(|job, layout| home_pdf(job, layout).unwrap().bytes));
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let shift = layout.tile.to_kurbo_mm().origin() - sheet.area.to_kurbo_mm().origin();
        let found = ends(&pdf, index + 1, 0, layout.sheet_size.height.to_mm());
        for (found, from) in found.iter().zip([Point::new(0.0, 60.0), Point::new(399.0, 60.0)]) {
            assert!(found.distance(from + shift) < BUDGET / 2.0, "{}: {found}", sheet.label);
        }
    }
}
