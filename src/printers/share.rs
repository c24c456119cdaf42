//! How many of the known printers print everything inside given margins, and which side stops the others.

use super::Printers;
use super::table::{Counts, Edges};
use super::tile::sheet_size;
use crate::units::{Length, Margins, Rect, Size};
use serde::{Deserialize, Serialize};

/// How many of how many descriptions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ratio {
    /// Those that print it whole.
    pub reached: usize,
    /// Those that were asked: all that know the paper.
    pub of: usize,
}

impl Ratio {
    /// The part that prints it whole, 0 to 1; 0 where no description was asked.
    pub fn fraction(self) -> f64 {
        if self.of == 0 { 0.0 } else { self.reached as f64 / self.of as f64 }
    }

    /// Per cent with that many decimals, rounded down, so that 100 always means every single one.
    pub fn percent_down(self, decimals: u32) -> f64 {
        let scale = 10_usize.saturating_pow(decimals.min(9));
        let parts = (self.reached as u128 * 100 * scale as u128).checked_div(self.of as u128).unwrap_or(0);
        parts as f64 / scale as f64
    }

    /// Whether every description prints it whole.
    pub fn is_all(self) -> bool {
        self.reached == self.of && self.of > 0
    }
}

/// How many descriptions print a thing whole, in three views; see [`Counts`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Share {
    /// Of every description.
    pub all: Ratio,
    /// Of those with margins of their own.
    pub own: Ratio,
    /// Of those of home printers.
    pub home: Ratio,
}

impl Share {
    fn new(reached: Counts, of: Counts) -> Self {
        Self {
            all: Ratio { reached: reached.all, of: of.all },
            own: Ratio { reached: reached.own, of: of.own },
            home: Ratio { reached: reached.home, of: of.home },
        }
    }
}

/// A side of an upright sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// The head.
    Top,
    /// The right-hand side.
    Right,
    /// The foot.
    Bottom,
    /// The left-hand side.
    Left,
}

impl Side {
    /// The side's name for people and records, as a printed page lies.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Top => "head",
            Self::Right => "right",
            Self::Bottom => "foot",
            Self::Left => "left",
        }
    }
}

/// A side on which some printers need more than they are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Binding {
    /// The side that is too narrow.
    pub side: Side,
    /// Descriptions that need more there; one may fail on several sides and then counts on each.
    pub failing: Counts,
}

impl Printers {
    /// How many descriptions print everything inside these margins of an upright sheet, with 0.01 mm of slack.
    ///
    /// None for a paper without data.
    pub fn share(&self, paper: &str, margins: Margins) -> Option<Share> {
        self.share_together(&[(paper, margins)])
    }

    /// How many descriptions, of those that know all these papers, print everything inside the margins on every one of them.
    ///
    /// None if no description knows them all, or no paper is given.
    pub fn share_together(&self, sheets: &[(&str, Margins)]) -> Option<Share> {
        let limits: Vec<Edges> = sheets.iter().map(|&(_, margins)| Edges::limits(margins)).collect();
        let (mut reached, mut of) = (Counts::default(), Counts::default());
        for kind in &self.kinds {
            let Some((edges, counts)) = kind.on_all(sheets.iter().map(|&(paper, _)| paper)) else { continue };
            of += counts;
            if edges.iter().zip(&limits).all(|(edges, &limits)| edges.within(limits)) {
                reached += counts;
            }
        }
        (of.all > 0).then(|| Share::new(reached, of))
    }

    /// The same as [`Printers::share`] for a rectangle on the sheet, measured from its top left.
    ///
    /// The sheet may be the paper upright or turned. A turned sheet reaches some printers with its head to the left and
    /// others with its head to the right, so only those count that print it whole both ways. None for a paper without
    /// data and for a sheet that is not that paper by more than 1 mm.
    pub fn share_of_rect(&self, paper: &str, sheet: Size, rect: Rect) -> Option<Share> {
        let upright = sheet_size(paper)?;
        let margins = around(sheet, rect);
        if alike(sheet, upright) {
            return self.share(paper, margins);
        }
        alike(sheet, upright.turned()).then(|| self.share(paper, either_way(margins)))?
    }

    /// The sides on which these margins stop some printer, the side that stops most home printers first.
    ///
    /// Empty if every description prints it whole, or the paper has no data.
    pub fn binding(&self, paper: &str, margins: Margins) -> Vec<Binding> {
        let mut sides: Vec<Binding> = [Side::Top, Side::Right, Side::Bottom, Side::Left]
            .map(|side| Binding { side, failing: self.failing(paper, Edges::limits(margins), side) })
            .into();
        sides.retain(|binding| binding.failing.all > 0);
        // The sort keeps the order of equals, so that the answer is the same each time.
        sides.sort_by_key(|binding| std::cmp::Reverse((binding.failing.home, binding.failing.all)));
        sides
    }

    fn failing(&self, paper: &str, limits: Edges, side: Side) -> Counts {
        let mut failing = Counts::default();
        for reach in self.kinds.iter().filter_map(|kind| kind.on(paper)) {
            if on_side(reach.edges, side) > on_side(limits, side) {
                failing += reach.counts;
            }
        }
        failing
    }
}

fn on_side(edges: Edges, side: Side) -> i32 {
    match side {
        Side::Top => edges.top,
        Side::Right => edges.right,
        Side::Bottom => edges.bottom,
        Side::Left => edges.left,
    }
}

fn alike(a: Size, b: Size) -> bool {
    // A PDF of 595 × 842 points is A4 too, 0.1 mm off.
    let slack = Length::mm(1.0);
    a.width.within(b.width, slack) && a.height.within(b.height, slack)
}

fn around(sheet: Size, rect: Rect) -> Margins {
    Margins { top: rect.min.y, right: sheet.width - rect.max.x, bottom: sheet.height - rect.max.y, left: rect.min.x }
}

/// Margins on the upright paper that leave room for a turned sheet, whichever way it is turned.
fn either_way(turned: Margins) -> Margins {
    let (ends, sides) = (turned.left.min(turned.right), turned.top.min(turned.bottom));
    Margins { top: ends, right: sides, bottom: ends, left: sides }
}
