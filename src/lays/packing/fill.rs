//! Bottom-left fill: each shape as far towards the cloth's beginning as it goes, then as far across; the first lay, from which the search goes on.

use super::shape::{Shape, Spot};
use super::strip::{Cloth, Lying, Meter};
use kurbo::{Point, Rect};

/// How many rows across the cloth are tried for each shape.
const ROWS: usize = 12;

/// How often a way is halved while a shape slides: in every row, and where it stays.
const COARSE: usize = 5;
const FINE: usize = 16;

/// A number by which shapes are laid, the largest first.
type Key = fn(&Shape) -> f64;

/// Orders to lay the shapes in.
const ORDERS: [Key; 5] = [
    |shape| shape.area,
    |shape| shape.half.x,
    |shape| shape.half.y,
    |shape| shape.half.hypot2(),
    |shape| shape.half.x * shape.half.y,
];

/// The shortest of several fills: at least one, more as long as they cost a tenth of the budget.
pub(super) fn filled(cloth: Cloth, meter: &mut Meter) -> (Vec<Spot>, f64) {
    let mut best: Option<(Vec<Spot>, f64)> = None;
    for key in ORDERS {
        if best.is_some() && meter.spent > meter.budget / 10 {
            break;
        }
        let next = fill(cloth, key, meter);
        if best.as_ref().is_none_or(|best| next.1 < best.1) {
            best = Some(next);
        }
    }
    best.unwrap_or_default()
}

/// One fill: where each shape lies, by shape, and the length.
fn fill(cloth: Cloth, key: Key, meter: &mut Meter) -> (Vec<Spot>, f64) {
    let mut order: Vec<(usize, &Shape)> = cloth.shapes.iter().enumerate().collect();
    // What stays on the fold has the least choice.
    order.sort_by(|(_, a), (_, b)| b.on_fold.cmp(&a.on_fold).then(key(b).total_cmp(&key(a))));
    let mut laid = Vec::with_capacity(order.len());
    let mut end = 0.0;
    for (index, shape) in order {
        let spot = Hand { cloth, laid: &laid, index, shape, end }.best(meter);
        end = f64::max(end, spot.centre.x + shape.half.x);
        laid.push(Lying::new(index, shape, spot));
    }
    laid.sort_by_key(|lying| lying.index);
    (laid.into_iter().map(|lying| lying.spot).collect(), end)
}

/// The shape that is laid next, and what lies already.
struct Hand<'a> {
    cloth: Cloth<'a>,
    laid: &'a [Lying<'a>],
    index: usize,
    shape: &'a Shape,
    end: f64,
}

impl Hand<'_> {
    /// The spot whose far end is nearest.
    fn best(&self, meter: &mut Meter) -> Spot {
        let room = self.room();
        let rows = if room.height() > 0.0 { ROWS } else { 0 };
        let row = |index: usize| room.y0 + room.height() * index as f64 / ROWS as f64;
        let starts = self.shape.turns().iter().flat_map(|&turned| (0..=rows).map(move |index| (row(index), turned)));
        let spots = starts.map(|(y, turned)| self.slid(self.first(y, turned, meter), COARSE, meter));
        let nearest = |a: &Spot, b: &Spot| a.centre.x.total_cmp(&b.centre.x).then(a.centre.y.total_cmp(&b.centre.y));
        let best = spots.min_by(nearest).unwrap_or(Spot { centre: Point::new(room.x1, room.y0), turned: false });
        self.settled(best, meter)
    }

    /// Where the centre may be: at most just behind all that lies already.
    fn room(&self) -> Rect {
        self.shape.room(self.end + self.reach() + self.shape.half.x, self.cloth.width)
    }

    /// How far behind the end the centre is free for certain.
    fn reach(&self) -> f64 {
        let bounds = self.shape.figure(false).bounds;
        // Both outlines are wider by half the gap; this one's half is taken twice for that.
        bounds.width().max(2.0 * self.shape.half.x) - self.shape.half.x
    }

    /// The first free spot of a row, in coarse steps.
    fn first(&self, y: f64, turned: bool, meter: &mut Meter) -> Spot {
        let room = self.room();
        let step = self.step();
        let count = (room.width() / step).ceil() as usize;
        let spot = |index: usize| Spot { centre: Point::new((room.x0 + step * index as f64).min(room.x1), y), turned };
        (0..count).map(spot).find(|spot| self.free(*spot, meter)).unwrap_or(spot(count))
    }

    /// A free spot moved towards the beginning and across, twice.
    fn settled(&self, mut spot: Spot, meter: &mut Meter) -> Spot {
        let room = self.room();
        for _ in 0..2 {
            spot = self.slid(spot, FINE, meter);
            let across = (spot.centre.y - room.height() / ROWS as f64).max(room.y0);
            spot = self.pulled(spot, Point::new(spot.centre.x, across), FINE, meter);
        }
        spot
    }

    /// A free spot moved towards the beginning, by less than a step.
    fn slid(&self, spot: Spot, halvings: usize, meter: &mut Meter) -> Spot {
        let back = (spot.centre.x - self.step()).max(self.room().x0);
        self.pulled(spot, Point::new(back, spot.centre.y), halvings, meter)
    }

    /// A free spot as near to a goal as halving the way brings it.
    fn pulled(&self, mut spot: Spot, goal: Point, halvings: usize, meter: &mut Meter) -> Spot {
        let mut tried = goal;
        let mut blocked = goal;
        for _ in 0..=halvings {
            let moved = Spot { centre: tried, ..spot };
            if self.free(moved, meter) {
                spot = moved;
            } else {
                blocked = tried;
            }
            if spot.centre == goal {
                break;
            }
            tried = blocked.midpoint(spot.centre);
        }
        spot
    }

    /// The coarse steps along the cloth.
    fn step(&self) -> f64 {
        (self.shape.half.x / 2.0).max(self.end / 100.0)
    }

    fn free(&self, spot: Spot, meter: &mut Meter) -> bool {
        meter.spent += 1;
        let here = Lying::new(self.index, self.shape, spot);
        self.laid.iter().all(|other| here.overlap(other) == 0.0)
    }
}
