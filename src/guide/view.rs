//! What the templates see: plain words and numbers, already written as the language writes them.

use super::files::{FileKind, PackedFile, describe, layout_of};
use super::pages::page_ranges;
use super::prose::{Block, blocks};
use super::section::{Section, sections};
use crate::catalogue::Messages;
use crate::manifest::{Kit, Press};
use crate::plan::Layout;
use serde::Serialize;

/// Everything that a guide is made from.
pub struct Source<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// One a paper.
    pub layouts: &'a [Layout],
    /// One SVG a home layout.
    pub maps: &'a [String],
    /// All files of the package.
    pub files: &'a [PackedFile],
    /// The language.
    pub messages: &'a Messages,
}

/// One guide.
#[derive(Debug, Serialize)]
pub struct Page {
    language: String,
    direction: &'static str,
    title: String,
    publisher: String,
    edition: String,
    date: String,
    /// As `2026-11-20`, for machines.
    iso_date: String,
    copyright: String,
    introduction: Vec<Block>,
    fabric: Vec<Block>,
    notions: Vec<Block>,
    /// The sizes as one list; empty for a one-size kit.
    sizes: String,
    size_count: usize,
    files: Vec<FileView>,
    homes: Vec<HomeView>,
    wides: Vec<WideView>,
    sections: Vec<Section>,
}

/// A file of the package.
#[derive(Debug, Serialize)]
struct FileView {
    name: String,
    what: String,
}

/// The sheets for one paper of home printers.
#[derive(Debug, Serialize)]
struct HomeView {
    paper: String,
    file: Option<String>,
    sheets: usize,
    rows: String,
    columns: String,
    /// Trusted markup.
    map: String,
    sizes: Vec<SizeView>,
}

/// One row of the table of pages.
#[derive(Debug, Serialize)]
struct SizeView {
    name: String,
    sheets: usize,
    /// Page ranges in parts, so that a narrow screen can break the line between them.
    pages: Vec<String>,
}

/// A large file for the copy shop.
#[derive(Debug, Serialize)]
struct WideView {
    paper: String,
    file: String,
    size: String,
    pages: usize,
}

impl Page {
    /// Gathers what the templates need.
    pub fn new(source: &Source) -> Self {
        let (kit, messages) = (source.kit, source.messages);
        let names: Vec<String> = kit.sizes.iter().map(|size| size.name.clone()).collect();
        let prose = |text: &Option<String>| text.as_deref().map(blocks).unwrap_or_default();
        Self {
            language: messages.language().into(),
            direction: messages.direction().html(),
            title: kit.title.clone(),
            publisher: kit.publisher.clone(),
            edition: kit.edition.to_string(),
            date: messages.date(kit.date),
            iso_date: kit.date.to_string(),
            copyright: kit.copyright.clone(),
            introduction: prose(&kit.guide.introduction),
            fabric: prose(&kit.guide.fabric),
            notions: prose(&kit.guide.notions),
            sizes: messages.list(&names),
            size_count: names.len(),
            files: source.files.iter().map(|file| FileView::new(file, source)).collect(),
            homes: homes(source),
            wides: source.files.iter().filter_map(|file| WideView::new(file, source)).collect(),
            sections: sections(source),
        }
    }
}

impl FileView {
    fn new(file: &PackedFile, source: &Source) -> Self {
        Self { name: file.name.clone(), what: describe(&file.kind, source.layouts, source.messages) }
    }
}

/// The home layouts with their maps.
fn homes(source: &Source) -> Vec<HomeView> {
    let layouts = source.layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    layouts.zip(source.maps).map(|(layout, map)| HomeView::new(layout, map, source)).collect()
}

impl HomeView {
    fn new(layout: &Layout, map: &str, source: &Source) -> Self {
        let kind = FileKind::Home { paper: layout.setup.paper.id.clone() };
        let file = source.files.iter().find(|file| file.kind == kind);
        Self {
            paper: layout.setup.paper.title.clone(),
            file: file.map(|file| file.name.clone()),
            sheets: layout.sheets.len(),
            rows: source.messages.count("map.rows", layout.rows, &[]),
            columns: source.messages.count("map.columns", layout.columns, &[]),
            map: map.into(),
            sizes: size_rows(layout, source),
        }
    }
}

/// A row a size, and one for all sizes together if there is more than one.
fn size_rows(layout: &Layout, source: &Source) -> Vec<SizeView> {
    let mut rows: Vec<_> = layout.sizes.iter().map(|size| SizeView::new(size.name.clone(), &size.sheets)).collect();
    let every: Vec<usize> = (0..layout.sheets.len()).collect();
    // One size only: its row is named in words, whatever the plan calls it. One graded size needs no second row for all.
    if source.kit.sizes.is_empty() {
        rows = vec![SizeView::new(source.messages.text("guide.sizes.one", &[]), &every)];
    } else if source.kit.sizes.len() > 1 {
        rows.push(SizeView::new(source.messages.text("guide.sizes.all", &[]), &every));
    }
    rows
}

impl SizeView {
    /// `sheets` are indices from 0; page 1 is the check page, so sheet 0 is page 2.
    fn new(name: String, sheets: &[usize]) -> Self {
        let pages: Vec<usize> = sheets.iter().map(|index| index + 2).collect();
        let ranges = page_ranges(&pages);
        let pages = ranges.split(',').filter(|part| !part.is_empty()).map(String::from).collect();
        Self { name, sheets: sheets.len(), pages }
    }
}

impl WideView {
    /// The wide print that a file holds, if it is one.
    fn new(file: &PackedFile, source: &Source) -> Option<Self> {
        let FileKind::WidePdf { paper } = &file.kind else { return None };
        // A file without a layout has no size to tell at the counter; it is still on the list of files.
        let layout = layout_of(paper, source.layouts)?;
        Some(Self {
            paper: layout.setup.paper.title.clone(),
            file: file.name.clone(),
            size: source.messages.size(layout.sheet_size),
            pages: layout.sheets.len(),
        })
    }
}
