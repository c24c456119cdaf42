//! Making the cloth shorter and shorter: a lay is pressed together, then its shapes are moved until none overlaps.

use super::random::Random;
use super::separate::{Separated, Separation};
use super::shape::{Shape, Spot, clamped};
use super::strip::{Cloth, Meter};

/// By which part the cloth is shortened: at first, at least, and at the end.
const STEP: f64 = 0.04;
const LEAST: f64 = 0.001;
const LAST: f64 = 0.0005;

/// Up to which part of the budget failed states are tried again.
const EXPLORING: f64 = 0.75;

/// How many failed states are kept.
const POOL: usize = 8;

/// The search and what it has so far.
pub(super) struct Squeeze<'a> {
    cloth: Cloth<'a>,
    /// The length that cannot be gone below.
    goal: f64,
    length: f64,
    /// Lays without overlaps, each shorter than the one before.
    held: Vec<Vec<Spot>>,
    /// States at the length that is tried for that still overlap, the least first.
    pool: Vec<Separated>,
    random: Random,
    meter: Meter,
}

impl<'a> Squeeze<'a> {
    /// A search from a lay without overlaps.
    pub fn new(cloth: Cloth<'a>, goal: f64, (first, length): (Vec<Spot>, f64), random: Random, meter: Meter) -> Self {
        Self { cloth, goal, length, held: vec![first], pool: Vec::new(), random, meter }
    }

    /// All lays found, the shortest last, and how many places were tried.
    pub fn run(mut self) -> (Vec<Vec<Spot>>, u64) {
        let mut step = STEP;
        while !self.is_done(EXPLORING) {
            let length = self.shorter(step);
            let start = self.pool_start(length).unwrap_or_else(|| self.closed_up(length));
            if !self.separated(length, &start) {
                step = (step / 2.0).max(LEAST);
            }
        }
        step = step.min(LEAST * 4.0);
        while !self.is_done(1.0) {
            self.pool.clear();
            let length = self.shorter(step);
            let start = self.closed_up(length);
            if !self.separated(length, &start) {
                step = (step / 2.0).max(LAST);
            }
        }
        (self.held, self.meter.spent)
    }

    fn is_done(&self, part: f64) -> bool {
        self.meter.spent as f64 >= self.meter.budget as f64 * part || self.length <= self.goal
    }

    fn shorter(&self, step: f64) -> f64 {
        (self.length * (1.0 - step)).max(self.goal)
    }

    /// Tries for a length, and keeps what came of it.
    fn separated(&mut self, length: f64, start: &[Spot]) -> bool {
        let found = Separation::new(self.cloth, length, start, &mut self.random, &mut self.meter).run();
        if found.overlap > 0.0 {
            let place = self.pool.partition_point(|other| other.overlap <= found.overlap);
            self.pool.insert(place, found);
            self.pool.truncate(POOL);
            return false;
        }
        self.pool.clear();
        self.held.push(found.spots);
        self.length = length;
        true
    }

    /// The best lay with all behind a random cut moved together.
    fn closed_up(&mut self, length: f64) -> Vec<Spot> {
        let cut = self.random.between(0.0, self.length);
        let by = self.length - length;
        let moved = |(shape, spot): (&Shape, &Spot)| {
            let centre = if spot.centre.x > cut { spot.centre - (by, 0.0) } else { spot.centre };
            Spot { centre: clamped(centre, shape.room(length, self.cloth.width)), ..*spot }
        };
        self.cloth.shapes.iter().zip(self.held.last().into_iter().flatten()).map(moved).collect()
    }

    /// A failed state, the better the likelier, with two big shapes swapped.
    fn pool_start(&mut self, length: f64) -> Option<Vec<Spot>> {
        let (a, b) = (self.random.part(), self.random.part());
        let index = (a * b * self.pool.len() as f64) as usize;
        let mut spots = self.pool.get(index)?.spots.clone();
        self.swap(&mut spots);
        let room = |shape: &Shape| shape.room(length, self.cloth.width);
        let each = self.cloth.shapes.iter().zip(spots);
        Some(each.map(|(shape, spot)| Spot { centre: clamped(spot.centre, room(shape)), ..spot }).collect())
    }

    /// Swaps two of the bigger half of the shapes.
    fn swap(&mut self, spots: &mut [Spot]) {
        let mut order: Vec<usize> = (0..spots.len()).collect();
        let area = |index: &usize| self.cloth.shapes.get(*index).map_or(0.0, |shape| shape.area);
        order.sort_by(|a, b| area(b).total_cmp(&area(a)));
        let big = order.len().div_ceil(2);
        let [a, b] = [self.random.below(big), self.random.below(big)].map(|place| order.get(place).copied().unwrap_or(0));
        if let (Some(one), Some(other)) = (spots.get(a).copied(), spots.get(b).copied()) {
            for (index, centre) in [(a, other.centre), (b, one.centre)] {
                if let Some(spot) = spots.get_mut(index) {
                    spot.centre = centre;
                }
            }
        }
    }
}
