//! Points, sizes, rectangles and four-sided margins on paper, from the top left, y down.

use super::Length;
use serde::{Deserialize, Serialize};

/// A place on paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// To the right of the origin.
    pub x: Length,
    /// Below the origin.
    pub y: Length,
}

impl Point {
    /// A place from two lengths.
    pub const fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }

    /// The same place in kurbo's plain millimetres.
    pub fn to_kurbo_mm(self) -> kurbo::Point {
        kurbo::Point::new(self.x.to_mm(), self.y.to_mm())
    }
}

/// Width and height.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// From left to right.
    pub width: Length,
    /// From top to bottom.
    pub height: Length,
}

impl Size {
    /// A size from two lengths.
    pub const fn new(width: Length, height: Length) -> Self {
        Self { width, height }
    }

    /// A size from two counts of millimetres.
    pub const fn mm(width: f64, height: f64) -> Self {
        Self::new(Length::mm(width), Length::mm(height))
    }

    /// The same size turned by a quarter.
    pub const fn turned(self) -> Self {
        Self::new(self.height, self.width)
    }
}

/// Four distances from the sides of a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Margins {
    /// At the head of the sheet.
    pub top: Length,
    /// At the right-hand side.
    pub right: Length,
    /// At the foot, where many printers need most.
    pub bottom: Length,
    /// At the left-hand side.
    pub left: Length,
}

impl Margins {
    /// The same distance on all four sides.
    pub const fn even(side: Length) -> Self {
        Self { top: side, right: side, bottom: side, left: side }
    }

    /// These margins with `more` added on every side.
    pub fn grown(self, more: Length) -> Self {
        Self { top: self.top + more, right: self.right + more, bottom: self.bottom + more, left: self.left + more }
    }

    /// The side that is widest.
    pub fn largest(self) -> Length {
        self.top.max(self.right).max(self.bottom).max(self.left)
    }
}

/// A rectangle with upright sides; `min` is its top left, `max` its bottom right corner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rect {
    /// Top left corner.
    pub min: Point,
    /// Bottom right corner.
    pub max: Point,
}

impl Rect {
    /// A rectangle from its top left corner and size.
    pub fn new(at: Point, size: Size) -> Self {
        Self { min: at, max: Point::new(at.x + size.width, at.y + size.height) }
    }

    /// A rectangle from millimetres: left, top, width, height.
    pub fn mm(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self::new(Point::new(Length::mm(x), Length::mm(y)), Size::mm(width, height))
    }

    /// A rectangle from kurbo's plain millimetres.
    pub fn from_kurbo_mm(r: kurbo::Rect) -> Self {
        Self::mm(r.x0, r.y0, r.width(), r.height())
    }

    /// The same rectangle in kurbo's plain millimetres.
    pub fn to_kurbo_mm(self) -> kurbo::Rect {
        kurbo::Rect::new(self.min.x.to_mm(), self.min.y.to_mm(), self.max.x.to_mm(), self.max.y.to_mm())
    }

    /// From left to right.
    pub fn width(self) -> Length {
        self.max.x - self.min.x
    }

    /// From top to bottom.
    pub fn height(self) -> Length {
        self.max.y - self.min.y
    }

    /// Width and height.
    pub fn size(self) -> Size {
        Size::new(self.width(), self.height())
    }

    /// The point in the middle.
    pub fn center(self) -> Point {
        Point::new((self.min.x + self.max.x) / 2.0, (self.min.y + self.max.y) / 2.0)
    }

    /// What is left inside the margins; sides may cross if the margins are larger than the rectangle.
    pub fn inset(self, by: Margins) -> Self {
        Self {
            min: Point::new(self.min.x + by.left, self.min.y + by.top),
            max: Point::new(self.max.x - by.right, self.max.y - by.bottom),
        }
    }

    /// The same rectangle moved.
    pub fn moved(self, dx: Length, dy: Length) -> Self {
        Self::new(Point::new(self.min.x + dx, self.min.y + dy), self.size())
    }

    /// The smallest rectangle that holds both.
    pub fn union(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Whether the insides of the two share any point.
    pub fn overlaps(self, other: Self) -> bool {
        self.min.x < other.max.x && other.min.x < self.max.x && self.min.y < other.max.y && other.min.y < self.max.y
    }

    /// Whether the rectangle has an inside.
    pub fn has_area(self) -> bool {
        self.width() > Length::ZERO && self.height() > Length::ZERO
    }
}
