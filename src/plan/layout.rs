//! A layout: how one drawing is spread over the sheets of one paper.

use crate::manifest::{PaperSetup, Press};
use crate::printers::{Share, Side};
use crate::units::{Length, Margins, Point, Rect, Size};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::ops::Range;

/// All the sheets for one paper.
#[derive(Clone, Debug, Serialize, Deserialize)]
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
    /// What is to be told about it.
    pub facts: Facts,
}

/// What the plan found out about a layout beyond the layout itself.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Facts {
    /// Whether the paper lies on its side.
    pub lying: bool,
    /// How many sheets upright paper with its grid centred on the ink would take.
    pub centred_sheets: usize,
    /// The fewest sheets that the search found, where the manifest holds the grid elsewhere.
    pub unpinned_sheets: Option<usize>,
    /// The fewest sheets with a tile of the paper's own, where all home papers share one.
    pub own_sheets: Option<usize>,
    /// How many known printers print the tile whole; none where nothing is known of the paper.
    pub share: Option<Share>,
    /// Indices of sheets with next to no ink, thinner than 0.2 mm.
    pub slivers: Vec<usize>,
    /// What trimming and taping may add up to.
    pub budget: Budget,
    /// In which order to join: columns of each block, first to last; one block means row by row.
    pub blocks: Vec<Range<usize>>,
    /// Lengths to be measured across several joined sheets.
    pub long_checks: Vec<LongCheck>,
    /// The part of each sheet's paper that the drawing's ink covers, 0 to 1, good to a tenth of itself; empty unless
    /// [`super::covered_layouts`] has looked.
    pub coverage: Vec<f64>,
    /// Places of the legend of sizes, one a wide sheet; none on home sheets, or in a kit of one size.
    pub legends: Vec<Legend>,
}

impl Facts {
    /// The mean of all sheets' coverage, and the largest with the index of its sheet; none without sheets.
    pub fn ink(&self) -> Option<(f64, f64, usize)> {
        let mean = self.coverage.iter().sum::<f64>() / self.coverage.len() as f64;
        let sheets = self.coverage.iter().enumerate();
        let (sheet, most) = sheets.reduce(|most, next| if next.1 > most.1 { next } else { most })?;
        Some((mean, *most, sheet))
    }
}

/// The place of a legend.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Legend {
    /// On the sheet.
    pub area: Rect,
    /// Whether it had to be set over ink and needs a white ground.
    pub over_ink: bool,
}

/// How far the corners of the assembly may be off when every join is a little.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Budget {
    /// Joins between opposite corners.
    pub joins: usize,
    /// Likely misfit: errors of single joins, by chance, partly cancel (root of the sum of squares).
    pub expected: Length,
    /// Misfit if every join is off the same way.
    pub worst: Length,
}

/// Two crosses on different sheets, as far apart as the joined paper must be.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LongCheck {
    /// Index of the sheet with the left or upper cross.
    pub first: usize,
    /// Index of the sheet with the right or lower cross.
    pub second: usize,
    /// The left or upper cross, in the drawing.
    pub from: Point,
    /// The right or lower cross, in the drawing.
    pub to: Point,
}

impl LongCheck {
    /// The length between the crosses, which lie level with or straight below each other.
    pub fn length(&self) -> Length {
        (self.to.x - self.from.x) + (self.to.y - self.from.y)
    }
}

/// One printed piece of paper.
#[derive(Clone, Debug, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Plate {
    /// On the sheet.
    pub area: Rect,
    /// How much it holds.
    pub form: PlateForm,
    /// Whether it had to be set over ink and needs a white ground.
    pub over_ink: bool,
    /// The largest free place of the sheet, if it had to be set over ink.
    pub largest_free: Size,
}

/// How much a plate holds, from most to least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Join {
    /// From 1, printed beside both halves.
    pub number: usize,
    /// Index of the upper or left sheet.
    pub first: usize,
    /// Index of the lower or right sheet.
    pub second: usize,
    /// Whether the edge runs from left to right (the sheets lie above each other).
    pub level: bool,
    /// Its registration marks, one or two, first the upper or left one.
    pub marks: Vec<JoinMark>,
}

/// A registration mark, half on each side of its join.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct JoinMark {
    /// Its middle, on the join, in the drawing.
    pub at: Point,
    /// What it covers on both sheets with its number, in the drawing.
    pub area: Rect,
    /// How much smaller than usual it is drawn, 0 to 1, to fit its place.
    pub scale: f64,
    /// Whether the number stands beside it along the join, not behind it, to fit between lines close to the join.
    pub beside: bool,
    /// Whether there was no free place, so that it needs a white ground.
    pub over_ink: bool,
}

/// The sheets that one size needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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

    /// The sheets that any of some sizes (indices into the kit's) needs, rising.
    pub fn sheets_for(&self, sizes: &[usize]) -> Vec<usize> {
        let needed: BTreeSet<usize> =
            sizes.iter().filter_map(|&size| self.sizes.get(size)).flat_map(|size| size.sheets.clone()).collect();
        needed.into_iter().collect()
    }

    /// The sides of the tile that a printer with these margins would cut, as the page lies, and by how much.
    pub fn cut_by(&self, margins: Margins) -> Vec<(Side, Length)> {
        let reach = Rect::new(Point::default(), self.sheet_size).inset(margins);
        let cuts = [
            (Side::Top, reach.min.y - self.tile.min.y),
            (Side::Right, self.tile.max.x - reach.max.x),
            (Side::Bottom, self.tile.max.y - reach.max.y),
            (Side::Left, reach.min.x - self.tile.min.x),
        ];
        // A hundredth of a millimetre is below what anyone can read off a rule.
        cuts.into_iter().filter(|(_, cut)| *cut > Length::mm(0.01)).collect()
    }

    /// The pages, from 1, of the sheets that a size needs, rising.
    pub fn pages_of(&self, size: &SizeSheets) -> Vec<usize> {
        size.sheets.iter().map(|&sheet| self.page_of(sheet)).collect()
    }
}
