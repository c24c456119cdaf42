//! One drawing in several languages: its words exchanged, and all words laid over each other for those who look for room.

use super::model::{Drawing, Item, Piece};
use crate::diagnostic::Place;
use std::collections::BTreeMap;

impl Drawing {
    /// The same drawing with the lettering of another one that was read from the same file with other words; `known` tells
    /// which place of this file is meant by one of the other. Nothing but lettering changes.
    pub fn reworded(&self, other: &Self, known: &BTreeMap<Place, Place>) -> Self {
        let mine = |place: &Place| known.get(place).unwrap_or(place).clone();
        let mut theirs: BTreeMap<Place, Vec<Item>> = BTreeMap::new();
        for item in other.pieces.iter().flat_map(|piece| &piece.items).filter(|item| item.letter.is_some()) {
            let origin = mine(&item.origin);
            theirs.entry(origin.clone()).or_default().push(Item { origin, ..item.clone() });
        }
        let mut pieces = Vec::new();
        for piece in &self.pieces {
            let mut items: Vec<Item> = Vec::new();
            for item in &piece.items {
                // All that one element letters comes where its first letters stood.
                match item.letter.is_some() {
                    true => items.extend(theirs.remove(&item.origin).unwrap_or_default()),
                    false => items.push(item.clone()),
                }
            }
            pieces.push(bounded(piece, items));
        }
        let lettering = other.lettering.iter().cloned().map(|it| super::Lettering { origin: mine(&it.origin), ..it }).collect();
        Self { pieces, lettering, ..self.clone() }
    }

    /// The same drawing with the lettering of others, made from it, over its own.
    pub fn overlaid<'a>(&self, others: impl IntoIterator<Item = &'a Self>) -> Self {
        let mut all = self.clone();
        for other in others {
            for (piece, theirs) in all.pieces.iter_mut().zip(&other.pieces) {
                piece.items.extend(theirs.items.iter().filter(|item| item.letter.is_some()).cloned());
                piece.bounds = piece.bounds.union(theirs.bounds);
            }
        }
        all
    }
}

/// The piece with other items.
fn bounded(piece: &Piece, items: Vec<Item>) -> Piece {
    let bounds = items.iter().map(|item| item.bounds).reduce(|all, next| all.union(next)).unwrap_or(piece.bounds);
    Piece { bounds, items, ..piece.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Request, read, same_elements, with_words};

    fn drawing(bytes: &[u8]) -> Drawing {
        let (drawing, findings) = read(bytes, &Request::plain("a.svg"), &());
        drawing.unwrap_or_else(|| panic!("{findings:?}"))
    }

    #[test]
    fn only_lettering_is_exchanged_even_on_one_line_of_the_file() {
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"99mm\" height=\"99mm\" viewBox=\"0 0 99 99\"><path d=\"M1 1H9V9Z\"/>\
                   <text x=\"5\" y=\"20\" font-size=\"4\">cut</text><path d=\"M30 1H39\" stroke=\"#000\"/>\
                   <text x=\"5\" y=\"60\" font-size=\"4\">fold</text></svg>";
        let say = |text: &str| (text == "cut").then(|| "couper deux fois".to_owned());
        let request = Request::plain("a.svg");
        let changed = with_words(svg.as_bytes(), &request, &say);
        let (one, other) = (drawing(svg.as_bytes()), drawing(&changed));
        let worded = one.reworded(&other, &same_elements(&request, &changed, svg.as_bytes()));
        let items = |drawing: &Drawing, lettering: bool| -> Vec<String> {
            let items = drawing.pieces.iter().flat_map(|piece| &piece.items).filter(|item| item.letter.is_some() == lettering);
            items.map(|item| format!("{:?}", (&item.shape, &item.origin))).collect()
        };
        assert_eq!(items(&one, false), items(&worded, false));
        let (mine, theirs) = (items(&one, true), items(&worded, true));
        assert!(mine.len() == 2 && theirs.len() == 2 && mine[0] != theirs[0] && mine[1] == theirs[1], "{mine:?}\n{theirs:?}");
        assert_eq!(one.overlaid([&worded]).pieces.iter().map(|piece| piece.items.len()).sum::<usize>(), 6);
    }
}
