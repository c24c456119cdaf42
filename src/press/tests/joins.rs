//! Join marks: the two halves of each meet exactly when the sheets are laid together, on all four sides.

use crate::manifest::Colour;
use crate::plan::tests::sample::{Sample, any_sample, cases};
use crate::plan::{Join, Layout};
use crate::press::Faces;
use crate::press::marks::join_marks;
use crate::press::scene::Words;
use kurbo::{BezPath, PathEl, Point, Rect, Shape};
use proptest::prelude::*;

/// Rounding of sums, in mm.
const ROUNDING: f64 = 1e-6;

/// Every point of one half of a join's marks, put back from the sheet into the drawing, with the number beside it.
fn half(layout: &Layout, join: &Join, sheet: usize) -> (Vec<Point>, Vec<String>) {
    let alone = Layout { joins: vec![join.clone()], ..layout.clone() };
    let scene = join_marks(&Faces::built_in(), &alone, sheet, Colour::BLACK);
    let back = layout.sheets[sheet].area.to_kurbo_mm().origin() - layout.tile.to_kurbo_mm().origin();
    let points = scene.strokes.iter().flat_map(|inked| points(&inked.path)).map(|p| p + back).collect();
    (points, scene.words.into_iter().map(|words| words.text).collect())
}

/// Ends and control points.
fn points(path: &BezPath) -> Vec<Point> {
    let of = |element: &PathEl| match *element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => vec![p],
        PathEl::QuadTo(a, p) => vec![a, p],
        PathEl::CurveTo(a, b, p) => vec![a, b, p],
        PathEl::ClosePath => vec![],
    };
    path.elements().iter().flat_map(of).collect()
}

/// The second half is the first one seen in a mirror that stands on the join.
fn halves_meet(layout: &Layout, join: &Join) -> Result<(), TestCaseError> {
    let ((first, number), (second, other)) = (half(layout, join, join.first), half(layout, join, join.second));
    prop_assert!(!first.is_empty() && first.len() == second.len());
    prop_assert_eq!(&number, &vec![join.number.to_string(); join.marks.len()]);
    prop_assert_eq!(number, other);
    let far = layout.sheets[join.first].area.to_kurbo_mm();
    let line = if join.level { far.y1 } else { far.x1 };
    let depth = |p: &Point| if join.level { p.y - line } else { p.x - line };
    prop_assert!(first.iter().all(|p| depth(p) < ROUNDING), "the first half of join {} leaves its sheet", join.number);
    prop_assert!(second.iter().all(|p| depth(p) > -ROUNDING), "the second half of join {} leaves its sheet", join.number);
    for p in &first {
        let mirrored = if join.level { Point::new(p.x, 2.0 * line - p.y) } else { Point::new(2.0 * line - p.x, p.y) };
        let twin = second.iter().map(|q| q.distance(mirrored)).fold(f64::INFINITY, f64::min);
        prop_assert!(twin < ROUNDING, "join {}: {p} has its twin {twin} mm off", join.number);
    }
    Ok(())
}

/// Boxes of everything printed on a sheet for a join's marks, put back into the drawing.
fn printed(layout: &Layout, join: &Join, sheet: usize) -> Vec<Rect> {
    let alone = Layout { joins: vec![join.clone()], ..layout.clone() };
    let scene = join_marks(&Faces::built_in(), &alone, sheet, Colour::BLACK);
    let back = layout.sheets[sheet].area.to_kurbo_mm().origin() - layout.tile.to_kurbo_mm().origin();
    let lines = scene.strokes.iter().map(|inked| {
        let half = inked.line.as_ref().map_or(0.0, |(_, line)| line.width / 2.0);
        inked.path.bounding_box().inflate(half, half)
    });
    // Digits are about 0.72 of the em high.
    let faces = Faces::built_in();
    let size = |words: &Words| (faces.width(&words.text, words.style), 0.72 * words.style.size);
    let words = scene.words.iter().map(|words| {
        let (width, height) = size(words);
        let left = faces.place(words).at.x;
        Rect::new(left, words.at.y - height, left + width, words.at.y)
    });
    let tile = layout.tile.to_kurbo_mm();
    lines.chain(words).map(|area| area.intersect(tile) + back).collect()
}

/// Nothing of a mark that the plan holds for free is printed over ink.
fn marks_are_clear(sample: &Sample, layout: &Layout, join: &Join) -> Result<(), TestCaseError> {
    if join.marks.iter().any(|mark| mark.over_ink) {
        return Ok(());
    }
    for area in [join.first, join.second].into_iter().flat_map(|sheet| printed(layout, join, sheet)) {
        let wet = sample.drawn.iter().any(|drawn| drawn.surely_on(area));
        prop_assert!(!wet, "a mark of join {} is printed over ink: {area}", join.number);
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn printed_halves_meet_their_twins(sample in any_sample()) {
        let layout = sample.layout();
        for join in &layout.joins {
            halves_meet(&layout, join)?;
            marks_are_clear(&sample, &layout, join)?;
        }
        // No sheet carries a half of a join that is not its own: one beside a dropped sheet carries none there.
        for sheet in 0..layout.sheets.len() {
            let own = layout.joins.iter().filter(|join| join.first == sheet || join.second == sheet);
            let count: usize = own.map(|join| join.marks.len()).sum();
            prop_assert_eq!(join_marks(&Faces::built_in(), &layout, sheet, Colour::BLACK).words.len(), count);
        }
    }
}
