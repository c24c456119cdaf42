//! The grid of tiles: how it lies on the drawing and how each tile lies on its sheet.
//!
//! Paper may lie upright or on its side, whichever takes fewer sheets; the drawing itself is never turned.

use super::ink::Ink;
use super::{mm, search};
use crate::manifest::{Format, PaperSetup, Press};
use crate::units::{Length, Margins, Point, Rect, Size};

/// Free length at the ends of a roll together, so that no line touches the frame.
const ROLL_AIR: Length = Length::mm(20.0);

/// A placed grid.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    /// Size of every sheet.
    pub(super) sheet_size: Size,
    /// What the printer reaches, on the sheet.
    pub(super) printable: Rect,
    /// The tile on the sheet.
    pub(super) tile: Rect,
    /// Top left of tile A1 in the drawing.
    pub(super) origin: Point,
    /// Rows of tiles.
    pub(super) rows: usize,
    /// Columns of tiles.
    pub(super) columns: usize,
}

impl Grid {
    /// A tile's rectangle in the drawing.
    pub(super) fn area(&self, row: usize, column: usize) -> Rect {
        let (across, down) = (self.tile.width() * column as f64, self.tile.height() * row as f64);
        Rect::new(Point::new(self.origin.x + across, self.origin.y + down), self.tile.size())
    }

    /// The rectangle of all tiles together, in the drawing.
    pub(super) fn extent(&self) -> Rect {
        let size = Size::new(self.tile.width() * self.columns as f64, self.tile.height() * self.rows as f64);
        Rect::new(self.origin, size)
    }
}

/// The grid that takes the fewest sheets; among equals the best by [`search::Cost`], then the least paper, then upright.
pub(super) fn place(setup: &PaperSetup, ink: &Ink, bounds: Rect, groups: &[Vec<bool>]) -> Option<Grid> {
    let grids = sheets(setup, bounds).into_iter().filter_map(|(size, margins)| {
        let (printable, tile) = frame(size, margins, setup.border);
        let place = search::best(ink, bounds, tile.size(), step_mm(setup), groups)?;
        let grid = Grid { sheet_size: size, printable, tile, origin: place.origin, rows: place.rows, columns: place.columns };
        Some((place.cost, size.width.to_mm() * size.height.to_mm(), grid))
    });
    let weight = |found: &(search::Cost, f64, Grid)| (found.0.sheets, found.1, found.0);
    grids.reduce(|a, b| if weight(&b) < weight(&a) { b } else { a }).map(|found| found.2)
}

/// Distance of neighbouring placements: a home sheet is searched to the millimetre; on wide paper, with its few sheets, a
/// coarser search finds the same count far sooner.
fn step_mm(setup: &PaperSetup) -> f64 {
    match setup.paper.press {
        Press::Home => 1.0,
        Press::Wide => 5.0,
    }
}

/// The ways a paper may lie: upright or on its side; a roll with its length either way.
fn sheets(setup: &PaperSetup, ink: Rect) -> Vec<(Size, Margins)> {
    let (margins, lying) = (setup.margins, on_its_side(setup.margins));
    match setup.paper.format {
        Format::Sheet(size) => vec![(size, margins), (size.turned(), lying)],
        Format::Roll(width) => {
            let long = |ink: Length, a: Length, b: Length| ink + a + b + setup.border * 2.0 + ROLL_AIR;
            let upright = Size::new(width, long(ink.height(), margins.top, margins.bottom));
            let lying_size = Size::new(long(ink.width(), lying.left, lying.right), width);
            vec![(upright, margins), (lying_size, lying)]
        }
    }
}

/// What the printer reaches of a sheet, and the tile on it.
fn frame(size: Size, margins: Margins, border: Length) -> (Rect, Rect) {
    let printable = Rect::new(mm(0.0, 0.0), size).inset(margins);
    (printable, printable.inset(Margins::even(border)))
}

/// Margins of paper that lies on its side; which way it was turned is unknown, so that opposite sides take the larger one.
fn on_its_side(m: Margins) -> Margins {
    let (ends, sides) = (m.top.max(m.bottom), m.left.max(m.right));
    Margins { top: sides, right: ends, bottom: sides, left: ends }
}
