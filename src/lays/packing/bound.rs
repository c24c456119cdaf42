//! How short a lay can be at best.

use super::shape::Shape;
use super::{Bound, Job};
use crate::units::Length;
use std::f64::consts::PI;

/// A length that no lay can be below, in whole hundredths of a millimetre, and what it comes from.
pub(super) fn bound(job: &Job, shapes: &[Shape]) -> (Length, Bound) {
    let lengths = shapes.iter().map(|shape| shape.half.x * 2.0).enumerate();
    let (part, longest) = lengths.fold((0, 0.0), |best, next| if next.1 > best.1 { next } else { best });
    let area = by_area(shapes, job.width.to_mm(), job.gap.to_mm());
    if area > longest { (hundredths_up(area), Bound::Area) } else { (hundredths_up(longest), Bound::Longest(part)) }
}

/// No two pieces that are half the gap wider all round overlap, and together they stay in a strip that is half the gap wider all round.
/// An area A becomes by that at least (√A + √π · gap/2)², as a circle's does (the Brunn-Minkowski inequality).
fn by_area(shapes: &[Shape], width: f64, gap: f64) -> f64 {
    let plain = shapes.iter().map(|shape| shape.area).sum::<f64>() / width;
    let side = |shape: &Shape| shape.area.sqrt() + PI.sqrt() * gap / 2.0;
    let grown: f64 = shapes.iter().map(|shape| side(shape) * side(shape)).sum();
    plain.max(grown / (width + gap) - gap)
}

/// A length in whole hundredths of a millimetre, rounded up; what sums and products leave behind the ninth digit is none.
pub(super) fn hundredths_up(millimetres: f64) -> Length {
    Length::mm((millimetres * 100.0 - 1e-4).ceil() / 100.0)
}
