//! Lay plans: how the pieces of a drawing lie on cloth, and how much of it is to be bought; knows no file format.
//!
//! `sought` says which lines of the drawing are needed, `recognised` makes pieces of them, `packing` (which knows nothing of kits)
//! lays these, and `planned` makes one book of all lays, which the guide shows and the package carries. `seams` measures lines.

mod book;
mod buy;
mod cut;
mod neighbours;
pub mod packing;
mod planned;
mod polygon;
mod recognised;
mod seams;
mod shape;
mod sought;
mod told;

pub use book::{ClothLays, LayBook, LayFigures, PieceShape, PlacedPiece, SeamLength, SeamLengths, SizeLays, WidthLay};
pub use cut::Cut;
pub use planned::planned;
pub use recognised::recognised;
pub use seams::measured;
pub use sought::sought;

#[cfg(test)]
mod tests;
