//! What a package promises about itself: `promises.json`, read with types of our own and checked for sense.

use super::archive::Files;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use kurbo::{Point, Rect, Size, Vec2};
use serde::Deserialize;
use std::collections::BTreeSet;

/// The file in the package.
pub(super) const FILE: &str = "promises.json";
/// The only format that this program knows.
const FORMAT: u64 = 1;
/// More than any real kit has of one thing; above it, the search for marks would take too long.
const MAX_LIST: usize = 10_000;
/// More parts than the sides of any seam have.
const MAX_PARTS: usize = 100;
/// More points than tell where a line runs.
const MAX_POINTS: usize = 100;
/// How far tiles may stand from their grid, in mm: a tenth of the error budget.
const GRID_SLACK: f64 = 0.001;

/// A whole set of promises; positions and lengths are in mm.
#[derive(Debug, Deserialize)]
pub(super) struct Promises {
    /// Name of the kit, as in file names.
    pub kit: String,
    /// Title of the kit, as printed on every sheet; none in packages that did not promise it yet.
    #[serde(default)]
    pub title: String,
    /// Edition, as printed on every sheet.
    pub edition: String,
    /// Language tags of the guides.
    pub languages: Vec<String>,
    /// Names of the sizes.
    pub sizes: Vec<String>,
    /// One entry a paper.
    pub papers: Vec<Paper>,
    /// Control measurements, in the drawing.
    #[serde(default)]
    pub controls: Vec<Control>,
    /// Names of those that lie on layers which are not printed, so that no file can show them.
    #[serde(default)]
    pub unprinted: Vec<String>,
}

/// What is promised of one paper.
#[derive(Debug, Deserialize)]
pub(super) struct Paper {
    /// Name of the paper.
    pub paper: String,
    /// The same for people; packages of older programs do not say.
    #[serde(default)]
    title: String,
    /// File in the package.
    pub file: String,
    /// Width of every page.
    pub width_mm: f64,
    /// Height of every page.
    pub height_mm: f64,
    /// Home printer or copy shop.
    pub press: Press,
    /// Language of the words in the drawing, if the file is there in another one than the source language.
    #[serde(default)]
    pub language: Option<String>,
    /// `flat` or `projection`, for a file beside the paper's own that shows the same drawing in other pens; `corrections` for one
    /// with some of its sheets.
    #[serde(default)]
    pub variant: Option<String>,
    /// Whether the file holds the lines of one size alone, so that controls of other sizes cannot be on it.
    #[serde(default)]
    pub one_of_many_sizes: bool,
    /// Where the first tile's top left lies in the drawing.
    pub origin_mm: [f64; 2],
    /// The tile on the page: left, top, width, height.
    pub tile_mm: [f64; 4],
    /// Page of the scale check, if the file has one.
    pub check_page: Option<usize>,
    /// Pages with a part of the drawing.
    pub sheets: Vec<Sheet>,
    /// Pages for each size.
    #[serde(default)]
    pub sizes: Vec<SizePages>,
    /// Marks of a known length.
    #[serde(default)]
    pub scale_marks: Vec<ScaleMark>,
}

/// Where a paper is printed.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub(super) enum Press {
    /// On a home printer.
    Home,
    /// In a copy shop.
    Wide,
}

/// One page with a part of the drawing.
#[derive(Debug, Deserialize)]
pub(super) struct Sheet {
    /// Printed label, `A1`.
    pub label: String,
    /// Page, from 1.
    pub page: usize,
    /// Row of the grid, from 0.
    pub row: u32,
    /// Column of the grid, from 0.
    pub column: u32,
    /// The part of the drawing: left, top, width, height.
    pub area_mm: [f64; 4],
}

/// The pages that one size needs.
#[derive(Debug, Deserialize)]
pub(super) struct SizePages {
    /// Name of the size.
    pub size: String,
    /// Name of its layer in the file; none in a file without layers, whose lines of sizes cannot be told apart.
    #[serde(default)]
    pub layer: Option<String>,
    /// Pages, from 1.
    pub pages: Vec<usize>,
}

/// A printed length; positions are on the page, from its top left, y down.
#[derive(Debug, Deserialize)]
pub(super) struct ScaleMark {
    /// Page, from 1.
    pub page: usize,
    /// Name for findings.
    pub what: String,
    /// One end.
    pub from_mm: [f64; 2],
    /// The other end.
    pub to_mm: [f64; 2],
    /// Length that the buyer is told.
    pub length_mm: f64,
    /// How far off it may be.
    pub tolerance_mm: f64,
}

/// A length in the drawing; positions are from the drawing's top left, y down.
#[derive(Debug, Deserialize)]
pub(super) struct Control {
    /// Name for findings.
    pub name: String,
    /// Length that the publisher promises.
    pub promised_mm: f64,
    /// How far off it may be.
    pub tolerance_mm: f64,
    /// Sizes whose buyers get all of it; packages of older programs do not say.
    #[serde(default)]
    sizes: Vec<String>,
    /// One end of a straight distance.
    from_mm: Option<[f64; 2]>,
    /// Its other end.
    to_mm: Option<[f64; 2]>,
    /// What adds up to anything else.
    #[serde(default)]
    parts: Vec<Part>,
}

/// A length that is added to a control measurement, or taken away from it.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct Part {
    /// Whether it is taken away.
    #[serde(default)]
    pub minus: bool,
    /// How it is measured.
    pub measure: Measure,
    /// Both ends; for lengths along a line also points between, at equal distances along it.
    points_mm: Vec<[f64; 2]>,
}

/// How a part is measured.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub(super) enum Measure {
    /// Distance of two places where lines end, turn or bend back.
    Straight,
    /// Along a whole line, from end to end.
    Line,
    /// Once round a closed line.
    Outline,
    /// Along a line, from one place to another.
    Between,
    /// How much further right one end is than the other.
    Width,
    /// How much further down one end is than the other.
    Height,
}

impl Measure {
    /// Whether it runs along a line.
    pub const fn is_along(self) -> bool {
        matches!(self, Self::Line | Self::Outline | Self::Between)
    }
}

impl Part {
    /// Its points.
    pub fn points(&self) -> impl Iterator<Item = Point> {
        self.points_mm.iter().copied().map(point)
    }

    fn fault(&self) -> Option<&'static str> {
        let count = self.points_mm.len();
        let right = if self.measure.is_along() { (3..=MAX_POINTS).contains(&count) } else { count == 2 };
        (!right).then_some("one of its parts has not the points that it needs")
    }
}

impl Control {
    /// What adds up to it.
    pub fn parts(&self) -> Vec<Part> {
        let ends = self.from_mm.zip(self.to_mm);
        let straight = ends.map(|(from, to)| Part { minus: false, measure: Measure::Straight, points_mm: vec![from, to] });
        straight.into_iter().chain(self.parts.iter().cloned()).collect()
    }

    fn fault(&self) -> Option<&'static str> {
        match (self.from_mm, self.to_mm, self.parts.len()) {
            (Some(_), Some(_), 0) | (None, None, 1..=MAX_PARTS) => self.parts.iter().find_map(Part::fault),
            _ => Some("it has not two ends, nor parts that add up to it"),
        }
    }
}

impl Promises {
    /// Name of the guide in a language.
    pub fn guide(&self, language: &str) -> String {
        format!("{}-{}-guide-{language}.html", self.kit, self.edition)
    }
}

impl Paper {
    /// Its name for people.
    pub fn title(&self) -> &str {
        if self.title.is_empty() { &self.paper } else { &self.title }
    }

    /// Whether it holds only the sheets that an edition corrects.
    pub fn is_partial(&self) -> bool {
        self.variant.as_deref() == Some("corrections")
    }

    /// Whether it shows the drawing in pens of its own: flat, or for projecting.
    pub fn is_redrawn(&self) -> bool {
        self.variant.is_some() && !self.is_partial()
    }

    /// Whether it is the file for home printers that has everything, in the source language.
    pub fn is_main(&self) -> bool {
        self.press == Press::Home && self.variant.is_none() && self.language.is_none() && !self.one_of_many_sizes
    }

    /// The tile on the page.
    pub fn tile(&self) -> Rect {
        rect(self.tile_mm)
    }

    /// Where a point of the drawing lies on a sheet's page. Only a move: a print at true size has no scale.
    pub fn move_of(&self, sheet: &Sheet) -> Vec2 {
        self.tile().origin() - rect(sheet.area_mm).origin()
    }

    /// All pages that are promised, with repeats.
    fn pages(&self) -> impl Iterator<Item = usize> + '_ {
        self.check_page.into_iter().chain(self.sheets.iter().map(|sheet| sheet.page))
    }

    fn is_endless(&self) -> bool {
        [self.sheets.len(), self.scale_marks.len(), self.sizes.len()].into_iter().any(|count| count > MAX_LIST)
    }

    /// Whether the file shows all of a control measurement.
    pub fn shows(&self, control: &Control) -> bool {
        !self.is_partial() && (!self.one_of_many_sizes || self.sizes.iter().any(|size| control.sizes.contains(&size.size)))
    }

    /// How many pages the file should have.
    pub fn page_count(&self) -> usize {
        self.pages().count()
    }
}

/// A point from its two numbers.
pub(super) fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

/// A rectangle from left, top, width and height.
pub(super) fn rect([x, y, width, height]: [f64; 4]) -> Rect {
    Rect::from_origin_size(Point::new(x, y), Size::new(width, height))
}

/// Reads and checks the promises; `None` if there are none that can be read.
pub(super) fn read(files: &Files, verdict: &mut Verdict) -> Option<Promises> {
    let missing = || error!("promises-missing", file = FILE).at(verdict.place(FILE));
    let bytes = verdict.take(Check::Promises, files.get(FILE).ok_or_else(missing))?;
    let promises = verdict.take(Check::Promises, parse(bytes).map_err(|why| bad(&why, verdict)))?;
    let faults = faults(&promises);
    for why in &faults {
        verdict.judge(Check::Promises, Err(bad(why, verdict)));
    }
    Some(promises)
}

fn bad(why: &str, verdict: &Verdict) -> Diagnostic {
    error!("promises-bad/because", why).at(verdict.place(FILE))
}

#[derive(Deserialize)]
struct Head {
    format: u64,
}

fn parse(bytes: &[u8]) -> Result<Promises, String> {
    // The number first: another format should be named as such, not by the first key that it lacks.
    let head: Head = serde_json::from_slice(bytes).map_err(|error| say!("format-cannot-be-read", error))?;
    if head.format != FORMAT {
        return Err(say!("format-is-not-known", head = head.format, format = FORMAT));
    }
    let json = &mut serde_json::Deserializer::from_slice(bytes);
    let read = serde_path_to_error::deserialize(json);
    let promises: Promises = read.map_err(|error| format!("`{}`: {}", error.path(), error.inner()))?;
    // Each place is compared with each end of a line: lists without end would make a wait without end.
    let parts: usize = promises.controls.iter().map(|control| control.parts.len()).sum();
    let endless = [promises.papers.len(), promises.controls.len(), parts].into_iter().any(|count| count > MAX_LIST);
    let endless = endless || promises.papers.iter().any(Paper::is_endless);
    if endless { Err(say!("more-than-of-one", most = MAX_LIST)) } else { Ok(promises) }
}

/// What makes no sense although it could be read.
fn faults(promises: &Promises) -> Vec<String> {
    let mut faults = Vec::new();
    if promises.papers.is_empty() {
        faults.push(words!("no-paper-is-promised").to_owned());
    }
    for paper in &promises.papers {
        faults.extend(paper_faults(paper, promises).into_iter().map(|why| say!("paper-because", paper = paper.paper, why)));
    }
    let broken = promises.controls.iter().filter_map(|control| Some((&control.name, control.fault()?)));
    faults.extend(broken.map(|(name, why)| format!("control measurement `{name}`: {why}")));
    faults
}

fn paper_faults(paper: &Paper, promises: &Promises) -> Vec<String> {
    let mut faults = page_faults(paper);
    // A union that grows the page shows that the tile sticks out.
    let page = Rect::new(0.0, 0.0, paper.width_mm, paper.height_mm).inflate(GRID_SLACK, GRID_SLACK);
    let tile = paper.tile();
    if tile.width() <= 0.0 || tile.height() <= 0.0 || page.union(tile) != page {
        faults.push(words!("tile-does-not-lie").to_owned());
    }
    faults.extend(paper.sheets.iter().filter_map(|sheet| grid_fault(paper, sheet)));
    let known: BTreeSet<usize> = paper.sheets.iter().map(|sheet| sheet.page).collect();
    for size in &paper.sizes {
        // A kit of one size has no list of sizes, and its one size no name.
        let only = promises.sizes.is_empty() && size.size.is_empty();
        if !only && !promises.sizes.contains(&size.size) {
            faults.push(say!("size-is-not-one", size = size.size));
        }
        faults.extend(size.pages.iter().filter(|page| !known.contains(page)).map(|page| lost_page(&size.size, *page)));
    }
    faults
}

fn lost_page(size: &str, page: usize) -> String {
    say!("size-is-said", size, page)
}

/// Pages are counted from 1 without gaps or repeats, and marks stand on one of them.
fn page_faults(paper: &Paper) -> Vec<String> {
    let mut faults = Vec::new();
    let (pages, count): (BTreeSet<usize>, usize) = (paper.pages().collect(), paper.page_count());
    if paper.sheets.is_empty() {
        faults.push(words!("no-sheet-is-promised").to_owned());
    }
    // The set is sorted and holds each page once, so a page named twice leaves a gap at the end.
    if !pages.iter().copied().eq(1..=count) {
        faults.push(words!("promised-pages-do-not").to_owned());
    }
    let off = paper.scale_marks.iter().filter(|mark| !pages.contains(&mark.page));
    faults.extend(off.map(|mark| say!("is-promised-on-page", what = mark.what, page = mark.page)));
    faults
}

/// A sheet shows as much of the drawing as its tile is large, right where row and column put it.
fn grid_fault(paper: &Paper, sheet: &Sheet) -> Option<String> {
    let (tile, area) = (paper.tile(), rect(sheet.area_mm));
    let step = Vec2::new(tile.width() * f64::from(sheet.column), tile.height() * f64::from(sheet.row));
    let should = Rect::from_origin_size(point(paper.origin_mm) + step, tile.size());
    let sides = [area.x0 - should.x0, area.y0 - should.y0, area.x1 - should.x1, area.y1 - should.y1];
    // Size counts as well as place: an area larger than its tile would be a drawing shrunk to fit.
    let off = sides.iter().any(|side| side.abs() > GRID_SLACK);
    off.then(|| say!("sheet-does-not-show", label = sheet.label))
}
