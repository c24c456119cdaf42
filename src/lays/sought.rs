//! Which lines of the drawing lay plans need: for each piece of each size its cutting line, its grainline and its fold.

use super::seams;
use crate::drawing::{Sought, plain};
use crate::manifest::{Cloth, ClothPiece, Kit, SIZE};

/// A piece of a cloth in one size.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// The cloth.
    pub cloth: &'a Cloth,
    /// Index of the size; `None` in a kit of one size.
    pub size: Option<usize>,
    /// The piece.
    pub piece: &'a ClothPiece,
}

/// Everything that is cut for a kit: cloth by cloth, size by size, piece by piece.
pub fn wanted(kit: &Kit) -> Vec<Wanted<'_>> {
    let mut all = Vec::new();
    for cloth in &kit.cloths {
        for size in sizes(kit) {
            all.extend(cloth.pieces.iter().map(|piece| Wanted { cloth, size, piece }));
        }
    }
    all
}

/// The kit's sizes; a kit of one size has one without an index.
pub fn sizes(kit: &Kit) -> Vec<Option<usize>> {
    if kit.sizes.is_empty() { vec![None] } else { (0..kit.sizes.len()).map(Some).collect() }
}

/// The lines to be traced: three for each piece that is wanted, in that order, then those of seams.
pub fn sought(kit: &Kit) -> Vec<Sought> {
    wanted(kit).iter().flat_map(|wanted| of_piece(kit, wanted)).chain(seams::sought(kit)).collect()
}

fn of_piece(kit: &Kit, wanted: &Wanted) -> [Sought; 3] {
    let ClothPiece { piece, outline, grain, fold_line, .. } = wanted.piece;
    let size = wanted.size.and_then(|size| kit.sizes.get(size)).map(|size| size.name.as_str());
    let one = |kind: &str, own: &Option<String>, inner: Option<&str>| {
        let base = plain(&format!("{kind} {piece}"));
        let sized = size.map(|size| plain(&format!("{base} {size}")));
        Sought {
            exactly: own.as_ref().map(|own| size.map_or_else(|| own.clone(), |size| own.replace(SIZE, size))),
            names: sized.into_iter().chain([base]).collect(),
            group: (plain(piece), inner.map(str::to_owned)),
            size: wanted.size,
        }
    };
    [one("cut", outline, None), one("grain", grain, Some("grain")), one("fold", fold_line, Some("fold"))]
}
