//! How short a lay can be at best.

use super::proof::{NEARER, OVER};
use super::shape::Shape;
use super::slide::Slide;
use super::{Bound, Job, Lay};
use crate::units::Length;
use std::f64::consts::PI;

/// Up to how many pieces beside each other are counted.
const MOST_BESIDE: u32 = 20;

/// What sums and products may be off, in millimetres; of bounds that are as long the plainer one is told.
const TIE: f64 = 1e-6;

/// A length that no lay can be below, in whole hundredths of a millimetre, and what it comes from.
pub(super) fn bound(job: &Job, shapes: &[Shape]) -> (Length, Bound) {
    let lengths = shapes.iter().enumerate().map(|(part, shape)| (shape.half.x * 2.0, Bound::Longest(part)));
    let (width, gap) = (job.width.to_mm(), job.gap.to_mm());
    let beside = (1..=MOST_BESIDE).map(|most| (by_count(shapes, width, gap, f64::from(most)), Bound::Beside));
    let all = lengths.chain([(by_area(shapes, width, gap), Bound::Area)]).chain(beside);
    let (length, by) = all.fold((0.0, Bound::Area), |best, next| if next.0 > best.0 + TIE { next } else { best });
    (hundredths_up(length), by)
}

/// A lay with the bound as near to its length as can be proven, which takes as long as some thousand places tried.
pub(super) fn raised(job: &Job, shapes: &[Shape], lay: Lay) -> Lay {
    if lay.is_shortest() {
        return lay;
    }
    let bound = slide(job, shapes).above(lay.bound, lay.length);
    if bound > lay.bound { Lay { bound, bound_by: Bound::Beside, ..lay } } else { lay }
}

/// The job's pieces as they slide: as much nearer to each other, and as much over the edges, as those of a proven lay may be.
pub(super) fn slide<'a>(job: &Job, shapes: &'a [Shape]) -> Slide<'a> {
    Slide::new(shapes, job.width.to_mm() + 2.0 * OVER, job.gap.to_mm() - NEARER)
}

/// No two pieces that are half the gap wider all round overlap, and together they stay in a strip that is half the gap wider all round.
/// An area A becomes by that at least (√A + √π · gap/2)², as a circle's does (the Brunn-Minkowski inequality).
fn by_area(shapes: &[Shape], width: f64, gap: f64) -> f64 {
    let plain = shapes.iter().map(|shape| shape.area).sum::<f64>() / width;
    let side = |shape: &Shape| shape.area.sqrt() + PI.sqrt() * gap / 2.0;
    let grown: f64 = shapes.iter().map(|shape| side(shape) * side(shape)).sum();
    plain.max(grown / (width + gap) - gap)
}

/// Of pieces that each take more than a `most + 1`st of the width, at most `most` lie beside each other; one that takes more than j such
/// parts counts as j. So the lengths of all, each counted like that, are no more than `most` times the lay's: a dual feasible function,
/// as Fekete and Schepers (2001, cited from memory) use them for rectangles, taken section by section.
fn by_count(shapes: &[Shape], width: f64, gap: f64, most: f64) -> f64 {
    let count = |taken: f64| ((taken / (width + gap) * (most + 1.0) - 1e-9).ceil() - 1.0).max(0.0);
    let counted = |shape: &Shape| {
        let cells = &shape.sections.cells;
        let long = shape.sections.length / cells.len() as f64;
        let ends = [cells.first(), cells.last()].into_iter().flatten().map(|end| count(end.section)).sum::<f64>();
        cells.iter().map(|cell| count(cell.section + gap)).sum::<f64>() * long + ends * gap / 2.0
    };
    shapes.iter().map(counted).sum::<f64>() / most - gap
}

/// A length in whole hundredths of a millimetre, rounded up; what sums and products leave behind the ninth digit is none.
pub(super) fn hundredths_up(millimetres: f64) -> Length {
    Length::mm((millimetres * 100.0 - 1e-4).ceil() / 100.0)
}
