//! Two-dimensional strip packing: lays closed outlines on cloth of a given width, on as little length as the search finds, and proves every lay.
//!
//! It knows neither kits nor drawings. Coordinates are millimetres; x runs along the cloth (and the grain), y from the fold or one edge, 0, to the width.

mod attempt;
mod bound;
mod check;
mod circles;
mod fill;
mod grow;
mod load;
mod overlap;
mod pairs;
mod place;
mod proof;
mod random;
mod ring;
mod search;
mod sections;
mod seek;
mod separate;
mod shape;
mod slide;
mod squeeze;
mod strip;
mod windows;

use crate::units::Length;
use kurbo::Point;

pub use proof::{Fault, proven};

/// One piece to lay.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its closed outline in millimetres, in either direction, without repeating the first point; its grain along x.
    pub outline: Vec<Point>,
    /// Whether it may be turned by half a turn.
    pub may_turn: bool,
    /// Whether its edge on y = 0 stays on the fold there, so that only x is free and `may_turn` says nothing.
    pub on_fold: bool,
}

/// What to lay, on what, and how hard to search.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The pieces, each once: a mirrored copy is a piece of its own.
    pub parts: Vec<Part>,
    /// The width that can be used; of folded cloth half of it.
    pub width: Length,
    /// The least distance between two pieces; none is kept to the cloth's edges and the fold.
    pub gap: Length,
    /// How many places may be tried, each for one piece against all others; a lay that is proven shortest ends the search sooner.
    pub evaluations: u64,
    /// Where the search's own random numbers begin.
    pub seed: u64,
    /// An earlier lay of these pieces, by part. If it still holds it is kept as it is; if pieces have changed and can be moved apart on no
    /// more cloth, it is kept with that; only else is there a new search.
    pub start: Option<Vec<Place>>,
}

/// Where a piece lies: its outline, negated in both coordinates if `turned`, then shifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Whether the piece is turned by half a turn about the origin.
    pub turned: bool,
    /// How far it is shifted along the cloth.
    pub x: Length,
    /// How far it is shifted across the cloth.
    pub y: Length,
}

/// A lay that holds all pieces, proven.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// The cloth's length: whole hundredths of a millimetre, rounded up.
    pub length: Length,
    /// Where each part lies, by part.
    pub places: Vec<Place>,
    /// The area of all outlines in square millimetres.
    pub area: f64,
    /// A length that no lay of these parts can be below: whole hundredths of a millimetre, rounded up as lengths are.
    pub bound: Length,
    /// What the bound comes from.
    pub bound_by: Bound,
    /// How many places were tried.
    pub evaluations: u64,
}

impl Lay {
    /// The part of the cloth's area that the pieces cover, from 0 to 1.
    pub fn utilisation(&self, width: Length) -> f64 {
        self.area / (self.length.to_mm() * width.to_mm())
    }

    /// How much longer the lay is than the lower bound.
    pub fn distance(&self) -> Length {
        self.length - self.bound
    }

    /// Whether no lay of these parts can be shorter.
    pub fn is_shortest(&self) -> bool {
        self.length <= self.bound
    }

    /// Whether no lay of these parts can be shorter by more than [`CLOSE`].
    pub fn is_close(&self) -> bool {
        self.distance() <= CLOSE
    }
}

/// What keeps a lay from being shorter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// The area of the pieces and of the gaps around them.
    Area,
    /// The part of this index, which is as long as that.
    Longest(usize),
    /// Parts that together are too wide to lie beside each other.
    Beside,
}

/// Why nothing can be laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refused {
    /// There is no part.
    Nothing,
    /// There are more parts than [`MOST_PARTS`].
    TooMany,
    /// The gap is negative, no number, or over [`REACH`].
    Gap,
    /// A coordinate is no number or is farther out than [`REACH`].
    OutOfReach {
        /// The part's index.
        part: usize,
    },
    /// Without repeated points and spikes too little is left of the outline to have an area.
    TooFewPoints {
        /// The part's index.
        part: usize,
    },
    /// The outline crosses itself or goes round twice.
    Crossing {
        /// The part's index.
        part: usize,
        /// A place where it does, or the outline's first point if no single place can be told.
        at: Point,
    },
    /// The outline has no lowest edge on y = 0 to lie on the fold.
    OffFold {
        /// The part's index.
        part: usize,
    },
    /// The part does not fit between the cloth's edges.
    TooWide {
        /// The part's index.
        part: usize,
        /// The width that it takes.
        needs: Length,
    },
    /// No lay that the search found passes [`proven`]: a fault of this program, not of the parts.
    Unproven,
}

/// How much longer than its bound a lay may be that is told to be [close](Lay::is_close) to the shortest: cloth is cut less exactly, and
/// is bought by far longer steps.
pub const CLOSE: Length = Length::mm(1.0);

/// How many parts can be laid together: what is kept for each pair of them must fit into memory.
pub const MOST_PARTS: usize = 1000;

/// How far out a coordinate may be: a kilometre.
pub const REACH: Length = Length::mm(1e6);

/// Lays the parts of a job; the same job gives the same lay on every machine.
///
/// # Errors
///
/// Everything that keeps the job from being laid, all at once.
pub fn lay(job: &Job) -> Result<Lay, Vec<Refused>> {
    let shapes = check::shapes(job)?;
    search::shortest(job, &shapes).ok_or_else(|| vec![Refused::Unproven])
}

#[cfg(test)]
mod tests;
