//! What the templates see: plain words and numbers, already written as the language writes them.

use super::Pictures;
use super::files::{FileKind, PackedFile, describe, layout_of, wide_size};
use super::joining::Joining;
use super::lays::{ClothView, cloths};
use super::own::Own;
use super::pages::page_ranges;
use super::review::{corrections, review};
use super::seams::{SeamsView, seams};
use super::section::{Reach, Section, ids_with, sections};
use super::tables::Tables;
use super::terms::{Term, terms};
use crate::catalogue::{KitWords, Messages};
use crate::manifest::{Kit, Press};
use crate::plan::Layout;
use crate::press::paper_title;
use serde::Serialize;
use std::collections::BTreeMap;

/// A map of more columns than this is too fine for half the width of a page.
const BROAD_FROM: usize = 4;

/// Everything that a guide is made from.
pub struct Source<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// One a paper.
    pub layouts: &'a [Layout],
    /// Maps, samples of lines, logo.
    pub pictures: Pictures<'a>,
    /// All files of the package.
    pub files: &'a [PackedFile],
    /// The language.
    pub messages: &'a Messages,
    /// The publisher's words in that language.
    pub words: &'a KitWords,
}

/// One guide.
#[derive(Debug, Serialize)]
pub struct Page {
    language: String,
    direction: &'static str,
    /// Without markup.
    title: String,
    /// HTML.
    heading: String,
    publisher: String,
    /// Trusted markup.
    logo: Option<String>,
    edition: String,
    date: String,
    /// As `2026-11-20`, for machines.
    iso_date: String,
    /// HTML.
    copyright: String,
    /// HTML; empty if there is none, as the next two.
    introduction: String,
    fabric: String,
    notions: String,
    /// The sizes as one list; empty for a one-size kit.
    sizes: String,
    size_count: usize,
    samples: Vec<SampleView>,
    has_size_files: bool,
    files: Vec<FileView>,
    homes: Vec<HomeView>,
    wides: Vec<WideView>,
    joining: Joining,
    tables: Tables,
    cloths: Vec<ClothView>,
    seams: Option<SeamsView>,
    terms: Vec<Term>,
    /// Whose copy it is, in a test round, and what is to be printed anew; empty otherwise.
    review: Vec<String>,
    /// What buyers of an earlier edition print anew: a sentence, then one a paper; nothing if that is not known.
    corrections: Option<(String, Vec<String>)>,
    /// Whether there is anything to pick.
    picker: bool,
    sections: Vec<Section>,
}

/// The line of a size.
#[derive(Debug, Serialize)]
struct SampleView {
    size: String,
    /// Trusted markup.
    svg: String,
}

impl SampleView {
    fn new((size, svg): &(String, String)) -> Self {
        Self { size: size.clone(), svg: svg.clone() }
    }
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
    /// Id of the paper, as in `a4`.
    id: String,
    rows: String,
    columns: String,
    /// Whether the map needs the whole width of a printed page.
    broad: bool,
    /// Trusted markup.
    map: String,
    sizes: Vec<SizeView>,
}

/// One row of the table of pages.
#[derive(Debug, Serialize)]
struct SizeView {
    name: String,
    sheets: usize,
    /// Labels of the sheets, a blank between them.
    labels: String,
    /// Page ranges in parts, so that a narrow screen can break the line between them.
    pages: Vec<String>,
    /// The file of this size alone, if there is one.
    file: Option<String>,
    /// Its pages with the check page.
    file_pages: usize,
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
        let none = BTreeMap::new();
        let reach = reach(source);
        let pictures = source.pictures.shown.unwrap_or(&none);
        let own = Own::new(&kit.source_language, messages, source.words, pictures, ids_with(kit, reach));
        let prose = |name: &str, text: &Option<String>, heading: u8| {
            text.as_deref().map(|text| own.text(&format!("guide.{name}"), text, None, heading)).unwrap_or_default()
        };
        let homes = homes(source);
        Self {
            language: messages.language().into(),
            direction: messages.direction().html(),
            title: own.plain("kit.title", &kit.title),
            heading: own.line("kit.title", &kit.title),
            publisher: kit.publisher.clone(),
            logo: source.pictures.logo.map(|logo| logo.html.clone()),
            edition: kit.edition.to_string(),
            date: messages.date(kit.date),
            iso_date: kit.date.to_string(),
            copyright: own.line("kit.copyright", &kit.copyright),
            introduction: prose("introduction", &kit.guide.introduction, 2),
            fabric: prose("fabric", &kit.guide.fabric, 4),
            notions: prose("notions", &kit.guide.notions, 4),
            sizes: messages.list(&names),
            size_count: names.len(),
            samples: source.pictures.samples.iter().map(SampleView::new).collect(),
            has_size_files: source.files.iter().any(|file| matches!(file.kind, FileKind::HomeSize { .. })),
            files: source.files.iter().map(|file| FileView::new(file, source)).collect(),
            picker: homes.len() > 1 || homes.iter().any(|home| home.sizes.len() > 1),
            homes,
            wides: wides(source),
            joining: Joining::new(&home_layouts(source).collect::<Vec<_>>(), kit, messages),
            tables: Tables::new(kit, &own, messages),
            cloths: cloths(kit, source.pictures.lays, &own, messages),
            seams: seams(kit, source.pictures.lays, &own, messages),
            terms: terms(messages),
            review: review(kit, messages),
            corrections: corrections(kit, source.files, source.layouts, messages),
            sections: sections(source, &own, reach),
        }
    }
}

/// What there is to print.
fn reach(source: &Source) -> Reach {
    Reach {
        home: home_layouts(source).next().is_some(),
        joined: home_layouts(source).any(|layout| layout.sheets.len() > 1),
        wide: source.layouts.iter().any(|layout| layout.setup.paper.press == Press::Wide),
    }
}

impl FileView {
    fn new(file: &PackedFile, source: &Source) -> Self {
        Self { name: file.name.clone(), what: describe(&file.kind, source.layouts, source.messages) }
    }
}

fn home_layouts<'a>(source: &Source<'a>) -> impl Iterator<Item = &'a Layout> {
    source.layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home)
}

/// The wide files, the one with the fewest parts first.
fn wides(source: &Source) -> Vec<WideView> {
    let mut wides: Vec<_> = source.files.iter().filter_map(|file| WideView::new(file, source)).collect();
    wides.sort_by_key(|wide| wide.pages);
    wides
}

/// The home layouts with their maps.
fn homes(source: &Source) -> Vec<HomeView> {
    home_layouts(source).zip(source.pictures.maps).map(|(layout, map)| HomeView::new(layout, map, source)).collect()
}

impl HomeView {
    fn new(layout: &Layout, map: &str, source: &Source) -> Self {
        let kind = FileKind::Home { paper: layout.setup.paper.id.clone() };
        let file = source.files.iter().find(|file| file.kind == kind);
        Self {
            paper: paper_title(&layout.setup.paper, source.messages),
            file: file.map(|file| file.name.clone()),
            sheets: layout.sheets.len(),
            id: layout.setup.paper.id.clone(),
            rows: source.messages.count("map.rows", layout.rows, &[]),
            columns: source.messages.count("map.columns", layout.columns, &[]),
            broad: layout.columns > BROAD_FROM,
            map: map.into(),
            sizes: size_rows(layout, source),
        }
    }
}

/// A row a size, and one for all sizes together if there is more than one.
fn size_rows(layout: &Layout, source: &Source) -> Vec<SizeView> {
    let mut rows: Vec<_> =
        layout.sizes.iter().map(|size| SizeView::new(size.name.clone(), &size.sheets, layout).alone(layout, source)).collect();
    let every: Vec<usize> = (0..layout.sheets.len()).collect();
    // One size only: its row is named in words, whatever the plan calls it. One graded size needs no second row for all.
    if source.kit.sizes.is_empty() {
        rows = vec![SizeView::new(source.messages.text("guide.sizes.one", &[]), &every, layout)];
    } else if source.kit.sizes.len() > 1 {
        rows.push(SizeView::new(source.messages.text("guide.sizes.all", &[]), &every, layout));
    }
    rows
}

impl SizeView {
    /// `sheets` are indices from 0; page 1 is the check page, so sheet 0 is page 2.
    fn new(name: String, sheets: &[usize], layout: &Layout) -> Self {
        let labels: Vec<&str> =
            sheets.iter().filter_map(|index| layout.sheets.get(*index)).map(|sheet| sheet.label.as_str()).collect();
        let pages: Vec<usize> = sheets.iter().map(|index| index + 2).collect();
        let ranges = page_ranges(&pages);
        let pages = ranges.split(',').filter(|part| !part.is_empty()).map(String::from).collect();
        Self { name, sheets: sheets.len(), labels: labels.join(" "), pages, file: None, file_pages: 0 }
    }

    /// Adds the file that holds this size alone.
    fn alone(mut self, layout: &Layout, source: &Source) -> Self {
        let own = source.files.iter().find_map(|file| match &file.kind {
            FileKind::HomeSize { paper, size, sheets } if *paper == layout.setup.paper.id && *size == self.name => {
                Some((file.name.clone(), sheets + 1))
            }
            _ => None,
        });
        if let Some((file, pages)) = own {
            (self.file, self.file_pages) = (Some(file), pages);
        }
        self
    }
}

impl WideView {
    /// The wide print that a file holds, if it is one.
    fn new(file: &PackedFile, source: &Source) -> Option<Self> {
        let FileKind::WidePdf { paper } = &file.kind else { return None };
        // A file without a layout has no size to tell at the counter; it is still on the list of files.
        let layout = layout_of(paper, source.layouts)?;
        // What a print shop is given, where there is a file made for it.
        let flat = FileKind::WideFlat { paper: paper.clone() };
        let given = source.files.iter().find(|file| file.kind == flat).unwrap_or(file);
        Some(Self {
            paper: paper_title(&layout.setup.paper, source.messages),
            file: given.name.clone(),
            size: wide_size(layout, source.messages),
            pages: layout.sheets.len(),
        })
    }
}
