//! Sheets on which a drawing leaves nothing: those that only the words of another language need.

use super::grid::Grid;
use super::ink::Ink;
use super::layout::Layout;
use super::used;
use crate::drawing::Drawing;

/// Indices of a layout's sheets without any ink of a drawing, which need not be the one that it was made for.
pub fn bare_sheets(layout: &Layout, drawing: &Drawing) -> Vec<usize> {
    let grid = Grid {
        sheet_size: layout.sheet_size,
        printable: layout.printable,
        tile: layout.tile,
        lying: layout.facts.lying,
        origin: layout.origin,
        rows: layout.rows,
        columns: layout.columns,
    };
    let touch = used::touch(&Ink::of(drawing), &grid);
    let bare = layout.sheets.iter().enumerate().filter(|(_, sheet)| touch.pieces_on(sheet.row, sheet.column).is_empty());
    bare.map(|(index, _)| index).collect()
}
