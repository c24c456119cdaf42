//! The manifest as it is written, before any check of meaning; known keys, the JSON Schema and the limits all come from these types.

use super::kit::{Fills, Joins, Sharing, SizeLines, SizeNames, Untranslated};
use super::paper::Press;
use super::raw_cloth::RawCloth;
use super::raw_control::RawControl;
use super::raw_guide::RawGuide;
use super::raw_seam::RawSeam;
use super::section::{List, Section};
use super::words::{Label, LengthText, Line, NameOr};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Everything that makes one kit of printable sewing patterns, beside its drawing. Lengths carry their unit, as in `15 mm`.
#[derive(Clone, Debug, Default, JsonSchema)]
#[schemars(title = "kitwright manifest", rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawManifest {
    /// Name for files: lower-case letters, digits and single hyphens, as in `ropewalk-tote`.
    #[schemars(length(max = 60), regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$"))]
    pub name: Section<Line>,
    /// Name for people, as in `Ropewalk tote`.
    #[schemars(length(max = 60))]
    pub title: Section<Line>,
    /// A file whose keys are taken where this one leaves them out, as in `../ploverfield.yaml`.
    pub shared: Section<Line>,
    /// Who publishes the kit.
    #[schemars(length(max = 80))]
    pub publisher: Section<Line>,
    /// Semantic version of the kit, as in `1.0.0`.
    pub edition: Section<Line>,
    /// Day of the edition, as in `2026-11-20`.
    #[schemars(regex(pattern = r"^\d{4}-\d{2}-\d{2}$"))]
    pub date: Section<Line>,
    /// Copyright line, printed on every sheet.
    #[schemars(length(max = 160))]
    pub copyright: Section<Line>,
    /// Logo: an SVG, PNG or JPEG file.
    pub logo: Section<Line>,
    /// Colour of everything that kitwright adds to the drawing, in quotes, as in `"#1a2b3c"`. Default: black.
    #[schemars(extend("pattern" = "^#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})$"))]
    pub mark_colour: Section<Line>,
    /// Language that the texts of this file are written in. Default: `en`.
    pub source_language: Section<Line>,
    /// Languages of the guides, as in `[en, fr]`. Default: the source language alone.
    #[schemars(length(min = 1, max = 60))]
    pub languages: List<Line>,
    /// What becomes of texts that are not translated yet: shown with a mark, or no package at all. Default: `mark`.
    pub untranslated: Section<Untranslated>,
    /// The drawing.
    pub drawing: Section<RawDrawing>,
    /// In place of a drawing: the grid of empty sheets for one that is yet to be made.
    pub blank: Section<RawBlank>,
    /// Sizes in order, smallest first. Leave the key out for a kit of one size.
    #[schemars(length(max = 60))]
    pub sizes: List<RawSize>,
    /// Layers that are printed for every size. Default: all visible layers that no other list names.
    #[schemars(length(max = 500))]
    pub base_layers: List<Label>,
    /// Layers that never reach paper.
    #[schemars(length(max = 500))]
    pub never_printed: List<Label>,
    /// Papers that the kit is laid out for: names, or mappings with settings of their own.
    #[schemars(length(min = 1, max = 40))]
    pub papers: List<NameOr<RawPaper>>,
    /// What home printers cannot reach: the name of a set, a share of them to serve as in `95 %`, or four lengths. Default: `home`.
    pub margins: Section<NameOr<RawMargins>>,
    /// Sets of margins by name; `home` and `wide` are built in.
    #[schemars(extend("maxProperties" = 60))]
    pub margin_sets: Section<BTreeMap<String, RawMargins>>,
    /// Paper between tile and margins on home sheets, to be trimmed or overlapped. Default: `3 mm`.
    pub border: Section<LengthText>,
    /// Whether each home paper has a tile of its own or all of them share one. Default: `own`.
    pub layouts: Section<Sharing>,
    /// Whether sheets are trimmed on both sides and taped edge to edge, or lapped and glued. Default: `butt`.
    pub joins: Section<Joins>,
    /// How far trimming and taping may be off at one join, up to `5 mm`. Default: `0.3 mm`.
    pub join_error: Section<LengthText>,
    /// Whether each size gets a home-sheet file of its own beside the one with all sizes. Default: `false`.
    pub size_files: Section<bool>,
    /// Whether there is a file for projecting the drawing onto cloth. Default: `false`.
    pub projection: Section<bool>,
    /// Whether the sizes keep the drawing's lines, or each gets a line of its own by dash and weight. Default: `as-drawn`.
    pub size_lines: Section<SizeLines>,
    /// Whether the size's name is set along its lines. Default: `along-lines` if `size-lines` is `distinct`, else `as-drawn`.
    pub size_names: Section<SizeNames>,
    /// Whether large fills are printed full, as outlines or with light hatching, to save ink. Default: `as-drawn`.
    pub fills: Section<Fills>,
    /// Lengths that are promised to buyers and measured in drawing and package.
    #[schemars(length(max = 200))]
    pub control_measurements: List<RawControl>,
    /// Cloths whose lay plans are computed, so that the guide tells how much to buy.
    #[schemars(length(max = 12))]
    pub cloths: List<RawCloth>,
    /// Seams, bindings and elastics whose lengths are measured in the drawing, so that the guide tells them.
    #[schemars(length(max = 24))]
    pub seams: List<RawSeam>,
    /// Font files for words in the drawing and on the sheets: names, or mappings with the digest of the file. The built-in family needs no entry.
    #[schemars(length(max = 60))]
    pub fonts: List<NameOr<RawFont>>,
    /// The brand's own font file, for titles and labels on the sheets. Default: the built-in bold.
    pub brand_font: Section<Line>,
    /// Texts and tables for the guide, in the source language.
    pub guide: Section<RawGuide>,
}

/// A drawing file and its scale.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "Drawing", deny_unknown_fields)]
pub struct RawDrawing {
    /// SVG file at true size, relative to this file.
    pub file: Line,
    /// How many units of the drawing make one inch. Default: the file's own size, at the 96 px of CSS.
    #[schemars(range(min = 1, max = 10000))]
    pub units_per_inch: Option<f64>,
    /// Whether the words in the drawing are translated too, so that each language gets sheets of its own. Default: `false`.
    pub translate_words: Option<bool>,
}

/// A grid of empty sheets.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Blank", deny_unknown_fields)]
pub struct RawBlank {
    /// Sheets from top to bottom.
    #[schemars(range(min = 1, max = 40))]
    pub rows: u32,
    /// Sheets from left to right.
    #[schemars(range(min = 1, max = 40))]
    pub columns: u32,
}

/// A font file that must have certain bytes.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Font", deny_unknown_fields)]
pub struct RawFont {
    /// The file, relative to this one; a bare name is also looked for in the folder `fonts` and among the machine's fonts.
    pub file: Line,
    /// SHA-256 of the file, so that another machine's file of that name cannot slip in.
    pub sha256: Option<Line>,
}

/// One size and the layer with its lines.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Size", deny_unknown_fields)]
pub struct RawSize {
    /// As buyers know it: `36`, `08`, `M–L`.
    #[schemars(length(max = 20))]
    pub name: Label,
    /// Visible name of the layer.
    pub layer: Label,
    /// Whether PDF viewers show the size when a file is opened. Default: `true`.
    pub shown: Option<bool>,
}

/// A paper with settings of its own, or one that kitwright does not know.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[schemars(rename = "Paper", deny_unknown_fields)]
pub struct RawPaper {
    /// Name of a known paper, or a new name for a paper of your own.
    pub paper: Label,
    /// Name for people. Default: the name.
    #[schemars(length(max = 40))]
    pub title: Option<Line>,
    /// Width of a paper of your own, as it goes through the printer.
    pub width: Option<LengthText>,
    /// Height of a paper of your own; a roll has none.
    pub height: Option<LengthText>,
    /// The longest piece of a roll, from `200 mm`; a longer drawing comes in parts. Default: `5080 mm`, the longest page of a PDF.
    pub longest: Option<LengthText>,
    /// Where it is printed. Default: wide for rolls and if both sides are over 300 mm, else home.
    pub press: Option<Press>,
    /// What the printer cannot reach: the name of a set, a share of home printers to serve as in `95 %`, or four lengths. Default: by press.
    pub margins: Option<NameOr<RawMargins>>,
    /// Paper between tile and margins. Default: by press.
    pub border: Option<LengthText>,
    /// Where the grid of sheets stays, for an edition that must keep its layout. Default: where it takes the fewest sheets.
    pub placement: Option<RawPlacement>,
}

/// A placement of the grid of sheets, as `kitwright plan` prints it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Placement", deny_unknown_fields)]
pub struct RawPlacement {
    /// Top left of tile A1, from the drawing's top left: right, down. Either may be negative.
    pub from: [LengthText; 2],
    /// Whether the paper lies on its side. Default: `false`.
    pub lying: Option<bool>,
}

/// Four distances from the sides of a sheet.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Margins", deny_unknown_fields)]
pub struct RawMargins {
    /// At the head.
    pub top: LengthText,
    /// At the right-hand side.
    pub right: LengthText,
    /// At the foot.
    pub bottom: LengthText,
    /// At the left-hand side.
    pub left: LengthText,
}
