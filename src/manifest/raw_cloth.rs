//! The key `cloths` as it is written: what is cut from which cloth, and how that lies in the shop.

use super::cloth::Spread;
use super::words::{Label, LengthText, Line};
use schemars::JsonSchema;
use serde::Deserialize;

/// A cloth whose lay plans are computed from the drawing, so that the guide tells how much of it to buy.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "Cloth", deny_unknown_fields)]
pub struct RawCloth {
    /// What the guide calls it, as in `Main cloth`.
    #[schemars(length(max = 60))]
    pub name: Label,
    /// What kind of cloth serves.
    #[schemars(length(max = 200))]
    pub what: Option<Line>,
    /// How wide it lies in the shop, selvedges included. Default: `[110 cm, 140 cm, 150 cm]`.
    #[schemars(length(min = 1, max = 12))]
    pub widths: Option<Vec<LengthText>>,
    /// What cannot be used at each of its two edges. Default: `10 mm`.
    pub selvedge: Option<LengthText>,
    /// Whether it has a nap or a print that runs one way, so that no piece may lie upside down. Default: `false`.
    pub nap: Option<bool>,
    /// Whether it is cut in a single layer, or folded lengthwise. Default: `open`.
    pub lay: Option<Spread>,
    /// What is kept free between pieces. Default: `3 mm`.
    pub gap: Option<LengthText>,
    /// How much shorter it becomes in the first wash, as in `5 %`. Default: `0 %`.
    pub shrinkage: Option<Line>,
    /// To which step lengths are rounded up. Default: `10 cm`.
    pub round_up: Option<LengthText>,
    /// How heavy it is, as in `240 g/m²`; then the guide tells what the finished piece weighs.
    pub weight: Option<Line>,
    /// How its pieces are found in the drawing, where their names do not say so. Default: those that the cutting list cuts from it.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub pieces: Vec<RawClothPiece>,
}

/// A piece that is cut from a cloth, and where it is in the drawing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "ClothPiece", deny_unknown_fields)]
pub struct RawClothPiece {
    /// Name of the piece, as in the cutting list.
    #[schemars(length(max = 60))]
    pub piece: Label,
    /// How many. Default: as the cutting list says, else 1.
    #[schemars(range(min = 1, max = 500))]
    pub cut: Option<u32>,
    /// Whether half of them are cut mirrored, in pairs. Default: as the cutting list says.
    pub mirrored: Option<bool>,
    /// Whether it is half a piece that lies on the fold. Default: as the cutting list says.
    pub fold: Option<bool>,
    /// Its cutting line, by visible name or id; `<size>` stands for the name of each size. Default: `cut-PIECE-<size>` or `cut-PIECE`.
    pub outline: Option<Label>,
    /// Its grainline. Default: `grain-PIECE-<size>` or `grain-PIECE`.
    pub grain: Option<Label>,
    /// The line that lies on the fold. Default: `fold-PIECE-<size>` or `fold-PIECE`; of a cutting line that is open there, its gap.
    pub fold_line: Option<Label>,
}
