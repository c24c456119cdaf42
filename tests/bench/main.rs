//! The nests that benchmarks measure are what they say they are.

// A test that cannot go on must stop loudly, and helpers stand outside the `#[test]` functions that the lints spare.
#![allow(clippy::expect_used, clippy::indexing_slicing)]

mod cases;
mod nest;

use cases::CASES;
use kitwright::drawing::{Drawing, Role, Shape};
use kitwright::plan;
use kurbo::PathEl;
use nest::Nest;
use sha2::{Digest, Sha256};

const SMALL: Nest = Nest { pieces: 3, sizes: 2, segments: 100, page: (400.0, 300.0), seed: 1 };

/// Curves and lines that reach paper, as the program reads them.
fn segments(drawing: &Drawing) -> usize {
    let shapes = drawing.pieces.iter().flat_map(|piece| &piece.items).map(|item| &item.shape);
    let paths = shapes.filter_map(|shape| if let Shape::Path(shape) = shape { Some(&shape.path) } else { None });
    paths.flat_map(|path| path.elements()).filter(|element| drawn(element)).count()
}

fn drawn(element: &PathEl) -> bool {
    !matches!(element, PathEl::MoveTo(_) | PathEl::ClosePath)
}

#[test]
fn every_case_has_its_segments_sizes_and_sheets() {
    for case in CASES {
        let (kit, drawing) = case.ready();
        assert_eq!(segments(&drawing), case.nest.segments, "{case}");
        assert_eq!(kit.sizes.len(), case.nest.sizes, "{case}");
        let pieces = |size| drawing.pieces.iter().filter(|piece| drawing.layers[piece.layer].role == Role::Size(size)).count();
        assert!((0..case.nest.sizes).all(|size| pieces(size) == case.nest.pieces), "{case}");
        let (layouts, _) = plan::layouts(&kit, &drawing);
        let sheets = layouts[0].sheets.len();
        assert!(sheets.abs_diff(case.sheets) * 10 <= case.sheets, "{case}: it takes {sheets}");
    }
}

#[test]
fn any_number_of_segments_is_hit_exactly() {
    for segments in 60..160 {
        let text = Nest { segments, ..SMALL }.svg();
        let data = text.split(" d=\"").skip(1).filter_map(|rest| rest.split('"').next());
        assert_eq!(data.map(|data| data.matches(['C', 'L']).count()).sum::<usize>(), segments);
    }
}

#[test]
#[should_panic(expected = "30 segments are too few for 6 outlines")]
fn fewer_segments_than_outlines_need_are_refused() {
    Nest { segments: 30, ..SMALL }.svg();
}

/// The checksums are this program's own, so they prove no more than that nothing has changed since they were written down.
#[test]
fn texts_are_the_same_on_every_machine_and_day() {
    let sum = |text: String| Sha256::digest(text).iter().take(8).map(|byte| format!("{byte:02x}")).collect::<String>();
    assert_eq!(sum(SMALL.svg()), "5b39399d7b9ed2fa");
    assert_eq!(sum(SMALL.manifest("a4")), "4a5c3727684e613c");
    assert_ne!(SMALL.svg(), Nest { seed: 2, ..SMALL }.svg());
}
