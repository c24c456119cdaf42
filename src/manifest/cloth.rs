//! Cloths whose lay plans are computed: complete, checked, defaults filled in.

use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A cloth, and what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cloth {
    /// What the guide calls it.
    pub name: String,
    /// What kind of cloth serves.
    pub what: Option<String>,
    /// How wide it lies in the shop, selvedges included; from narrow to wide.
    pub widths: Vec<Length>,
    /// What cannot be used at each of its two edges.
    pub selvedge: Length,
    /// Whether no piece may lie upside down.
    pub nap: bool,
    /// How it lies on the table.
    pub spread: Spread,
    /// What is kept free between pieces.
    pub gap: Length,
    /// How much shorter it becomes in the first wash, in per cent.
    pub shrinkage: f64,
    /// To which step lengths are rounded up.
    pub round_up: Length,
    /// Grams a square metre, if the publisher tells.
    pub weight: Option<f64>,
    /// What is cut from it; one piece at least.
    pub pieces: Vec<ClothPiece>,
    /// Path of its entry in the manifest, for findings.
    pub entry: String,
}

/// How cloth lies on the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Spread {
    /// In a single layer.
    #[default]
    Open,
    /// Folded lengthwise, selvedge on selvedge.
    Folded,
}

/// A piece that is cut from a cloth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothPiece {
    /// Its name, as in the cutting list.
    pub piece: String,
    /// How many, from 1.
    pub count: u32,
    /// Whether half of them are cut mirrored.
    pub mirrored: bool,
    /// Whether it is half a piece that lies on the fold.
    pub fold: bool,
    /// Name of its cutting line, if it goes by one of its own.
    pub outline: Option<String>,
    /// Name of its grainline, if it goes by one of its own.
    pub grain: Option<String>,
    /// Name of the line that lies on the fold, if it goes by one of its own.
    pub fold_line: Option<String>,
    /// Path in the manifest of what is said of it, for findings.
    pub entry: String,
}
