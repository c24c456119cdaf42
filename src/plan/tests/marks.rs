//! Plates and join marks: on their sheet, away from corners, and never over ink unless they say so.

use super::area;
use super::sample::{Drawn, Sample, any_sample, cases, home};
use super::shapes::Mark;
use crate::plan::{JoinMark, Layout, PlateForm, plate_size};
use crate::units::Length;
use kurbo::{Point, Rect};
use proptest::prelude::*;

/// How far a full mark's ring reaches, half its line included, in mm. What is printed, number and all, is tried in the press.
const RING: f64 = 4.375;
/// The least distance of a mark's middle from the end of its join, in mm, where the join is long enough.
const FROM_CORNER: f64 = 10.0;

/// Whether an outer box holds an inner one, up to rounding.
fn holds(outer: Rect, inner: Rect) -> bool {
    let outer = outer.inflate(1e-6, 1e-6);
    outer.union(inner) == outer
}

fn plates_are_free(sample: &Sample, layout: &Layout) -> Result<(), TestCaseError> {
    let tile = layout.tile.to_kurbo_mm();
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let plate = sheet.plate;
        prop_assert!(holds(tile, plate.area.to_kurbo_mm()), "{}: {:?} leaves {tile}", sheet.label, plate.area.to_kurbo_mm());
        let size = plate_size(plate.form);
        prop_assert!(plate.area.width().within(size.width, Length::mm(1e-6)));
        prop_assert!(plate.area.height().within(size.height, Length::mm(1e-6)));
        let in_drawing = plate.area.to_kurbo_mm() + (area(layout, index).origin() - tile.origin());
        let wet = sample.drawn.iter().any(|drawn| drawn.surely_on(in_drawing));
        prop_assert!(!wet || plate.over_ink, "the plate of {} lies over ink", sheet.label);
        for mark in layout.joins.iter().flat_map(|join| &join.marks) {
            let apart = plate.over_ink || !reach(mark).intersect(in_drawing).has_area();
            prop_assert!(apart, "the plate of {} lies over a join mark", sheet.label);
        }
    }
    Ok(())
}

/// What a mark covers on both sheets.
fn reach(mark: &JoinMark) -> Rect {
    let at = mark.at.to_kurbo_mm();
    Rect::from_center_size(at, (2.0 * RING * mark.scale, 2.0 * RING * mark.scale))
}

trait HasArea {
    fn has_area(&self) -> bool;
}

impl HasArea for Rect {
    fn has_area(&self) -> bool {
        self.width() > 1e-6 && self.height() > 1e-6
    }
}

fn marks_are_free(sample: &Sample, layout: &Layout) -> Result<(), TestCaseError> {
    for join in &layout.joins {
        let (first, second) = (area(layout, join.first), area(layout, join.second));
        let edge = first.intersect(second);
        let length = edge.width().max(edge.height());
        prop_assert!((1..=2).contains(&join.marks.len()));
        for mark in &join.marks {
            let at: Point = mark.at.to_kurbo_mm();
            let off = if join.level { at.y - edge.y0 } else { at.x - edge.x0 };
            prop_assert!(off.abs() < 1e-6, "join {} runs at {edge}, its mark at {at}", join.number);
            let along = if join.level { at.x - edge.x0 } else { at.y - edge.y0 };
            let room = FROM_CORNER.min(length / 2.0) - 1e-6;
            prop_assert!(along >= room && along <= length - room, "join {}: a mark {along} of {length} mm along", join.number);
            let wet = sample.drawn.iter().any(|drawn: &Drawn| drawn.surely_on(reach(mark)));
            prop_assert!(!wet || mark.over_ink, "a mark of join {} lies over ink", join.number);
        }
    }
    Ok(())
}

#[test]
fn a_crowded_narrow_tile_takes_the_narrow_plate() {
    // 58 mm leave 50 mm within 4 mm on either side: 46 mm fit, 56 mm do not.
    let corners = [(0.0, 0.0), (58.0, 0.0), (58.0, 90.0), (0.0, 90.0)].map(Point::from).to_vec();
    let drawn = vec![Drawn { mark: Mark::Block(corners), clip: None, layer: 0 }];
    let layout = Sample { drawn, sizes: 0, setup: home(58.0, 90.0, [0.0; 4], 0.0) }.layout();
    let plate = layout.sheets[0].plate;
    assert_eq!((plate.form, plate.over_ink), (PlateForm::Narrow, true));
    assert!(holds(layout.tile.to_kurbo_mm(), plate.area.to_kurbo_mm()));
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn plates_and_marks_cover_no_ink(sample in any_sample()) {
        let layout = sample.layout();
        plates_are_free(&sample, &layout)?;
        marks_are_free(&sample, &layout)?;
    }
}
