//! The nests that are measured, and how each is made ready: three rows of them, of which only one figure varies.

use crate::nest::Nest;
use kitwright::diagnostic::Findings;
use kitwright::drawing::{self, Drawing, Request};
use kitwright::manifest::{self, Kit};
use std::fmt;

/// A nest with its name and the paper it is planned on.
#[derive(Clone, Copy, Debug)]
pub struct Case {
    /// What varies in its row.
    pub row: &'static str,
    /// The nest.
    pub nest: Nest,
    /// Sheets of A4 that it takes, about: within a tenth.
    pub sheets: usize,
}

/// Room for 14 pieces of clothing.
const WIDE: (f64, f64) = (1400.0, 870.0);

/// All cases, row by row.
pub const CASES: [Case; 12] = [
    case("drawing", 1_000, 8, WIDE, 28),
    case("drawing", 10_000, 8, WIDE, 28),
    case("drawing", 100_000, 8, WIDE, 28),
    case("sizes", 10_000, 1, WIDE, 28),
    case("sizes", 10_000, 5, WIDE, 28),
    case("sizes", 10_000, 10, WIDE, 28),
    case("sizes", 10_000, 20, WIDE, 28),
    case("sheets", 10_000, 8, (190.0, 262.0), 1),
    case("sheets", 10_000, 8, (860.0, 530.0), 10),
    case("sheets", 10_000, 8, (1800.0, 1500.0), 50),
    case("sheets", 10_000, 8, (4200.0, 3000.0), 200),
    case("everyday", 3_000, 8, WIDE, 28),
];

const fn case(row: &'static str, segments: usize, sizes: usize, page: (f64, f64), sheets: usize) -> Case {
    Case { row, nest: Nest { pieces: 14, sizes, segments, page, seed: 14 }, sheets }
}

impl Case {
    /// Kit and drawing, read from the texts as the program does.
    pub fn ready(&self) -> (Kit, Drawing) {
        let (document, _) = manifest::parse("kit.yaml", &self.nest.manifest("a4"));
        let (kit, findings) = manifest::kit(&document.expect("a manifest"), None);
        let kit = sound(kit, &findings);
        let (drawing, findings) = drawing::read(self.nest.svg().as_bytes(), &Request::of(&kit), &());
        let drawing = sound(drawing, &findings);
        (kit, drawing)
    }
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Nest { segments, sizes, .. } = self.nest;
        write!(f, "{}: segments {segments}, sizes {sizes}, sheets {}", self.row, self.sheets)
    }
}

/// What was read, if nothing at all was found to be wrong with it.
fn sound<T>(read: Option<T>, findings: &Findings) -> T {
    assert!(findings.is_empty(), "{findings:?}");
    read.expect("without a finding there is something to give")
}
