//! The manifest: YAML text in, a complete and checked [`Kit`] out, every value with its place.

mod checks;
mod cloth;
mod complete;
mod document;
mod fonts;
mod guide;
mod kit;
mod merge;
mod names;
mod paper;
mod places;
mod raw;
mod raw_cloth;
mod raw_control;
mod raw_guide;
mod raw_seam;
mod schema;
mod seam;
mod section;
mod sections;
mod shape;
mod small;
mod words;
mod yaml;

#[cfg(test)]
mod tests;

pub use checks::files::inside;
pub use cloth::{Cloth, ClothPiece, Spread};
pub use complete::kit;
pub use document::{Document, parse};
pub use fonts::FontSource;
pub use guide::{Chapter, CutRow, FabricRow, GuideTexts, MEASURES, Measure, MeasureRow, Worn};
pub use kit::{
    Between, Blank, Colour, Control, ControlTarget, Corrections, DrawingSource, DrawnWords, Extent, Fills, Inking, Joins, Kit,
    Notch, PaperSetup, Pin, Reprint, ReviewCopy, Sharing, Side, Since, SizeLayer, SizeLines, SizeNames, Untranslated, Way,
};
pub use names::{folded, is_device};
pub use paper::{Format, LONGEST_FILE, Paper, Press};
pub use places::Places;
pub use schema::schema;
pub use seam::{SIZE, Seam};
pub use small::small_file;
pub use words::{Label, Line};
