//! How much there is to draw: a short file can ask for more lines, dashes and paper than any plan could ever be made for.

use super::limits::Limits;
use super::model::{Item, PathShape, Piece, Shape};
use crate::diagnostic::{Diagnostic, Place};
use kurbo::{PathEl, Point};

/// The finding for a drawing that is too much, at its worst place.
pub fn too_much(file: &str, pieces: &[Piece], limits: &Limits) -> Option<Diagnostic> {
    let bounds = pieces.iter().map(|piece| piece.bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let area = bounds.area() / 1e6;
    if is_beyond(area, limits.area) || is_beyond(bounds.width().max(bounds.height()), limits.reach) {
        let [width, height] = [bounds.width(), bounds.height()].map(|mm| format!("{:.1}", mm / 1e3));
        return Some(error!("drawing-too-large/area", width, height, most = limits.area).at(Place::file(file)));
    }
    let (mut length, mut dashes) = (0.0, 0.0);
    for item in pieces.iter().flat_map(|piece| &piece.items) {
        let Shape::Path(shape) = &item.shape else { continue };
        let own = reach(shape);
        length += own / 1e6;
        dashes += own * dashes_per_mm(shape);
        if is_beyond(length, limits.length) {
            return Some(at(item, error!("drawing-too-complex/length", most = limits.length)));
        }
        if is_beyond(dashes, limits.dashes) {
            return Some(at(item, error!("drawing-too-complex/dashes", most = limits.dashes)));
        }
    }
    None
}

/// What is no number is beyond everything.
fn is_beyond(amount: f64, most: f64) -> bool {
    amount.is_nan() || amount > most
}

fn at(item: &Item, finding: Diagnostic) -> Diagnostic {
    finding.at(item.origin.clone())
}

/// How long a path is in mm, curves by the legs of their control points, which are never shorter.
fn reach(shape: &PathShape) -> f64 {
    let mut last = Point::ZERO;
    let mut start = Point::ZERO;
    let mut legs = |points: &[Point]| -> f64 { points.iter().map(|to| std::mem::replace(&mut last, *to).distance(*to)).sum() };
    let step = |element: PathEl| match element {
        PathEl::MoveTo(to) => {
            legs(&[to]);
            start = to;
            0.0
        }
        PathEl::LineTo(to) => legs(&[to]),
        PathEl::QuadTo(a, to) => legs(&[a, to]),
        PathEl::CurveTo(a, b, to) => legs(&[a, b, to]),
        PathEl::ClosePath => legs(&[start]),
    };
    shape.path.iter().map(step).sum()
}

fn dashes_per_mm(shape: &PathShape) -> f64 {
    let pattern = shape.stroke.as_ref().map(|stroke| stroke.style.dash_pattern.as_slice()).unwrap_or_default();
    let round: f64 = pattern.iter().sum();
    if pattern.is_empty() { 0.0 } else { pattern.len() as f64 / round }
}
