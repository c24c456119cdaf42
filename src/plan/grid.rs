//! The grid of tiles: how it lies on the drawing and how each tile lies on its sheet.
//!
//! Fewest sheets by a fine search over all placements is to come; today the grid is centred on the ink.

use super::mm;
use crate::manifest::{Format, PaperSetup, Press};
use crate::units::{Length, Margins, Point, Rect, Size};

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

    fn sheet_count(&self) -> usize {
        self.rows * self.columns
    }
}

/// The grid that takes the fewest tiles, and among those the least paper; upright wins a tie.
pub(super) fn place(setup: &PaperSetup, ink: Rect) -> Grid {
    let candidates = sheets(setup, ink).into_iter().map(|(size, margins)| on_sheet(size, margins, setup.border, ink));
    let cost = |grid: &Grid| (grid.sheet_count() as f64, grid.sheet_size.width * grid.sheet_size.height.to_mm());
    let better = |a: Grid, b: Grid| if cost(&b) < cost(&a) { b } else { a };
    candidates.reduce(better).unwrap_or_else(|| on_sheet(Size::mm(210.0, 297.0), Margins::default(), Length::ZERO, ink))
}

/// The ways a paper may lie: home paper upright, wide paper upright or on its side, a roll with its length either way.
fn sheets(setup: &PaperSetup, ink: Rect) -> Vec<(Size, Margins)> {
    let (margins, lying) = (setup.margins, on_its_side(setup.margins));
    match (setup.paper.format, setup.paper.press) {
        (Format::Sheet(size), Press::Home) => vec![(size, margins)],
        (Format::Sheet(size), Press::Wide) => vec![(size, margins), (size.turned(), lying)],
        (Format::Roll(width), _) => {
            let long = |ink: Length, a: Length, b: Length| ink + a + b + setup.border * 2.0;
            let upright = Size::new(width, long(ink.height(), margins.top, margins.bottom));
            let lying_size = Size::new(long(ink.width(), lying.left, lying.right), width);
            vec![(upright, margins), (lying_size, lying)]
        }
    }
}

/// Margins of paper that lies on its side; which way it was turned is unknown, so that opposite sides take the larger one.
fn on_its_side(m: Margins) -> Margins {
    let (ends, sides) = (m.top.max(m.bottom), m.left.max(m.right));
    Margins { top: sides, right: ends, bottom: sides, left: ends }
}

fn on_sheet(sheet_size: Size, margins: Margins, border: Length, ink: Rect) -> Grid {
    let printable = Rect::new(mm(0.0, 0.0), sheet_size).inset(margins);
    let tile = printable.inset(Margins::even(border));
    let (columns, rows) = (tiles(ink.width(), tile.width()), tiles(ink.height(), tile.height()));
    let spare_x = tile.width() * columns as f64 - ink.width();
    let spare_y = tile.height() * rows as f64 - ink.height();
    let origin = Point::new(ink.min.x - spare_x / 2.0, ink.min.y - spare_y / 2.0);
    Grid { sheet_size, printable, tile, origin, rows, columns }
}

/// How many tiles cover a length; a rounding error of a nanometre must not cost a sheet.
fn tiles(length: Length, tile: Length) -> usize {
    ((length - Length::mm(1e-6)) / tile).ceil().max(1.0) as usize
}
