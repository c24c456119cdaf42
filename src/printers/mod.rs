//! What the world's printers reach: the margins that they declare, and the questions that a layout asks of them.
//!
//! The numbers stand in `reach.csv`, which a test under `tests/printers` makes from the data beside it. They are what
//! drivers declare, not what anyone measured. Nothing here reads a file or knows a word: figures go in and figures come out.

mod search;
mod served;
mod share;
mod table;
#[cfg(test)]
mod tests;
mod tile;

use std::collections::BTreeSet;
use std::sync::LazyLock;

pub use share::{Binding, Ratio, Share, Side};
pub use table::Counts;
pub use tile::SharedTile;

use table::Kind;

/// Printer descriptions, folded into kinds that declare the same on every paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Printers {
    kinds: Vec<Kind>,
}

impl Printers {
    /// The descriptions that come with kitwright: 7,831, of which 7,790 know A4.
    pub fn known() -> &'static Self {
        // A table that cannot be read would leave every question without an answer; the tests see to it that it can.
        static KNOWN: LazyLock<Printers> = LazyLock::new(|| Printers::parse(include_str!("reach.csv")).unwrap_or_default());
        &KNOWN
    }

    /// Reads a table in the form of `reach.csv`; none if any line of it is not a row of nine fields, or if it has more than
    /// 256 kinds.
    pub fn parse(table: &str) -> Option<Self> {
        table::parse(table).map(|kinds| Self { kinds })
    }

    /// Papers that some description knows, by id, sorted; all others have no answers, and A4's are the nearest.
    pub fn papers(&self) -> BTreeSet<&str> {
        self.kinds.iter().flat_map(|kind| kind.papers()).collect()
    }
}
