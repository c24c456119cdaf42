//! Blank layouts: all tiles of a grid are sheets, though nothing is drawn on them yet.

use super::free::{Free, FreeMap};
use super::grid::{self, Grid, Tiles};
use super::ink::Ink;
use super::layout::{Facts, Layout, Sheet};
use super::{budget, joins, label::sheet_label, long_checks, parts, plates, size_sheets};
use crate::drawing::Drawing;
use crate::manifest::{Blank, Kit, PaperSetup};
use crate::printers::Printers;

/// One layout for each paper of a blank kit, every one with all tiles of the grid; `drawing` holds nothing but layers.
pub fn blank_layouts(kit: &Kit, drawing: &Drawing, blank: Blank) -> Vec<Layout> {
    let laid = |setup: &PaperSetup| {
        let grid = grid::bare(setup, Tiles::of(kit, setup), blank.rows, blank.columns)?;
        Some(of_grid(kit, drawing, setup, &grid))
    };
    let edged = |setup: &PaperSetup| parts::edged(kit, setup).filter(|_| blank.rows * blank.columns > 1);
    kit.papers.iter().filter_map(|setup| edged(setup).and_then(|edged| laid(&edged)).or_else(|| laid(setup))).collect()
}

fn of_grid(kit: &Kit, drawing: &Drawing, setup: &PaperSetup, grid: &Grid) -> Layout {
    let all = grid.area(0, 0).union(grid.area(grid.rows - 1, grid.columns - 1));
    let nothing = FreeMap::of(&Ink::of(drawing), all);
    let mut free = Free::of(&nothing);
    let cells = (0..grid.rows).flat_map(|row| (0..grid.columns).map(move |column| (row, column)));
    let sheet = |(row, column)| Sheet {
        row,
        column,
        label: sheet_label(row, column),
        area: grid.area(row, column),
        pieces: Vec::new(),
        sizes: (0..kit.sizes.len()).collect(),
        plate: plates::unset(),
    };
    let mut sheets: Vec<Sheet> = cells.map(sheet).collect();
    let joins = joins::joins(grid, &sheets, &mut free);
    let plates = plates::set(&mut sheets, grid, &free);
    free.take(plates);
    let facts = Facts {
        lying: grid.lying,
        centred_sheets: sheets.len(),
        share: Printers::known().share_of_rect(&setup.paper.id, grid.sheet_size, grid.tile),
        budget: budget::budget(grid.rows, grid.columns, kit.join_error),
        blocks: budget::blocks(grid.columns),
        long_checks: long_checks::find(&sheets, grid.tile.size(), &mut free),
        ..Facts::default()
    };
    Layout {
        setup: setup.clone(),
        sheet_size: grid.sheet_size,
        printable: grid.printable,
        tile: grid.tile,
        origin: grid.origin,
        rows: grid.rows,
        columns: grid.columns,
        sizes: size_sheets(kit, drawing, &sheets),
        sheets,
        joins,
        facts,
    }
}
