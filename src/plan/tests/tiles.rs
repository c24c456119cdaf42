//! Ink and tiles: every bit of ink on exactly one used tile or a shared edge, no used tile without ink, for every size too.

use super::area;
use super::sample::{Drawn, Sample, any_sample, cases};
use crate::plan::Layout;
use kurbo::{Point, Rect};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// Rounding between the plan and these tests, in mm; curves are flattened to 0.002 mm.
const ROUNDING: f64 = 0.01;

fn holds(area: Rect, at: Point, slack: f64) -> bool {
    let area = area.inflate(slack, slack);
    (area.x0..=area.x1).contains(&at.x) && (area.y0..=area.y1).contains(&at.y)
}

/// Every point of ink lies on a used tile, and inside of one at most.
fn all_ink_once(sample: &Sample, layout: &Layout) -> Result<(), TestCaseError> {
    for at in sample.drawn.iter().flat_map(Drawn::points) {
        let on = |slack: f64| (0..layout.sheets.len()).filter(|&sheet| holds(area(layout, sheet), at, slack)).count();
        prop_assert!(on(ROUNDING) >= 1, "ink at {at} is on no sheet");
        prop_assert!(on(-ROUNDING) <= 1, "ink at {at} is inside of several sheets");
    }
    Ok(())
}

/// The pieces that a sheet names are those with ink on it.
fn pieces_are_those_with_ink(sample: &Sample, layout: &Layout) -> Result<(), TestCaseError> {
    for (index, sheet) in layout.sheets.iter().enumerate() {
        prop_assert!(!sheet.pieces.is_empty(), "{} holds no piece", sheet.label);
        for (piece, drawn) in sample.drawn.iter().enumerate() {
            let (named, tile) = (sheet.pieces.contains(&piece), area(layout, index));
            prop_assert!(named || !drawn.surely_on(tile), "{} lacks piece {piece}", sheet.label);
            prop_assert!(!named || drawn.maybe_on(tile), "{} has no ink of piece {piece}", sheet.label);
        }
    }
    Ok(())
}

/// Sheets lie in the grid, row by row, labelled by row and column, and the grid begins and ends with ink.
fn grid_is_in_order(layout: &Layout) -> Result<(), TestCaseError> {
    let places: Vec<(usize, usize)> = layout.sheets.iter().map(|sheet| (sheet.row, sheet.column)).collect();
    prop_assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "not row by row: {places:?}");
    let (tile, origin) = (layout.tile.to_kurbo_mm(), layout.origin.to_kurbo_mm());
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let letter = char::from(b'A' + u8::try_from(sheet.row).unwrap());
        prop_assert_eq!(&sheet.label, &format!("{letter}{}", sheet.column + 1));
        let corner = origin + (tile.width() * sheet.column as f64, tile.height() * sheet.row as f64);
        let should = Rect::from_origin_size(corner, tile.size());
        prop_assert!(
            holds(should, area(layout, index).origin(), 1e-9) && (area(layout, index).area() - should.area()).abs() < 1e-6
        );
    }
    let (rows, columns): (BTreeSet<_>, BTreeSet<_>) = places.iter().copied().unzip();
    prop_assert_eq!((rows.first(), columns.first()), (Some(&0), Some(&0)));
    prop_assert_eq!((rows.last(), columns.last()), (Some(&(layout.rows - 1)), Some(&(layout.columns - 1))));
    Ok(())
}

/// A size needs the sheets with its own ink or that of the base, no others.
fn sizes_need_their_ink(sample: &Sample, layout: &Layout) -> Result<(), TestCaseError> {
    prop_assert_eq!(layout.sizes.len(), sample.sizes.max(1));
    for (size, needed) in layout.sizes.iter().enumerate() {
        prop_assert!(needed.sheets.windows(2).all(|pair| pair[0] < pair[1]));
        prop_assert!(needed.sheets.iter().all(|&sheet| sheet < layout.sheets.len()));
        let mine = |drawn: &&Drawn| drawn.layer == 0 || drawn.layer == size + 1;
        for sheet in 0..layout.sheets.len() {
            let (named, tile) = (needed.sheets.contains(&sheet), area(layout, sheet));
            let mut ink = sample.drawn.iter().filter(mine);
            prop_assert!(named || !ink.clone().any(|drawn| drawn.surely_on(tile)), "size {size} lacks sheet {sheet}");
            prop_assert!(!named || ink.any(|drawn| drawn.maybe_on(tile)), "size {size} does not need sheet {sheet}");
        }
    }
    Ok(())
}

/// Every pair of used neighbours has one join, numbered in reading order, and nothing else has.
fn joins_are_shared_edges(layout: &Layout) -> Result<(), TestCaseError> {
    let mut pairs = Vec::new();
    for (first, a) in layout.sheets.iter().enumerate() {
        for (second, b) in layout.sheets.iter().enumerate() {
            let (down, right) = (b.row.wrapping_sub(a.row), b.column.wrapping_sub(a.column));
            pairs.extend(((down, right) == (0, 1)).then_some((first, second, false)));
            pairs.extend(((down, right) == (1, 0)).then_some((first, second, true)));
        }
    }
    let found: Vec<(usize, usize, bool)> = layout.joins.iter().map(|join| (join.first, join.second, join.level)).collect();
    prop_assert_eq!(found.iter().collect::<BTreeSet<_>>(), pairs.iter().collect::<BTreeSet<_>>());
    prop_assert_eq!(found.len(), pairs.len());
    prop_assert!(layout.joins.iter().map(|join| join.number).eq(1..=pairs.len()));
    Ok(())
}

proptest! {
    #![proptest_config(cases(1000))]

    #[test]
    fn tiles_hold_the_ink_and_only_the_ink(sample in any_sample()) {
        let layout = sample.layout();
        all_ink_once(&sample, &layout)?;
        pieces_are_those_with_ink(&sample, &layout)?;
        grid_is_in_order(&layout)?;
        sizes_need_their_ink(&sample, &layout)?;
        joins_are_shared_edges(&layout)?;
    }
}
