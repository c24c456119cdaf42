//! The drawing: SVG text in, a [`Drawing`] in millimetres on paper out, geometry untouched.

mod amount;
mod clips;
mod controls;
mod convert;
mod cores;
mod entities;
mod features;
mod fonts;
mod geometry;
mod held;
mod ink;
mod key;
mod layers;
mod lettering;
mod limits;
mod linking;
mod model;
mod numbers;
mod outline;
mod painted;
mod pictures;
mod pieces;
mod prepass;
mod read;
mod request;
mod reword;
mod scale;
mod shape;
mod source;
mod splice;
mod style;
mod traced;
mod tree;
#[cfg(test)]
mod trial;
mod uses;
mod viewport;
mod words;

pub use held::{FRAME_ID, grid_id};
pub use key::{items_keyed, pixels_keyed};
pub use lettering::rooms;
pub use limits::Limits;
pub use model::{
    Clip, Drawing, Fill, Held, ImageShape, Item, Layer, Letter, Lettering, Measured, PathShape, Piece, Pixels, Role, Shape,
    Stroke, Trace, TraceKind,
};
pub use pictures::picture;
pub use read::read;
pub use request::{FontFile, Request, Resources};
pub use traced::{Sought, Traced, Untraced, plain};
pub use words::{Word, same_elements, with_words, words};
