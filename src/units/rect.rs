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

#[cfg(test)]
mod tests {
    use super::*;

    /// A rectangle whose sides and corners are all of different numbers, so that none can stand for another.
    fn odd() -> Rect {
        Rect::mm(10.0, 20.0, 40.0, 90.0)
    }

    #[test]
    fn sides_corners_and_middle_are_those_of_geometry() {
        let r = odd();
        assert_eq!((r.min, r.max), (at(10.0, 20.0), at(50.0, 110.0)));
        assert_eq!((r.width(), r.height(), r.size()), (Length::mm(40.0), Length::mm(90.0), Size::mm(40.0, 90.0)));
        assert_eq!(r.center(), at(30.0, 65.0));
        assert_eq!(r.size().turned(), Size::mm(90.0, 40.0));
    }

    fn at(x: f64, y: f64) -> Point {
        Point::new(Length::mm(x), Length::mm(y))
    }

    #[test]
    fn there_and_back_to_kurbo_nothing_changes() {
        assert_eq!(at(3.0, 4.0).to_kurbo_mm(), kurbo::Point::new(3.0, 4.0));
        assert_eq!(odd().to_kurbo_mm(), kurbo::Rect::new(10.0, 20.0, 50.0, 110.0));
        assert_eq!(Rect::from_kurbo_mm(odd().to_kurbo_mm()), odd());
    }

    #[test]
    fn each_margin_takes_from_its_own_side() {
        let mm = Length::mm;
        let margins = Margins { top: mm(1.0), right: mm(2.0), bottom: mm(3.0), left: mm(4.0) };
        assert_eq!(odd().inset(margins), Rect { min: at(14.0, 21.0), max: at(48.0, 107.0) });
        let grown = Margins { top: mm(1.5), right: mm(2.5), bottom: mm(3.5), left: mm(4.5) };
        assert_eq!(margins.grown(mm(0.5)), grown);
        assert_eq!(Margins::even(mm(1.0)), Margins { top: mm(1.0), right: mm(1.0), bottom: mm(1.0), left: mm(1.0) });
    }

    #[test]
    fn the_largest_margin_may_be_any() {
        let mm = Length::mm;
        for turn in 0..4 {
            let mut sides = [mm(1.0), mm(2.0), mm(3.0), mm(9.0)];
            sides.rotate_left(turn);
            let [top, right, bottom, left] = sides;
            assert_eq!(Margins { top, right, bottom, left }.largest(), mm(9.0), "{turn}");
        }
    }

    #[test]
    fn a_moved_rectangle_keeps_its_size_and_a_union_holds_both() {
        let moved = odd().moved(Length::mm(100.0), Length::mm(-5.0));
        assert_eq!(moved, Rect::mm(110.0, 15.0, 40.0, 90.0));
        let both = Rect { min: at(10.0, 15.0), max: at(150.0, 110.0) };
        assert_eq!((odd().union(moved), moved.union(odd())), (both, both));
    }

    #[test]
    fn rectangles_overlap_by_their_insides_only() {
        let square = |x, y| Rect::mm(x, y, 10.0, 10.0);
        for (x, y, overlaps) in
            [(0.0, 0.0, true), (9.0, 9.0, true), (10.0, 0.0, false), (0.0, 10.0, false), (20.0, 0.0, false), (0.0, 20.0, false)]
        {
            assert_eq!(square(0.0, 0.0).overlaps(square(x, y)), overlaps, "{x} {y}");
            assert_eq!(square(x, y).overlaps(square(0.0, 0.0)), overlaps, "{x} {y}");
        }
    }

    #[test]
    fn only_a_rectangle_with_both_sides_has_an_area() {
        let area = |width, height| Rect::mm(1.0, 1.0, width, height).has_area();
        assert!(area(2.0, 3.0));
        for (width, height) in [(0.0, 3.0), (2.0, 0.0), (-2.0, 3.0), (2.0, -3.0), (-2.0, -3.0)] {
            assert!(!area(width, height), "{width} {height}");
        }
    }
}
