//! A layout: how one drawing is spread over the sheets of one paper.

use crate::manifest::{PaperSetup, Press};
use crate::units::{Point, Rect, Size};

/// All the sheets for one paper.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The paper, its margins and border.
    pub setup: PaperSetup,
    /// Size of every sheet; of a roll, the length that the drawing needs.
    pub sheet_size: Size,
    /// What the printer reaches, on the sheet.
    pub printable: Rect,
    /// The tile on the sheet: printable rectangle less the border.
    pub tile: Rect,
    /// Where the top left of tile A1 lies in the drawing. The drawing itself is never turned: wide paper may lie on its side.
    pub origin: Point,
    /// Rows of the grid, used or not.
    pub rows: usize,
    /// Columns of the grid, used or not.
    pub columns: usize,
    /// Used sheets, row by row.
    pub sheets: Vec<Sheet>,
    /// Shared edges of used tiles, numbered from 1 in this order.
    pub joins: Vec<Join>,
    /// For each size of the kit, in order, the sheets it needs; one entry for a one-size kit.
    pub sizes: Vec<SizeSheets>,
}

/// One printed piece of paper.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// From 0, top row first.
    pub row: usize,
    /// From 0, left column first.
    pub column: usize,
    /// Row letter and column number: `A1`, after row Z comes AA.
    pub label: String,
    /// The tile's rectangle in the drawing.
    pub area: Rect,
    /// Indices of the drawing's pieces with ink on it, in paint order.
    pub pieces: Vec<usize>,
    /// Indices of the kit's sizes with ink of their own on it.
    pub sizes: Vec<usize>,
    /// Where the words stand.
    pub plate: Plate,
}

/// The free place of a sheet that takes label, rule, map and words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// On the sheet.
    pub area: Rect,
    /// How much it holds.
    pub form: PlateForm,
    /// Whether it had to be set over ink and needs a white ground.
    pub over_ink: bool,
}

/// How much a plate holds, from most to least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlateForm {
    /// Everything, with a rule of 100 mm and 4 in.
    Full,
    /// Everything, with a rule of 50 mm and 2 in.
    Half,
    /// Label, count and rule of 50 mm and 2 in.
    Small,
    /// Label, count and rule of 40 mm and 1 in, for the narrowest free places.
    Narrow,
}

/// A shared edge of two used tiles.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// From 1, printed beside both halves.
    pub number: usize,
    /// Index of the upper or left sheet.
    pub first: usize,
    /// Index of the lower or right sheet.
    pub second: usize,
    /// Whether the edge runs from left to right (the sheets lie above each other).
    pub level: bool,
    /// Its registration marks, first the upper or left one.
    pub marks: Vec<JoinMark>,
}

/// A registration mark, half on each side of its join.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JoinMark {
    /// Its middle, on the join, in the drawing.
    pub at: Point,
    /// Whether there was no free place, so that it needs a white ground.
    pub over_ink: bool,
}

/// The sheets that one size needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeSheets {
    /// Name of the size; empty for a one-size kit.
    pub name: String,
    /// Indices of sheets, rising.
    pub sheets: Vec<usize>,
}

impl Layout {
    /// The page, from 1, that shows a sheet: a home file opens with the check page.
    pub fn page_of(&self, sheet: usize) -> usize {
        match self.setup.paper.press {
            Press::Home => sheet + 2,
            Press::Wide => sheet + 1,
        }
    }

    /// The pages, from 1, of the sheets that a size needs, rising.
    pub fn pages_of(&self, size: &SizeSheets) -> Vec<usize> {
        size.sheets.iter().map(|&sheet| self.page_of(sheet)).collect()
    }
}
