//! The key `guide` as it is written: the publisher's texts and tables.

use super::guide::Worn;
use super::words::{Label, LengthText, Line, Prose};
use schemars::JsonSchema;
use serde::Deserialize;

/// The publisher's own texts and tables for the guide. Texts are Markdown (CommonMark with tables), without HTML.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "Guide", deny_unknown_fields)]
pub struct RawGuide {
    /// A few lines under the title.
    pub introduction: Option<Prose>,
    /// Measures of the body and of the finished garment, one value for each size.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub size_table: Vec<RawMeasure>,
    /// What cloth to buy, in a table.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub fabric_table: Vec<RawFabric>,
    /// What cloth to buy, in words; stands below the table if there is one.
    pub fabric: Option<Prose>,
    /// What else to buy.
    pub notions: Option<Prose>,
    /// What to cut from which cloth.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub cutting_list: Vec<RawCut>,
    /// More chapters.
    #[serde(default)]
    #[schemars(length(max = 100))]
    pub chapters: Vec<RawChapter>,
    /// What buyers may do with the pattern.
    pub licence: Option<Prose>,
    /// What changed in this edition.
    pub changes: Option<Prose>,
    /// Where to ask.
    pub help: Option<Prose>,
}

/// A line of the size table: give `measure` or `name`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Measure", deny_unknown_fields)]
pub struct RawMeasure {
    /// A measure that kitwright has a word for in every language, as in `bust`.
    pub measure: Option<Line>,
    /// A name of your own, in the source language.
    #[schemars(length(max = 60))]
    pub name: Option<Label>,
    /// Whether the body is measured, or the finished garment. Default: `body`.
    pub of: Option<Worn>,
    /// One value for each size, in the order of `sizes`.
    #[schemars(length(min = 1, max = 60))]
    pub values: Vec<LengthText>,
}

/// A cloth to buy.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Fabric", deny_unknown_fields)]
pub struct RawFabric {
    /// What the guide calls it, as in `Main cloth`.
    #[schemars(length(max = 60))]
    pub name: Label,
    /// What kind of cloth serves.
    #[schemars(length(max = 200))]
    pub what: Option<Line>,
    /// How wide it lies in the shop.
    pub width: Option<LengthText>,
    /// One length for each size, in the order of `sizes`, or one for all.
    #[schemars(length(min = 1, max = 60))]
    pub lengths: Vec<LengthText>,
}

/// A piece to cut.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Cut", deny_unknown_fields)]
pub struct RawCut {
    /// Name of the piece, as in the drawing.
    #[schemars(length(max = 60))]
    pub piece: Label,
    /// Which cloth, by its name in `fabric-table`.
    #[schemars(length(max = 60))]
    pub from: Option<Label>,
    /// How many.
    #[schemars(range(min = 1, max = 500))]
    pub cut: u32,
    /// Whether it lies on the fold. Default: `false`.
    pub fold: Option<bool>,
    /// Whether half of them are cut mirrored, in pairs. Default: `false`.
    pub mirrored: Option<bool>,
    /// What else must be known.
    #[schemars(length(max = 200))]
    pub note: Option<Line>,
}

/// A chapter of the guide: give `title` and `text`, or `file`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Chapter", deny_unknown_fields)]
pub struct RawChapter {
    /// Heading.
    #[schemars(length(max = 120))]
    pub title: Option<Line>,
    /// Markdown.
    pub text: Option<Prose>,
    /// A Markdown file whose first line is `# Title`, as in `guide/sewing.md`.
    pub file: Option<Line>,
}
