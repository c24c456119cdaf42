//! What pieces take at places along the cloth: all together, and on either side of a piece that divides it.

/// A value at each of the places, counted in two ways, each of which is true by itself.
#[derive(Clone)]
pub(super) struct Stack {
    /// Every piece with half the gap all round.
    pub grown: Vec<f64>,
    /// The dividing piece with the whole gap all round, all others with the gap across alone.
    pub alone: Vec<f64>,
}

/// What one piece takes.
pub(super) struct Row {
    /// From which place on.
    pub first: usize,
    pub taken: Stack,
    /// On which side of the dividing piece, if that is told: 0 above, 1 below.
    pub side: Option<usize>,
    /// How far it reaches up and down everywhere, if it is the dividing piece.
    pub reach: Option<[Stack; 2]>,
}

/// What all pieces take.
pub(super) struct Load {
    room: f64,
    all: Vec<f64>,
    sides: [Stack; 2],
    reach: Option<[Stack; 2]>,
}

impl Load {
    /// Nothing, at so many places; `room` is what all may take, each with half the gap all round.
    pub fn new(places: usize, room: f64) -> Self {
        let none = Stack { grown: vec![0.0; places], alone: vec![0.0; places] };
        Self { room, all: none.grown.clone(), sides: [none.clone(), none], reach: None }
    }

    /// Adds a piece.
    pub fn put(&mut self, row: &Row) {
        self.change(row, 1.0);
        if row.reach.is_some() {
            self.reach.clone_from(&row.reach);
        }
    }

    /// Takes a piece away; how far it reaches is kept until another is put.
    pub fn take(&mut self, row: &Row) {
        self.change(row, -1.0);
    }

    /// Whether there is room for one more piece.
    pub fn fits(&mut self, row: &Row) -> bool {
        self.put(row);
        let holds = self.holds();
        self.take(row);
        holds
    }

    fn change(&mut self, row: &Row, sign: f64) {
        let add = |to: &mut Vec<f64>, taken: &[f64]| {
            to.iter_mut().skip(row.first).zip(taken).for_each(|(sum, taken)| *sum += sign * taken);
        };
        add(&mut self.all, &row.taken.grown);
        if let Some(side) = row.side.and_then(|side| self.sides.get_mut(side)) {
            add(&mut side.grown, &row.taken.grown);
            add(&mut side.alone, &row.taken.alone);
        }
    }

    /// What lies above the dividing piece must find room between it and one edge wherever it does, what lies below between it and the
    /// other; so the most on one side and the most on the other, at different places perhaps, have to find room together.
    fn holds(&self) -> bool {
        let most = |reach: &[Stack; 2]| reach.iter().zip(&self.sides).map(|(reach, side)| reach.most(side)).sum::<f64>();
        self.all.iter().all(|sum| *sum <= self.room) && self.reach.as_ref().is_none_or(|reach| most(reach) <= self.room)
    }
}

impl Stack {
    /// The most that this and another take together at a place.
    fn most(&self, other: &Self) -> f64 {
        let grown = self.grown.iter().zip(&other.grown);
        grown.chain(self.alone.iter().zip(&other.alone)).map(|(a, b)| a + b).fold(f64::NEG_INFINITY, f64::max)
    }
}
