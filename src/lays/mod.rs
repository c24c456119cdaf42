//! Lay plans: how the pieces of a drawing lie on cloth, and how much of it is to be bought; knows no file format.
//!
//! `sought` says which lines of the drawing are needed, `recognised` makes pieces of them, `packing` (which knows nothing of kits)
//! lays these, and `planned` makes one book of all lays, which the guide shows and the package carries.

mod book;
mod buy;
mod cut;
pub mod packing;
mod planned;
mod polygon;
mod recognised;
mod shape;
mod sought;

pub use book::{ClothLays, LayBook, LayFigures, PieceShape, PlacedPiece, SizeLays, WidthLay};
pub use cut::Cut;
pub use planned::planned;
pub use recognised::recognised;
pub use sought::sought;

#[cfg(test)]
mod tests;
