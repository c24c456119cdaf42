//! A part as the search moves it: its grown outline both ways round, centred, with the room that it may move in.

use super::Part;
use super::circles::{Circle, circles};
use super::grow::grown;
use super::ring::{bounds, edges, signed_area};
use super::sections::Sections;
use kurbo::{Point, Rect, Vec2};

/// Where a shape's centre is, and whether it is turned by half a turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub centre: Point,
    pub turned: bool,
}

/// One part, centred on the middle of its real outline's box, which is the same both ways round.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    /// The grown outline as drawn and turned.
    figures: [Figure; 2],
    /// Half the real outline's length and width.
    pub half: Vec2,
    /// The middle of the real outline's box as it was given.
    pub middle: Point,
    /// The area of the real outline.
    pub area: f64,
    /// The sections of the real outline, as drawn.
    pub sections: Sections,
    /// Whether half turns are allowed.
    pub may_turn: bool,
    /// Whether the part stays on the fold.
    pub on_fold: bool,
}

/// A grown outline one way round.
#[derive(Clone, Debug)]
pub(super) struct Figure {
    pub ring: Vec<Point>,
    /// The edges, each with its box.
    pub edges: Vec<(Point, Point, Rect)>,
    pub circles: Vec<Circle>,
    pub bounds: Rect,
    /// The fourth root of the area, by which overlaps count.
    pub weight: f64,
}

impl Shape {
    /// The shape of a part with a clean outline.
    pub fn new(part: &Part, outline: &[Point], gap: f64) -> Self {
        let bounds = bounds(outline);
        let middle = bounds.center();
        let ring: Vec<Point> = grown(outline, gap).into_iter().map(|point| (point - middle).to_point()).collect();
        let figure = Figure::new(ring, signed_area(outline).abs());
        let may_turn = part.may_turn && !part.on_fold;
        Self {
            figures: [figure.turned(), figure],
            half: Vec2::new(bounds.width(), bounds.height()) / 2.0,
            middle,
            area: signed_area(outline).abs(),
            sections: Sections::new(outline),
            may_turn,
            on_fold: part.on_fold,
        }
    }

    /// The grown outline as it lies.
    pub fn figure(&self, turned: bool) -> &Figure {
        let [around, straight] = &self.figures;
        if turned { around } else { straight }
    }

    /// The ways round that are allowed.
    pub fn turns(&self) -> &'static [bool] {
        if self.may_turn { &[false, true] } else { &[false] }
    }

    /// The box that the centre may be in, on cloth of that length and width.
    pub fn room(&self, length: f64, width: f64) -> Rect {
        let x1 = (length - self.half.x).max(self.half.x);
        let y1 = if self.on_fold { self.half.y } else { (width - self.half.y).max(self.half.y) };
        Rect::new(self.half.x, self.half.y, x1, y1)
    }
}

impl Figure {
    fn new(ring: Vec<Point>, area: f64) -> Self {
        let weight = area.sqrt().sqrt();
        Self { edges: boxed(&ring), circles: circles(&ring), bounds: bounds(&ring), weight, ring }
    }

    fn turned(&self) -> Self {
        let around = |point: Point| Point::new(-point.x, -point.y);
        let ring: Vec<Point> = self.ring.iter().copied().map(around).collect();
        let circles = self.circles.iter().map(|circle| Circle { centre: around(circle.centre), ..*circle }).collect();
        Self { edges: boxed(&ring), circles, bounds: bounds(&ring), weight: self.weight, ring }
    }
}

fn boxed(ring: &[Point]) -> Vec<(Point, Point, Rect)> {
    edges(ring).map(|(a, b)| (a, b, Rect::from_points(a, b))).collect()
}

/// The nearest point of a box.
pub(super) fn clamped(point: Point, room: Rect) -> Point {
    Point::new(point.x.max(room.x0).min(room.x1), point.y.max(room.y0).min(room.y1))
}
