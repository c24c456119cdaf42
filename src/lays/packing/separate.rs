//! Guided local search: shapes that overlap are moved one by one, and overlaps that stay count more, until none is left.

use super::pairs::Pairs;
use super::random::Random;
use super::seek::Seek;
use super::shape::Spot;
use super::strip::{Cloth, Lying, Meter, all};

/// How many rounds without gain are waited for, and how often the search goes back to the best state then.
const PATIENCE: usize = 60;
const STRIKES: usize = 2;

/// A round is a gain if it leaves less than this part of the least overlap so far.
const GAIN: f64 = 0.98;

/// What separating came to: the state with the least overlap.
pub(super) struct Separated {
    pub spots: Vec<Spot>,
    /// All overlaps; 0 if it succeeded.
    pub overlap: f64,
}

/// Shapes on cloth of a fixed length.
pub(super) struct Separation<'a, 'b> {
    cloth: Cloth<'a>,
    length: f64,
    lying: Vec<Lying<'a>>,
    pairs: Pairs,
    random: &'b mut Random,
    meter: &'b mut Meter,
}

impl<'a, 'b> Separation<'a, 'b> {
    /// Shapes at spots that may overlap.
    pub fn new(cloth: Cloth<'a>, length: f64, spots: &[Spot], random: &'b mut Random, meter: &'b mut Meter) -> Self {
        let lying = all(cloth, spots);
        let pairs = Pairs::new(&lying);
        Self { cloth, length, lying, pairs, random, meter }
    }

    /// Moves shapes until none overlaps or nothing is gained any more.
    pub fn run(mut self) -> Separated {
        let mut best = self.state();
        for _ in 0..STRIKES {
            let before = best.overlap;
            self.back_to(&best);
            self.rounds(&mut best);
            if best.overlap == 0.0 || best.overlap > before * GAIN || self.meter.is_up() {
                break;
            }
        }
        best
    }

    /// Rounds until nothing has been gained for long.
    fn rounds(&mut self, best: &mut Separated) {
        let mut waited = 0;
        while best.overlap > 0.0 && waited < PATIENCE && !self.meter.is_up() {
            self.round();
            let total = self.pairs.total();
            waited = if total < best.overlap * GAIN { 0 } else { waited + 1 };
            if total < best.overlap {
                *best = self.state();
            }
            self.pairs.reweighted();
        }
    }

    /// Each shape that overlaps is moved once, in random order.
    fn round(&mut self) {
        let mut order: Vec<usize> = (0..self.lying.len()).collect();
        self.random.shuffle(&mut order);
        for index in order {
            if self.pairs.of(index) > 0.0 && !self.meter.is_up() {
                self.move_one(index);
            }
        }
    }

    fn move_one(&mut self, index: usize) {
        let (Some(shape), Some(here)) = (self.cloth.shapes.get(index), self.lying.get(index)) else { return };
        let seek = Seek {
            index,
            shape,
            lying: &self.lying,
            weights: self.pairs.weights(index),
            room: shape.room(self.length, self.cloth.width),
            random: self.random,
            meter: self.meter,
        };
        let spot = seek.best(here.spot);
        self.put(index, spot);
        self.pairs.moved(index, &self.lying);
    }

    fn put(&mut self, index: usize, spot: Spot) {
        if let (Some(shape), Some(lying)) = (self.cloth.shapes.get(index), self.lying.get_mut(index)) {
            *lying = Lying::new(index, shape, spot);
        }
    }

    fn state(&self) -> Separated {
        Separated { spots: self.lying.iter().map(|lying| lying.spot).collect(), overlap: self.pairs.total() }
    }

    fn back_to(&mut self, state: &Separated) {
        self.lying = all(self.cloth, &state.spots);
        self.pairs = Pairs::new(&self.lying);
    }
}
