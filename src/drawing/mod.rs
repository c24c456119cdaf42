//! The drawing: SVG text in, a [`Drawing`] in millimetres on paper out, geometry untouched.

mod model;

pub use model::{Clip, Drawing, Fill, ImageShape, Item, Layer, Measured, PathShape, Piece, Pixels, Role, Shape, Stroke};
