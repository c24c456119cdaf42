//! What is cut from a cloth in one size: the pieces, and how often each is laid on it.

use super::packing::Part;
use super::polygon;
use super::shape::Figure;
use crate::manifest::{Cloth, ClothPiece, Spread};
use crate::units::Length;
use kurbo::Point;

/// All that is cut from a cloth in one size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cut {
    /// In the order of the cutting list.
    pub pieces: Vec<CutPiece>,
    /// What is laid on the cloth, piece by piece.
    pub copies: Vec<Copied>,
}

/// A piece in one size.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPiece {
    /// What the kit says of it.
    pub told: ClothPiece,
    /// Its shape.
    pub figure: Figure,
}

/// A piece as it is laid once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Copied {
    /// Index into [`Cut::pieces`].
    pub piece: usize,
    /// Whether it lies with its printed side down.
    pub mirrored: bool,
    /// Whether it is a half that lies on the fold.
    pub on_fold: bool,
    /// Whether it is cut from one layer of folded cloth alone.
    pub single: bool,
}

impl Cut {
    /// Adds a piece with all its copies on cloth that is spread in some way.
    pub fn add(&mut self, told: &ClothPiece, figure: Figure, spread: Spread) {
        let piece = self.pieces.len();
        let one = Copied { piece, mirrored: false, on_fold: false, single: false };
        let times = |copied: Copied, count: u32| (0..count).map(move |_| copied);
        let count = told.count;
        match spread {
            Spread::Open if told.mirrored => {
                self.copies.extend(times(one, count / 2).chain(times(Copied { mirrored: true, ..one }, count / 2)));
            }
            Spread::Open => self.copies.extend(times(one, count)),
            Spread::Folded if figure.half.is_some() => self.copies.extend(times(Copied { on_fold: true, ..one }, count)),
            Spread::Folded if told.mirrored || figure.symmetric => {
                let odd = Copied { single: true, ..one };
                self.copies.extend(times(one, count / 2).chain(times(odd, count % 2)));
            }
            // Two layers would give its mirror image too, which nobody needs.
            Spread::Folded => self.copies.extend(times(Copied { single: true, ..one }, count)),
        }
        self.pieces.push(CutPiece { told: told.clone(), figure });
    }

    /// The copies as the packing takes them.
    pub fn parts(&self, cloth: &Cloth) -> Vec<Part> {
        let part = |copied: &Copied| {
            let may_turn = !cloth.nap && !copied.on_fold;
            Some(Part { outline: self.outline(copied)?, may_turn, on_fold: copied.on_fold })
        };
        self.copies.iter().filter_map(part).collect()
    }

    /// The outline of a copy, before it is turned and moved.
    pub fn outline(&self, copied: &Copied) -> Option<Vec<Point>> {
        let figure = &self.pieces.get(copied.piece)?.figure;
        Some(match &figure.half {
            Some(half) if copied.on_fold => half.clone(),
            _ if copied.mirrored => polygon::mirrored(&figure.whole),
            _ => figure.whole.clone(),
        })
    }

    /// Cloth in all pieces together, in mm².
    pub fn area(&self) -> f64 {
        self.pieces.iter().map(|piece| polygon::area(&piece.figure.whole).abs() * f64::from(piece.told.count)).sum()
    }

    /// How wide a piece lies across the grain, where it is widest.
    pub fn widest(&self) -> Option<(&CutPiece, Length)> {
        let across = |copied: &Copied| {
            let outline = self.outline(copied)?;
            let (low, high) = polygon::reach(&outline, |point| point.y);
            Some((self.pieces.get(copied.piece)?, Length::mm(high - low)))
        };
        self.copies.iter().filter_map(across).max_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm()))
    }
}

/// How much of a width can be used: without selvedges, and half of it if the cloth is folded.
pub fn usable(cloth: &Cloth, width: Length) -> Length {
    let open = width - cloth.selvedge * 2.0;
    match cloth.spread {
        Spread::Open => open,
        Spread::Folded => open * 0.5,
    }
}
