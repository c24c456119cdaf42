//! Items gathered into pieces: a group directly beneath its layer is one, and so is a run of small loose neighbours.

use super::model::{Item, Piece, Shape};
use kurbo::Rect;

/// Longest side of a run of loose items, in mm.
const SIDE: f64 = 200.0;
/// Most path elements of a run of loose items.
const POINTS: usize = 5_000;

/// Gathers items in paint order.
#[derive(Debug, Default)]
pub struct Pieces {
    list: Vec<Gathered>,
}

#[derive(Debug)]
struct Gathered {
    piece: Piece,
    /// The element that holds it, if it is a group of its own.
    group: Option<usize>,
    points: usize,
}

impl Pieces {
    /// Adds one item to its piece: that of its group, or of the loose items before it.
    pub fn push(&mut self, layer: usize, group: Option<(usize, Option<String>)>, item: Item) {
        let points = points(&item);
        let (group, name) = group.map_or((None, None), |(group, name)| (Some(group), name));
        match self.list.last_mut() {
            Some(last)
                if last.piece.layer == layer && last.group == group && (group.is_some() || last.takes(item.bounds, points)) =>
            {
                last.add(item, points);
            }
            _ => {
                let piece = Piece { layer, name, bounds: item.bounds, items: vec![item] };
                self.list.push(Gathered { piece, group, points });
            }
        }
    }

    /// All pieces; small nameless neighbours of one layer are joined.
    pub fn finish(self) -> Vec<Piece> {
        let mut joined: Vec<Gathered> = Vec::new();
        for next in self.list {
            match joined.last_mut() {
                Some(last) if last.joins(&next) => last.join(next),
                _ => joined.push(next),
            }
        }
        joined.into_iter().map(|gathered| gathered.piece).collect()
    }
}

impl Gathered {
    fn takes(&self, bounds: Rect, points: usize) -> bool {
        let all = self.piece.bounds.union(bounds);
        all.width() <= SIDE && all.height() <= SIDE && self.points + points <= POINTS
    }

    fn add(&mut self, item: Item, points: usize) {
        self.piece.bounds = self.piece.bounds.union(item.bounds);
        self.points += points;
        self.piece.items.push(item);
    }

    fn joins(&self, next: &Self) -> bool {
        let nameless = self.piece.name.is_none() && next.piece.name.is_none();
        nameless && self.piece.layer == next.piece.layer && self.takes(next.piece.bounds, next.points)
    }

    fn join(&mut self, next: Self) {
        self.piece.bounds = self.piece.bounds.union(next.piece.bounds);
        self.points += next.points;
        self.piece.items.extend(next.piece.items);
    }
}

fn points(item: &Item) -> usize {
    match &item.shape {
        Shape::Path(shape) => shape.path.elements().len(),
        Shape::Image(_) => 1,
    }
}
