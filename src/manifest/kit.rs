//! A kit as its manifest tells it: complete, checked, defaults filled in.

use super::cloth::Cloth;
use super::fonts::FontSource;
use super::guide::GuideTexts;
use super::paper::Paper;
use super::places::Places;
use super::seam::Seam;
use crate::drawing::Limits;
use crate::units::{Length, Margins, Point};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Everything that one manifest says, ready for the steps after it.
#[derive(Clone, Debug)]
pub struct Kit {
    /// Name for files: lower-case letters, digits and single hyphens, as in `ropewalk-tote`.
    pub name: String,
    /// Name for people, as in `Ropewalk tote`.
    pub title: String,
    /// Who publishes the kit.
    pub publisher: String,
    /// Semantic version of the kit.
    pub edition: semver::Version,
    /// Day of the edition; every date in the outputs is this one.
    pub date: jiff::civil::Date,
    /// Copyright line, as printed on every sheet.
    pub copyright: String,
    /// Logo file, relative to the kit's folder.
    pub logo: Option<String>,
    /// Colour of everything that kitwright adds; black unless the manifest says otherwise.
    pub mark_colour: Colour,
    /// Language that the manifest's texts are written in.
    pub source_language: String,
    /// Languages of guides, source language first if it is one of them.
    pub languages: Vec<String>,
    /// What becomes of texts that are not translated.
    pub untranslated: Untranslated,
    /// The drawing and how long its units are; without a name in a blank kit.
    pub drawing: DrawingSource,
    /// The grid of a kit that has no drawing yet.
    pub blank: Option<Blank>,
    /// Sizes in order, smallest first by custom; empty for a one-size kit.
    pub sizes: Vec<SizeLayer>,
    /// Layers printed for every size; `None` means: all visible layers that no other list names.
    pub base_layers: Option<Vec<String>>,
    /// Layers that never reach paper.
    pub never_printed: Vec<String>,
    /// Papers with their margins, in the order of the manifest.
    pub papers: Vec<PaperSetup>,
    /// Whether all home papers share one tile.
    pub sharing: Sharing,
    /// How the sheets are joined.
    pub joins: Joins,
    /// How far trimming and taping may be off at one join; 0.3 mm unless the manifest says otherwise (common practice, no
    /// published source).
    pub join_error: Length,
    /// Whether each size gets a home-sheet file of its own beside the one with all sizes.
    pub size_files: bool,
    /// Whether there is a file for projecting the drawing onto cloth.
    pub projection: bool,
    /// How lines and fills are printed.
    pub inking: Inking,
    /// Lengths that the publisher promises.
    pub controls: Vec<Control>,
    /// Cloths whose lay plans are computed.
    pub cloths: Vec<Cloth>,
    /// Seams whose lengths are computed.
    pub seams: Vec<Seam>,
    /// Font files for words in the drawing and on the sheets; the built-in family needs no entry.
    pub fonts: Vec<FontSource>,
    /// The brand's own font file, for titles and labels.
    pub brand_font: Option<String>,
    /// The publisher's own texts and tables for the guide.
    pub guide: GuideTexts,
    /// What is corrected since an earlier edition, if that is known; no manifest says so.
    pub corrections: Option<Corrections>,
    /// Whose copy this is, in a test round; no manifest says so.
    pub review: Option<ReviewCopy>,
    /// Where each value stands in the manifest.
    pub places: Places,
}

/// A copy of an unfinished edition for one tester.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReviewCopy {
    /// Number of the test round, from 1.
    pub round: u32,
    /// Id of the tester.
    pub tester: String,
    /// What has changed since an earlier round of the same tester, if there was one.
    pub since: Option<Since>,
}

/// What an earlier round of a tester can still be used for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Since {
    /// That round.
    pub round: u32,
    /// What of it is to be printed anew.
    pub reprint: Reprint,
}

/// What an edition corrects of an earlier one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Corrections {
    /// The earlier edition.
    pub edition: String,
    /// One for each home paper that both have.
    pub papers: Vec<Reprint>,
}

/// The sheets of a paper that are to be printed anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reprint {
    /// Id of the paper.
    pub paper: String,
    /// Whether the sheets lie elsewhere now, so that none of the earlier ones fits.
    pub all: bool,
    /// Labels of the sheets.
    pub sheets: Vec<String>,
    /// Their pages, from 1.
    pub pages: Vec<usize>,
    /// The file that they are in.
    pub file: String,
}

impl Kit {
    /// What of the kit goes to paper: without texts of the guide, cloths, promises, and where all of it stands. Sheets that are
    /// made from this need not be made again when the rest changes.
    pub fn on_paper(&self) -> Self {
        Self {
            guide: GuideTexts::default(),
            cloths: Vec::new(),
            seams: Vec::new(),
            controls: Vec::new(),
            drawing: DrawingSource { words: Vec::new(), ..self.drawing.clone() },
            places: Places::default(),
            ..self.clone()
        }
    }

    /// The kit cut down to some of its sizes, by their indices, and one paper; values of other sizes leave the guide's tables.
    pub fn cut_to(&self, sizes: &[usize], paper: &str) -> Self {
        let all = self.sizes.len();
        let kept = |values: &mut Vec<Length>| {
            if values.len() == all && all > 0 {
                *values = sizes.iter().filter_map(|size| values.get(*size)).copied().collect();
            }
        };
        let mut guide = self.guide.clone();
        guide.size_table.iter_mut().for_each(|row| kept(&mut row.values));
        guide.fabric_table.iter_mut().for_each(|row| kept(&mut row.lengths));
        Self {
            sizes: sizes.iter().filter_map(|size| self.sizes.get(*size)).cloned().collect(),
            papers: self.papers.iter().filter(|setup| setup.paper.id == paper).cloned().collect(),
            size_files: false,
            projection: false,
            guide,
            ..self.clone()
        }
    }
}

/// Rows and columns of empty tiles, for publishers who place their pieces by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blank {
    /// From 1.
    pub rows: usize,
    /// From 1.
    pub columns: usize,
}

/// What becomes of texts that are not translated yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Untranslated {
    /// They are shown in the source language, with a mark.
    #[default]
    Mark,
    /// There is no package until all are translated.
    Refuse,
}

/// A drawing file and its scale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawingSource {
    /// SVG file, relative to the kit's folder.
    pub file: String,
    /// How many user units (or px) make one inch, where the manifest states it; else the file's own size rules, at the 96
    /// of CSS.
    pub units_per_inch: Option<f64>,
    /// Whether its words are translated, and each language gets sheets of its own.
    pub translate_words: bool,
    /// Its words, once they were read; empty if they are not to be translated.
    pub words: Vec<DrawnWords>,
    /// How large it may be, which is for whoever runs the program to say and not for the kit.
    pub limits: Limits,
}

/// Words in the drawing that are to be translated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DrawnWords {
    /// What they say, without blanks around them.
    pub text: String,
    /// Line of the drawing's file, from 1.
    pub line: u32,
    /// Visible name or id of what they belong to.
    pub element: String,
    /// How long they are on paper, in mm, if that is known.
    pub width_mm: Option<f64>,
    /// How long they may become.
    pub room_mm: Option<f64>,
}

impl DrawnWords {
    /// How many letters have room, if they are as wide as those of the text; as many as there are, if nothing is known.
    pub fn letters(&self) -> usize {
        let letters = self.text.chars().count();
        let grown = self.width_mm.zip(self.room_mm).filter(|(width, _)| *width > 0.0);
        grown.map_or(letters, |(width, room)| (letters as f64 * room / width) as usize).max(letters)
    }
}

/// One size and the layer that holds its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeLayer {
    /// As buyers know it: `36`, `08`, `M–L`.
    pub name: String,
    /// Visible name of the layer.
    pub layer: String,
    /// Whether PDF viewers show it when a file is opened; `true` unless the manifest says otherwise.
    pub shown: bool,
}

/// One paper with the part of it that a printer reaches.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PaperSetup {
    /// The paper itself.
    pub paper: Paper,
    /// What printers cannot reach.
    pub margins: Margins,
    /// Paper between the tile and the margins, to be trimmed or overlapped.
    pub border: Length,
    /// The border where sheets are lapped: wide paper, which keeps none for itself, then has that of home papers.
    pub glue_edge: Length,
    /// Where the grid is held, if an edition must keep its layout.
    pub pin: Option<Pin>,
    /// The longest piece of a roll; [`super::LONGEST_FILE`] unless the manifest says less.
    pub longest: Length,
}

/// A placement of the grid that the search must not change.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pin {
    /// Top left of tile A1 in the drawing.
    pub origin: Point,
    /// Whether the paper lies on its side.
    pub lying: bool,
    /// Whether tile A1 keeps its label even if nothing is drawn on it.
    pub fixed: bool,
}

/// Whether all home papers share one tile.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sharing {
    /// Each paper has the largest tile that it can.
    #[default]
    Own,
    /// The tile fits all home papers, so that guide and testers speak of the same sheets.
    Shared,
}

/// How sheets are joined.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Joins {
    /// Both sheets are trimmed and taped edge to edge.
    #[default]
    Butt,
    /// The left and upper edges are trimmed and glued on the borders that the neighbours keep at their right and lower
    /// edges, so that each sheet lies on top of those before it (common practice, no published source).
    Lapped,
}

/// How a press treats the drawing's lines and fills; all as drawn unless the manifest says otherwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Inking {
    /// Whether each size gets a line of its own.
    pub size_lines: SizeLines,
    /// Whether names of sizes are set along their lines; with distinct lines they are, unless the manifest says otherwise.
    pub size_names: SizeNames,
    /// What becomes of large fills.
    pub fills: Fills,
}

/// Which lines the sizes are printed with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SizeLines {
    /// Those of the drawing.
    #[default]
    AsDrawn,
    /// Black lines by dash and weight, a different one for each size, which no grey printer can merge.
    Distinct,
}

/// Which names of sizes stand at their lines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SizeNames {
    /// Those of the drawing alone.
    #[default]
    AsDrawn,
    /// The size's name along each of its lines too, about once a sheet, where there is room.
    AlongLines,
}

/// How large fills are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Fills {
    /// Filled.
    #[default]
    AsDrawn,
    /// Their outlines alone.
    Outlines,
    /// Their outlines, hatched lightly.
    Hatched,
}

/// A length that the publisher promises, in one size if sizes are told apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Control {
    /// As the publisher calls it; behind it the size, if the entry is about several.
    pub name: String,
    /// What is measured.
    pub target: ControlTarget,
    /// Index of the size whose elements are meant; `None` if the elements are named without regard to sizes.
    pub size: Option<usize>,
    /// The promised length; of a pair how much longer the first side is than the others, which may be negative.
    pub length: Length,
    /// How far the drawing may be off: 0.05 mm, or 0.5 mm for a pair, unless the manifest says otherwise.
    pub tolerance: Length,
    /// Path of its entry in the manifest, for findings.
    pub entry: String,
}

/// What a control measurement measures in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum ControlTarget {
    /// Distance of two points of the drawing, on paper, from its top left.
    Points(Point, Point),
    /// An element or a part of its edge.
    Side(Side),
    /// By how much a side is longer than some others together.
    Pair(Side, Vec<Side>),
}

/// An element of the drawing, or a part of its edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// The element, by visible name or id.
    pub element: String,
    /// What of it is measured.
    pub extent: Extent,
    /// The part that is measured, if not the whole.
    pub between: Option<Between>,
}

/// A part of an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Between {
    /// Where it begins and ends.
    pub notches: [Notch; 2],
    /// Which way round it goes on a closed line.
    pub way: Way,
}

/// A place on an edge.
#[derive(Clone, Debug, PartialEq)]
pub enum Notch {
    /// Where an element meets the edge, by visible name or id.
    Element(String),
    /// The point of the edge that lies nearest to this one, from the drawing's top left.
    Point(Point),
}

/// Which extent of an element is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Extent {
    /// Along the path.
    Length,
    /// Once round, along one closed line.
    Outline,
    /// From left to right, without the stroke's width.
    Width,
    /// From top to bottom, without the stroke's width.
    Height,
}

/// Which way round a closed line is measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// The shorter one.
    #[default]
    Short,
    /// The longer one.
    Long,
}

/// An sRGB colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Colour {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

impl Colour {
    /// Black, the colour that every printer has.
    pub const BLACK: Self = Self { red: 0, green: 0, blue: 0 };
    /// The colour of paper.
    pub const WHITE: Self = Self { red: 255, green: 255, blue: 255 };
}
