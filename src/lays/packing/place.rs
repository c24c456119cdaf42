//! Spots of the search as places of the real outlines, and back.

use super::Place;
use super::bound::hundredths_up;
use super::shape::{Shape, Spot, clamped};
use crate::units::Length;
use kurbo::{Point, Vec2};

/// Places are whole thousandths of a millimetre: short in records, and far finer than the outlines' ease.
const GRAIN: f64 = 1000.0;

/// Where each part lies, moved together to the cloth's beginning, and the length that they take.
pub(super) fn places(shapes: &[Shape], spots: &[Spot], width: f64) -> (Vec<Place>, Length) {
    let start = shapes.iter().zip(spots).map(|(shape, spot)| spot.centre.x - shape.half.x).fold(f64::INFINITY, f64::min);
    let shift = if start.is_finite() { start } else { 0.0 };
    let places = shapes.iter().zip(spots).map(|(shape, spot)| place(shape, *spot, shift, width)).collect::<Vec<_>>();
    let ends = shapes.iter().zip(&places).map(|(shape, place)| shape.spot(*place).centre.x + shape.half.x);
    let end = ends.fold(0.0, f64::max);
    (places, hundredths_up(end))
}

fn place(shape: &Shape, spot: Spot, start: f64, width: f64) -> Place {
    let middle = middle(shape, spot.turned);
    let shift = spot.centre - middle - Vec2::new(start, 0.0);
    // Rounding must not push a piece over an edge of the cloth.
    let low = shape.half.y - middle.y;
    let high = (width - shape.half.y - middle.y).max(low);
    let y = if shape.on_fold {
        low
    } else {
        (shift.y * GRAIN).round().max((low * GRAIN).ceil()).min((high * GRAIN).floor()) / GRAIN
    };
    let x = (shift.x * GRAIN).round().max(((shape.half.x - middle.x) * GRAIN).ceil()) / GRAIN;
    Place { turned: spot.turned, x: Length::mm(x), y: Length::mm(y.max(low).min(high)) }
}

/// Where places put the shapes, moved onto the cloth and turned only where that is allowed.
pub(super) fn spots(shapes: &[Shape], places: &[Place], length: f64, width: f64) -> Vec<Spot> {
    let each = shapes.iter().zip(places).map(|(shape, place)| {
        let Spot { centre, turned } = shape.spot(*place);
        Spot { centre: clamped(centre, shape.room(length, width)), turned: turned && shape.may_turn }
    });
    each.collect()
}

impl Shape {
    /// Where a place puts the part's centre.
    pub(super) fn spot(&self, place: Place) -> Spot {
        let shift = Vec2::new(place.x.to_mm(), place.y.to_mm());
        Spot { centre: middle(self, place.turned) + shift, turned: place.turned }
    }
}

/// The middle of the part's box before it is shifted.
fn middle(shape: &Shape, turned: bool) -> Point {
    if turned { Point::new(-shape.middle.x, -shape.middle.y) } else { shape.middle }
}
