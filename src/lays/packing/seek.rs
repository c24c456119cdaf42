//! Looking for the spot of one shape where it overlaps the others least.

use super::random::Random;
use super::shape::{Shape, Spot, clamped};
use super::strip::{Lying, Meter};
use kurbo::{Rect, Vec2};

/// Random spots looked at, each way round: anywhere on the cloth, and near where the shape is.
const WIDE: usize = 10;
const NEAR: usize = 5;

/// How many of the best are gone into.
const KEPT: usize = 3;

/// Steps of the descent, in parts of the shape's smaller side: the first one, the last one for each kept spot, and the last one for the best.
const STEPS: (f64, f64, f64) = (0.25, 0.02, 0.001);

/// By how much a step grows after it led down, and shrinks after it did not.
const LONGER: f64 = 1.1;
const SHORTER: f64 = 0.5;

/// One shape among the others.
pub(super) struct Seek<'a> {
    pub index: usize,
    pub shape: &'a Shape,
    pub lying: &'a [Lying<'a>],
    pub weights: &'a [f64],
    pub room: Rect,
    pub random: &'a mut Random,
    pub meter: &'a mut Meter,
}

/// A spot and how badly the shape overlaps others there.
type Found = (f64, Spot);

impl Seek<'_> {
    /// The best spot found, `here` if none is better.
    pub fn best(mut self, here: Spot) -> Spot {
        let mut best = vec![(self.cost(here, f64::INFINITY), here)];
        for &turned in self.shape.turns() {
            for index in 0..WIDE + NEAR {
                let limit = if best.len() < KEPT { f64::INFINITY } else { best.last().map_or(f64::INFINITY, |last| last.0) };
                let spot = if index < WIDE { self.anywhere(turned) } else { self.near(here, turned) };
                let cost = self.cost(spot, limit);
                if cost < limit {
                    self.keep(&mut best, (cost, spot));
                }
            }
        }
        let size = self.size();
        let gone_into = best.into_iter().map(|found| self.descended(found, STEPS.0 * size, STEPS.1 * size));
        let least = gone_into.reduce(|a, b| if b.0 < a.0 { b } else { a });
        least.map_or(here, |found| self.descended(found, STEPS.1 * size, STEPS.2 * size).1)
    }

    /// The shape's smaller side.
    fn size(&self) -> f64 {
        2.0 * self.shape.half.x.min(self.shape.half.y)
    }

    fn anywhere(&mut self, turned: bool) -> Spot {
        self.within(self.room, turned)
    }

    fn near(&mut self, here: Spot, turned: bool) -> Spot {
        let around = Rect::from_center_size(here.centre, (self.shape.half * 2.0).to_size());
        self.within(around.intersect(self.room), turned)
    }

    fn within(&mut self, room: Rect, turned: bool) -> Spot {
        let (x, y) = (self.random.between(room.x0, room.x1), self.random.between(room.y0, room.y1));
        Spot { centre: clamped((x, y).into(), self.room), turned }
    }

    /// Puts a spot among the best; of two that are close together only the better one stays.
    fn keep(&self, best: &mut Vec<Found>, found: Found) {
        let apart = STEPS.0 * self.size();
        let close = |a: Spot| a.turned == found.1.turned && (a.centre - found.1.centre).hypot2() < apart * apart;
        if best.iter().any(|other| close(other.1) && other.0 <= found.0) {
            return;
        }
        best.retain(|other| !close(other.1));
        let place = best.partition_point(|other| other.0 <= found.0);
        best.insert(place, found);
        best.truncate(KEPT);
    }

    /// The spot moved downhill, along an axis or a diagonal at a time, in steps from the first length to the last.
    fn descended(&mut self, mut found: Found, mut step: f64, last: f64) -> Found {
        while step > last && found.0 > 0.0 {
            let way = self.way() * step;
            let tried = [way, -way].map(|way| Spot { centre: clamped(found.1.centre + way, self.room), ..found.1 });
            let before = found.0;
            for spot in tried {
                let cost = self.cost(spot, found.0);
                if cost < found.0 {
                    found = (cost, spot);
                }
            }
            step *= if found.0 < before { LONGER } else { SHORTER };
        }
        found
    }

    fn way(&mut self) -> Vec2 {
        let free = self.room.height() > 0.0;
        let diagonal = 0.5_f64.sqrt();
        match self.random.below(if free { 4 } else { 1 }) {
            0 => Vec2::new(1.0, 0.0),
            1 => Vec2::new(0.0, 1.0),
            2 => Vec2::new(diagonal, diagonal),
            _ => Vec2::new(diagonal, -diagonal),
        }
    }

    /// How badly the shape would overlap others at a spot; once that is at least the limit, no more is added.
    fn cost(&mut self, spot: Spot, limit: f64) -> f64 {
        self.meter.spent += 1;
        let here = Lying::new(self.index, self.shape, spot);
        let mut sum = 0.0;
        for (other, weight) in self.lying.iter().zip(self.weights) {
            if other.index != self.index {
                sum += here.overlap(other) * weight;
            }
            if sum >= limit {
                break;
            }
        }
        sum
    }
}
