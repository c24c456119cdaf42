//! Shapes on a strip of cloth as the search has them just now: overlapping or not.

use super::overlap::overlap;
use super::shape::{Figure, Shape, Spot};

/// How many places were tried, and how many may be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Meter {
    pub spent: u64,
    pub budget: u64,
}

impl Meter {
    /// Whether the budget is used up.
    pub fn is_up(&self) -> bool {
        self.spent >= self.budget
    }
}

/// The cloth and what is to lie on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cloth<'a> {
    pub shapes: &'a [Shape],
    pub width: f64,
}

/// One shape that lies somewhere.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lying<'a> {
    pub index: usize,
    pub figure: &'a Figure,
    pub spot: Spot,
}

impl<'a> Lying<'a> {
    /// A shape at a spot.
    pub fn new(index: usize, shape: &'a Shape, spot: Spot) -> Self {
        Self { index, figure: shape.figure(spot.turned), spot }
    }

    /// How badly two shapes overlap: 0 if they do not.
    pub fn overlap(&self, other: &Lying) -> f64 {
        overlap(self.figure, other.figure, other.spot.centre - self.spot.centre)
    }
}

/// All shapes at their spots.
pub(super) fn all<'a>(cloth: Cloth<'a>, spots: &[Spot]) -> Vec<Lying<'a>> {
    let each = cloth.shapes.iter().zip(spots).enumerate();
    each.map(|(index, (shape, spot))| Lying::new(index, shape, *spot)).collect()
}
