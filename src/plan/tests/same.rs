//! Sameness: a moved drawing has the same plan, and neither runs nor threads change it.

use super::sample::{Sample, any_sample, cases};
use crate::plan::Layout;
use crate::units::{Length, Rect};
use kurbo::Vec2;
use proptest::prelude::*;

/// Everything about a layout that must not depend on where the drawing lies.
fn shape(layout: &Layout) -> impl PartialEq + std::fmt::Debug + use<> {
    let sheets: Vec<_> = layout
        .sheets
        .iter()
        .map(|s| (s.label.clone(), s.pieces.clone(), s.sizes.clone(), s.plate.form, s.plate.over_ink))
        .collect();
    let joins: Vec<_> = layout
        .joins
        .iter()
        .map(|j| (j.number, j.first, j.second, j.level, j.marks.iter().map(|m| m.over_ink).collect::<Vec<_>>()))
        .collect();
    (layout.rows, layout.columns, layout.sheet_size.width.to_mm().to_bits(), sheets, joins, layout.sizes.clone())
}

/// Places of plates on their sheets and of join marks from the origin, in mm.
fn places(layout: &Layout) -> Vec<(f64, f64)> {
    let corner = |r: Rect| (r.min.x.to_mm(), r.min.y.to_mm());
    let marks = layout.joins.iter().flat_map(|join| &join.marks);
    let marks = marks.map(|mark| ((mark.at.x - layout.origin.x).to_mm(), (mark.at.y - layout.origin.y).to_mm()));
    layout.sheets.iter().map(|sheet| corner(sheet.plate.area)).chain(marks).collect()
}

/// Whether a drawing lies on a knife's edge there: ink that just touches a tile is in or out by a shift so small that rounding
/// makes it too. Paper knows nothing of a ten-millionth of a millimetre, so either plan is right.
fn on_an_edge(sample: &Sample, at: Vec2) -> bool {
    const HAIR: f64 = 1e-7;
    let around = [(-HAIR, 0.0), (HAIR, 0.0), (0.0, -HAIR), (0.0, HAIR)];
    let as_it_is = shape(&sample.layout_at(at));
    around.iter().any(|&(x, y)| shape(&sample.layout_at(at + Vec2::new(x, y))) != as_it_is)
}

fn same_after(sample: &Sample, shift: Vec2) -> Result<(), TestCaseError> {
    let (here, there) = (sample.layout(), sample.layout_at(shift));
    if shape(&here) != shape(&there) && (on_an_edge(sample, Vec2::ZERO) || on_an_edge(sample, shift)) {
        return Err(TestCaseError::reject("a drawing on a knife's edge"));
    }
    prop_assert_eq!(shape(&here), shape(&there));
    let moved = there.origin.to_kurbo_mm() - here.origin.to_kurbo_mm() - shift;
    prop_assert!(moved.hypot() < 1e-6, "the origin moved by {moved} more than the drawing");
    for (a, b) in places(&here).into_iter().zip(places(&there)) {
        prop_assert!((a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6, "{a:?} became {b:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn a_drawing_moved_by_whole_hundredths_has_the_same_plan(sample in any_sample(), x in -90_000..90_000, y in -90_000..90_000) {
        // The grid begins on a whole hundredth of a millimetre, so that a manifest can name its place.
        same_after(&sample, Vec2::new(f64::from(x) / 100.0, f64::from(y) / 100.0))?;
    }

    #[test]
    fn a_drawing_moved_by_whole_tiles_has_the_same_plan(sample in any_sample(), x in -4..=4, y in -4..=4) {
        let tile = sample.layout().tile;
        let along = |side: Length, count: i32| side.to_mm() * f64::from(count);
        same_after(&sample, Vec2::new(along(tile.width(), x), along(tile.height(), y)))?;
    }
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn threads_do_not_change_the_plan(sample in any_sample()) {
        let plan = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| format!("{:?}", sample.layout()))
        };
        prop_assert_eq!(plan(1), plan(4));
    }
}
