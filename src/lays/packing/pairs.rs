//! What is kept for each pair of shapes: how badly they overlap, and how much that counts.

use super::strip::Lying;

/// By how much an overlap that stays counts more after each round: the least and the worst one.
const MORE: (f64, f64) = (1.2, 2.0);

/// By how much a pair that does not overlap counts less after each round, down to 1.
const LESS: f64 = 0.95;

/// A square table of all pairs, both ways round.
#[derive(Clone, Debug)]
pub(super) struct Pairs {
    count: usize,
    overlaps: Vec<f64>,
    weights: Vec<f64>,
}

impl Pairs {
    /// The pairs of shapes that lie somewhere; each counts the same.
    pub fn new(lying: &[Lying]) -> Self {
        let count = lying.len();
        let overlaps = lying.iter().flat_map(|one| lying.iter().map(move |other| between(one, other))).collect();
        Self { count, overlaps, weights: vec![1.0; count * count] }
    }

    /// How much the overlaps of a shape with each other one count.
    pub fn weights(&self, index: usize) -> &[f64] {
        self.weights.get(index * self.count..(index + 1) * self.count).unwrap_or_default()
    }

    /// All overlaps of a shape, unweighted.
    pub fn of(&self, index: usize) -> f64 {
        self.overlaps.get(index * self.count..(index + 1) * self.count).unwrap_or_default().iter().sum()
    }

    /// All overlaps, unweighted.
    pub fn total(&self) -> f64 {
        self.overlaps.iter().sum::<f64>() / 2.0
    }

    /// Measures a shape that has moved against all others.
    pub fn moved(&mut self, index: usize, lying: &[Lying]) {
        let Some(one) = lying.get(index) else { return };
        for (other, shape) in lying.iter().enumerate() {
            let overlap = between(one, shape);
            for at in [index * self.count + other, other * self.count + index] {
                if let Some(entry) = self.overlaps.get_mut(at) {
                    *entry = overlap;
                }
            }
        }
    }

    /// Makes overlaps that stay count more, the worst one most, and lets the others fade.
    pub fn reweighted(&mut self) {
        let worst = self.overlaps.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        for (weight, &overlap) in self.weights.iter_mut().zip(&self.overlaps) {
            let more = MORE.0 + (MORE.1 - MORE.0) * overlap / worst;
            *weight = if overlap > 0.0 { *weight * more } else { (*weight * LESS).max(1.0) };
        }
    }
}

fn between(one: &Lying, other: &Lying) -> f64 {
    if one.index == other.index { 0.0 } else { one.overlap(other) }
}
