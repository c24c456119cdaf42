//! Inking: what printers are asked to ink. Restyles a drawing's size lines and fills where the manifest wants it, and tells what
//! prints badly; paths stay where they are.
//!
//! It comes before the plan, so that everything after it (sheets, maps, files) sees one and the same ink.

mod advice;
mod colour;
mod fills;
mod lines;
mod patterns;
mod scan;
#[cfg(test)]
mod tests;

pub use lines::{is_size_line, sample};
pub use patterns::{MOST_SIZES, pattern};

use crate::diagnostic::Findings;
use crate::drawing::{Drawing, Item, Piece};
use crate::manifest::{Fills, Kit, SizeLines};

/// The drawing as it goes to paper, and what is to be said about its ink.
///
/// Findings speak of what is left after the restyling: a hairline that the restyling makes firm is not told of.
pub fn prepared(kit: &Kit, drawing: Drawing) -> (Drawing, Findings) {
    let drawing = match kit.inking.size_lines {
        SizeLines::AsDrawn => drawing,
        SizeLines::Distinct => lines::distinct(drawing),
    };
    let drawing = match kit.inking.fills {
        Fills::AsDrawn => drawing,
        Fills::Outlines => fills::outlined(drawing),
        Fills::Hatched => fills::hatched(drawing),
    };
    let findings = advice::advice(&drawing, kit.inking.size_lines);
    (drawing, findings)
}

/// The drawing with each item replaced by others; the boxes of pieces follow.
fn replaced(drawing: Drawing, replace: impl Fn(&Piece, Item) -> Vec<Item>) -> Drawing {
    let piece = |piece: Piece| {
        let items: Vec<Item> = piece.items.iter().cloned().flat_map(|item| replace(&piece, item)).collect();
        let bounds = items.iter().map(|item| item.bounds).reduce(|all, one| all.union(one)).unwrap_or(piece.bounds);
        Piece { items, bounds, ..piece }
    };
    Drawing { pieces: drawing.pieces.into_iter().map(piece).collect(), ..drawing }
}
