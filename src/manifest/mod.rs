//! The manifest: YAML text in, a complete and checked [`Kit`] out, every value with its place.

mod kit;
mod paper;
mod places;

pub use kit::{Chapter, Colour, Control, ControlTarget, DrawingSource, Extent, GuideTexts, Kit, PaperSetup, SizeLayer};
pub use paper::{Format, Paper, Press};
pub use places::Places;
