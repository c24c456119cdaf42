//! The lays of a kit as they are kept, packed and shown: plain figures in mm, for shops and for the next edition.

use crate::manifest::Spread;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the records below: a field that changes its meaning or goes raises it, a new field does not.
pub const VERSION: u32 = 1;

/// How much cloth a kit takes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LayBook {
    /// Version of this record's form.
    pub version: u32,
    /// Name of the kit.
    pub kit: String,
    /// Edition of the kit.
    pub edition: String,
    /// In the manifest's order.
    pub cloths: Vec<ClothLays>,
    /// Lengths of seams and of what is sewn along them, in the manifest's order.
    #[serde(default)]
    pub seams: Vec<SeamLengths>,
}

/// The lengths of a seam, or of what is sewn along it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SeamLengths {
    /// Its name in the manifest.
    pub seam: String,
    /// How long it is against its lines.
    pub share_percent: f64,
    /// To which step lengths are rounded up.
    pub round_up_mm: f64,
    /// In the manifest's order; one nameless entry for a one-size kit.
    pub sizes: Vec<SeamLength>,
}

/// The length of a seam in one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SeamLength {
    /// Name of the size.
    pub size: String,
    /// Its lines in the drawing, added up, as often as it runs along them.
    pub along_mm: f64,
    /// What is told: the share of that, with ends and joins, rounded up.
    pub length_mm: f64,
}

/// The lays of a cloth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClothLays {
    /// Its name in the manifest.
    pub cloth: String,
    /// How it lies on the table.
    pub lay: Spread,
    /// Whether no piece may lie upside down.
    pub nap: bool,
    /// What is kept free between pieces.
    pub gap_mm: f64,
    /// What cannot be used at each edge.
    pub selvedge_mm: f64,
    /// How much shorter it becomes in the first wash.
    pub shrinkage_percent: f64,
    /// To which step lengths are rounded up.
    pub round_up_mm: f64,
    /// How heavy it is, if the publisher tells.
    pub grams_per_square_metre: Option<f64>,
    /// In the manifest's order; one nameless entry for a one-size kit.
    pub sizes: Vec<SizeLays>,
}

/// What is cut from a cloth in one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SizeLays {
    /// Name of the size.
    pub size: String,
    /// Area of all pieces together, mirrored and repeated ones counted.
    pub area_mm2: f64,
    /// What they weigh, seam allowances included.
    pub grams: Option<f64>,
    /// In the order of the cutting list.
    pub pieces: Vec<PieceShape>,
    /// From narrow to wide.
    pub widths: Vec<WidthLay>,
}

/// A piece in one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PieceShape {
    /// Its name in the manifest.
    pub piece: String,
    /// How many are cut.
    pub cut: u32,
    /// Whether half of them are mirrored.
    pub mirrored: bool,
    /// Whether the drawing has half of it, to be laid on the fold.
    pub on_fold: bool,
    /// Area of one, unfolded.
    pub area_mm2: f64,
    /// Once round its cutting line, unfolded.
    pub outline_mm: f64,
    /// Corners of one as it lies in a single layer: along the grain, across it. Curves are flattened to 0.02 mm.
    pub corners_mm: Vec<[f64; 2]>,
}

/// The lay on cloth of one width.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WidthLay {
    /// How wide the cloth lies in the shop.
    pub width_mm: f64,
    /// How much of that is used: without selvedges, and half of it if the cloth is folded.
    pub usable_mm: f64,
    /// The lay; none if a piece is too wide for the cloth.
    pub lay: Option<LayFigures>,
}

/// A lay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LayFigures {
    /// How much of the cloth's length it takes.
    pub length_mm: f64,
    /// What is bought: shrinkage added, rounded up.
    pub buy_mm: f64,
    /// The same in eighths of a yard.
    pub buy_eighths_of_yard: u32,
    /// How much of the cloth under the lay becomes pieces.
    pub utilisation_percent: f64,
    /// No lay can be shorter than this.
    pub bound_mm: f64,
    /// What says so: the `area` of all pieces, the `longest` of them, or what finds no room `beside` other pieces.
    pub bound_by: String,
    /// Whether the lay is as short as that.
    pub shortest: bool,
    /// Where the search began.
    pub seed: u64,
    /// How many places it looked at.
    pub evaluations: u64,
    /// All that lies on the cloth.
    pub places: Vec<PlacedPiece>,
}

/// A piece on the cloth: turned, then moved. Mirrored ones are mirrored across the grain first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlacedPiece {
    /// Index into the size's `pieces`, from 0.
    pub piece: usize,
    /// Whether its printed side is down.
    pub mirrored: bool,
    /// Whether it is a half that lies on the fold of the cloth, which is at 0 across it.
    pub on_fold: bool,
    /// Whether it is cut from one layer of folded cloth alone.
    pub single: bool,
    /// Whether it is turned by half a turn.
    pub turned: bool,
    /// Moved so far along the cloth.
    pub along_mm: f64,
    /// Moved so far across it.
    pub across_mm: f64,
}

impl LayBook {
    /// The lay of a cloth, a size and a width, with what is cut there; from another edition perhaps.
    pub fn find(&self, cloth: &str, size: &str, width_mm: f64) -> Option<(&ClothLays, &SizeLays, &WidthLay)> {
        let cloth = self.cloths.iter().find(|it| it.cloth == cloth)?;
        let size = cloth.sizes.iter().find(|it| it.size == size)?;
        let width = size.widths.iter().find(|it| it.width_mm == width_mm)?;
        Some((cloth, size, width))
    }

    /// The book of some sizes alone, by their names.
    pub fn for_sizes(&self, names: &[&str]) -> Self {
        let mut book = self.clone();
        let kept = |size: &str| size.is_empty() || names.contains(&size);
        book.cloths.iter_mut().for_each(|cloth| cloth.sizes.retain(|it| kept(&it.size)));
        book.seams.iter_mut().for_each(|seam| seam.sizes.retain(|it| kept(&it.size)));
        book
    }
}
