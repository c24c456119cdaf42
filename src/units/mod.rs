//! Lengths, points, rectangles and margins with units, so that no bare float ever stands for a size on paper.
//!
//! Paper space is millimetres from the top left, y down. Paths are [`kurbo::BezPath`] in millimetres of that space.

mod length;
mod rect;

pub use length::{Length, LengthError};
pub use rect::{Margins, Point, Rect, Size};
