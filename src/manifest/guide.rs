//! What a kit says in its guide: texts and tables of the publisher, in the source language.

use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

/// The publisher's own texts and tables; texts are Markdown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GuideTexts {
    /// A few lines under the title.
    pub introduction: Option<String>,
    /// Measures of body and garment, each with a value for every size.
    pub size_table: Vec<MeasureRow>,
    /// What cloth to buy.
    pub fabric_table: Vec<FabricRow>,
    /// What cloth to buy, in words.
    pub fabric: Option<String>,
    /// What else to buy.
    pub notions: Option<String>,
    /// What to cut from which cloth.
    pub cutting_list: Vec<CutRow>,
    /// More chapters.
    pub chapters: Vec<Chapter>,
    /// What buyers may do with the pattern.
    pub licence: Option<String>,
    /// What changed in this edition.
    pub changes: Option<String>,
    /// Where to ask.
    pub help: Option<String>,
}

/// A line of the size table.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureRow {
    /// What is measured.
    pub measure: Measure,
    /// On whom.
    pub of: Worn,
    /// One value for each size, in the order of the sizes; a single one in a one-size kit.
    pub values: Vec<Length>,
}

/// What is measured.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// One of [`MEASURES`], which has a word in every catalogue.
    Known(&'static str),
    /// In the publisher's words.
    Own(String),
}

/// Measures of the body that every catalogue has a word for (terms of ISO 8559-1:2017, in the short words of the trade).
pub const MEASURES: [&str; 9] =
    ["bust", "waist", "hip", "height", "under-bust", "neck", "back-waist-length", "arm-length", "inside-leg"];

/// Whether a body is measured or what is worn on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Worn {
    /// The body.
    #[default]
    Body,
    /// The finished garment.
    Garment,
}

/// A cloth to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct FabricRow {
    /// What the guide calls it.
    pub name: String,
    /// What kind of cloth serves.
    pub what: Option<String>,
    /// How wide it lies in the shop.
    pub width: Option<Length>,
    /// One length for each size, in the order of the sizes, or a single one for all.
    pub lengths: Vec<Length>,
}

/// A piece to cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutRow {
    /// Name of the piece.
    pub piece: String,
    /// Name of the cloth.
    pub from: Option<String>,
    /// How many, from 1.
    pub count: u32,
    /// Whether it lies on the fold.
    pub fold: bool,
    /// Whether half of them are cut mirrored.
    pub mirrored: bool,
    /// What else must be known.
    pub note: Option<String>,
}

/// A chapter of the guide.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chapter {
    /// Heading, plain text; empty until the file is read, if there is one.
    pub title: String,
    /// Markdown; of a file with an empty line in place of its title, so that its lines keep their numbers.
    pub text: String,
    /// The file that it stands in, relative to the kit's folder; `None` for a chapter in the manifest itself.
    pub file: Option<String>,
    /// By what its texts are known to translators: `guide.chapter-1`, or `guide.sewing` for a file `sewing.md`.
    pub context: String,
}

impl Chapter {
    /// What links point to: the context without its first word.
    pub fn id(&self) -> &str {
        self.context.split_once('.').map_or(self.context.as_str(), |(_, id)| id)
    }
}
