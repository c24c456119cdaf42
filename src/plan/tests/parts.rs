//! Parts of wide paper: a glue edge where they are lapped, and nowhere else.

use super::sample::{Drawn, Sample, any_sample, cases};
use super::shapes::Mark;
use crate::manifest::{Blank, Joins, Paper, PaperSetup, Press};
use crate::plan::{Layout, blank_layouts, layouts};
use crate::units::{Length, Margins};
use kurbo::{Point, Vec2};
use proptest::prelude::*;

/// A line of a length on paper that keeps 5 mm of margin and, where it is lapped, 3 mm of border.
fn laid(length: f64, paper: &str, joins: Joins) -> Layout {
    let drawn = Drawn { mark: Mark::Bar(Point::ORIGIN, Point::new(length, 0.0), 0.4, None), clip: None, layer: 0 };
    let setup = PaperSetup {
        paper: Paper::known(paper).unwrap(),
        margins: Margins::even(Length::mm(5.0)),
        border: Length::ZERO,
        glue_edge: Length::mm(3.0),
        pin: None,
        longest: Length::mm(1000.0),
    };
    let sample = Sample { drawn: vec![drawn], sizes: 0, setup };
    let kit = crate::manifest::Kit { joins, ..sample.kit() };
    layouts(&kit, &sample.drawing(Vec2::ZERO)).0.remove(0)
}

#[test]
fn only_what_is_lapped_keeps_a_glue_edge() {
    for (paper, length, joins, border) in [
        ("a1", 700.0, Joins::Lapped, 0.0),
        ("a1", 900.0, Joins::Butt, 0.0),
        ("a1", 900.0, Joins::Lapped, 3.0),
        ("roll-610", 1500.0, Joins::Butt, 0.0),
        ("roll-610", 1500.0, Joins::Lapped, 3.0),
        ("roll-610", 560.0, Joins::Lapped, 0.0),
    ] {
        let layout = laid(length, paper, joins);
        let (tile, printable) = (layout.tile.to_kurbo_mm(), layout.printable.to_kurbo_mm());
        assert_eq!(layout.setup.border, Length::mm(border), "{paper}, {length} mm, {joins:?}");
        let around = tile.inflate(border, border);
        assert!((around.x0 - printable.x0).abs() < 1e-9 && (around.x1 - printable.x1).abs() < 1e-9, "{around} in {printable}");
        assert_eq!(layout.sheets.len() > 1, border > 0.0 || joins == Joins::Butt, "{paper}, {length} mm, {joins:?}");
        assert!(layout.sheet_size.width.max(layout.sheet_size.height) <= Length::mm(1000.0));
    }
}

#[test]
fn blank_sheets_keep_the_glue_edge_of_what_is_drawn_on_them() {
    let setup = laid(10.0, "a2", Joins::Butt).setup;
    let sample = Sample { drawn: Vec::new(), sizes: 0, setup };
    let border = |joins, columns| {
        let kit = crate::manifest::Kit { joins, ..sample.kit() };
        blank_layouts(&kit, &sample.drawing(Vec2::ZERO), Blank { rows: 1, columns }).remove(0).setup.border
    };
    assert_eq!([border(Joins::Lapped, 1), border(Joins::Butt, 2)], [Length::ZERO; 2]);
    assert_eq!(border(Joins::Lapped, 2), Length::mm(3.0));
}

proptest! {
    #![proptest_config(cases(100))]

    /// With its glue edge wide paper is laid out as home paper with that border is.
    #[test]
    fn parts_are_laid_as_home_sheets_are(sample in any_sample()) {
        let lapped = |setup: PaperSetup| {
            let sample = Sample { setup, ..sample.clone() };
            let kit = crate::manifest::Kit { joins: Joins::Lapped, ..sample.kit() };
            layouts(&kit, &sample.drawing(Vec2::ZERO)).0.into_iter().next()
        };
        let home = lapped(PaperSetup { border: Length::mm(3.0), glue_edge: Length::mm(3.0), ..sample.setup.clone() });
        let paper = Paper { press: Press::Wide, ..sample.setup.paper.clone() };
        let wide = lapped(PaperSetup { paper, border: Length::ZERO, glue_edge: Length::mm(3.0), ..sample.setup.clone() });
        let (Some(home), Some(wide)) = (home, wide) else { return Ok(()) };
        if wide.setup.border == Length::ZERO {
            prop_assert_eq!(wide.sheets.len(), 1);
        } else {
            prop_assert_eq!((wide.tile, wide.origin), (home.tile, home.origin));
            prop_assert_eq!(format!("{:?}{:?}", wide.sheets, wide.joins), format!("{:?}{:?}", home.sheets, home.joins));
        }
    }
}
