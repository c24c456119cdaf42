//! One paper on the proof: its sheets as they are joined, and the figures that belong to them.

use super::concern::Concern;
use super::findings::{FindingView, sheet_id};
use super::view::Source;
use crate::guide::page_ranges;
use crate::manifest::Press;
use crate::plan::Layout;
use crate::units::{Length, Rect};
use serde::Serialize;

/// A paper with all its pages.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PaperView {
    id: String,
    title: String,
    home: bool,
    /// Its file in the package.
    file: Option<String>,
    sheet_size: String,
    tile_size: String,
    pages: usize,
    columns: usize,
    /// Boxes for `viewBox`: the whole sheet, and the tile alone.
    whole: String,
    tile: String,
    /// Width by height of all sheets as they are joined.
    spread: f64,
    /// Trusted markup of the check page's picture.
    check: Option<String>,
    sheets: Vec<SheetView>,
    sizes: Vec<SizeView>,
    reach: Reach,
    facts: FactsView,
    /// Findings about this paper as a whole.
    findings: Vec<FindingView>,
}

/// A sheet.
#[derive(Clone, Debug, Serialize)]
struct SheetView {
    id: String,
    label: String,
    page: usize,
    /// From 1.
    row: usize,
    /// From 1.
    column: usize,
    /// Trusted markup.
    picture: String,
    /// Numbers of the sizes that need it, with blanks between them.
    needs: String,
    /// Names of the sizes with lines of their own on it.
    sizes: Vec<String>,
    joins: Vec<JoinView>,
    /// Per cent of the paper that ink covers; empty if that is not known.
    ink: String,
    findings: Vec<FindingView>,
}

/// A join of a sheet.
#[derive(Clone, Debug, Serialize)]
struct JoinView {
    number: usize,
    with: String,
}

/// The sheets of a size.
#[derive(Clone, Debug, Serialize)]
struct SizeView {
    name: String,
    sheets: usize,
    pages: String,
    labels: String,
}

/// What printers reach of a sheet, and what is left of that for the tile.
#[derive(Clone, Debug, Serialize)]
struct Reach {
    /// Millimetres: width and height of the sheet, then x, y, width and height of what is printed and of the tile.
    sheet: [f64; 2],
    printable: [f64; 4],
    tile: [f64; 4],
    top: String,
    right: String,
    bottom: String,
    left: String,
    border: String,
    glue_edge: Option<String>,
}

/// Figures of a layout.
#[derive(Clone, Debug, Serialize)]
struct FactsView {
    /// Per cent of known printers that print the tile whole: of home printers, of all.
    share: Option<[String; 2]>,
    /// Mean and largest part of the paper that ink covers, in per cent, and where the most lies.
    ink: Option<[String; 3]>,
    joins: usize,
    likely: String,
    worst: String,
    /// Lengths to be measured across joined sheets: length and the labels of the two sheets.
    long_checks: Vec<[String; 3]>,
}

impl PaperView {
    pub(super) fn new(source: &Source, number: usize, layout: &Layout, concerns: &[Concern], findings: &[FindingView]) -> Self {
        let about = |fits: &dyn Fn(&Concern) -> bool| -> Vec<FindingView> {
            concerns.iter().zip(findings).filter(|(concern, _)| fits(concern)).map(|(_, view)| view.clone()).collect()
        };
        let mut pictures = source.pictures.pages.get(number).cloned().unwrap_or_default().into_iter();
        let home = layout.setup.paper.press == Press::Home;
        let check = if home { pictures.next() } else { None };
        let sheets = (0..layout.sheets.len()).zip(pictures).filter_map(|(index, picture)| {
            SheetView::new(source, layout, index, picture, about(&|it| it.sheets.contains(&(number, index))))
        });
        let (w, h) = (layout.sheet_size.width.to_mm(), layout.sheet_size.height.to_mm());
        let tile = layout.tile.to_kurbo_mm();
        let paper = &layout.setup.paper;
        let own = |file: &&super::ProofFile| file.main && file.paper.as_ref() == Some(&paper.id);
        Self {
            id: paper.id.clone(),
            title: paper.title.clone(),
            home,
            // Wide paper has a second file for print shops, whose name is the same and longer.
            file: source.files.iter().filter(own).map(|file| file.name.clone()).min_by_key(String::len),
            sheet_size: size(layout.sheet_size.width, layout.sheet_size.height),
            tile_size: size(layout.tile.width(), layout.tile.height()),
            pages: layout.sheets.len() + usize::from(home),
            columns: layout.columns,
            whole: format!("0 0 {} {}", rounded(w), rounded(h)),
            tile: boxed(layout.tile).map(|side| side.to_string()).join(" "),
            spread: (tile.width() * layout.columns as f64) / (tile.height() * layout.rows as f64),
            check,
            sheets: sheets.collect(),
            sizes: sizes(source, layout),
            reach: Reach::new(layout),
            facts: FactsView::new(layout),
            findings: about(&|it| it.papers.contains(&number)),
        }
    }

    /// Takes all findings off, as they are about an older state of the kit.
    pub(super) fn forget_findings(&mut self) {
        self.findings.clear();
        self.sheets.iter_mut().for_each(|sheet| sheet.findings.clear());
    }
}

impl SheetView {
    fn new(source: &Source, layout: &Layout, index: usize, picture: String, findings: Vec<FindingView>) -> Option<Self> {
        let sheet = layout.sheets.get(index)?;
        let needs = layout.sizes.iter().enumerate().filter(|(_, size)| size.sheets.contains(&index));
        let needs: Vec<String> = needs.map(|(size, _)| size.to_string()).collect();
        let sizes = sheet.sizes.iter().filter_map(|&size| source.kit.sizes.get(size)).map(|size| size.name.clone());
        let other = |first: usize, second: usize| match index {
            _ if first == index => Some(second),
            _ if second == index => Some(first),
            _ => None,
        };
        let joins = layout.joins.iter().filter_map(|join| {
            let with = layout.sheets.get(other(join.first, join.second)?)?;
            Some(JoinView { number: join.number, with: with.label.clone() })
        });
        Some(Self {
            id: sheet_id(layout, &sheet.label),
            label: sheet.label.clone(),
            page: layout.page_of(index),
            row: sheet.row + 1,
            column: sheet.column + 1,
            picture,
            needs: needs.join(" "),
            sizes: sizes.collect(),
            joins: joins.collect(),
            ink: layout.facts.coverage.get(index).map(|share| percent(*share)).unwrap_or_default(),
            findings,
        })
    }
}

/// A row for each size; none for a kit of one.
fn sizes(source: &Source, layout: &Layout) -> Vec<SizeView> {
    if source.kit.sizes.is_empty() {
        return Vec::new();
    }
    let label = |sheet: &usize| layout.sheets.get(*sheet).map(|sheet| sheet.label.as_str());
    let view = |size: &crate::plan::SizeSheets| SizeView {
        name: size.name.clone(),
        sheets: size.sheets.len(),
        pages: page_ranges(&layout.pages_of(size)).replace(',', ", "),
        labels: size.sheets.iter().filter_map(label).collect::<Vec<_>>().join(" "),
    };
    layout.sizes.iter().map(view).collect()
}

impl Reach {
    fn new(layout: &Layout) -> Self {
        let (sheet, printable) = (layout.sheet_size, layout.printable);
        let setup = &layout.setup;
        Self {
            sheet: [rounded(sheet.width.to_mm()), rounded(sheet.height.to_mm())],
            printable: boxed(printable),
            tile: boxed(layout.tile),
            top: told(printable.min.y),
            right: told(sheet.width - printable.max.x),
            bottom: told(sheet.height - printable.max.y),
            left: told(printable.min.x),
            border: told(setup.border),
            glue_edge: (setup.glue_edge != setup.border).then(|| told(setup.glue_edge)),
        }
    }
}

impl FactsView {
    fn new(layout: &Layout) -> Self {
        let facts = &layout.facts;
        let label = |sheet: usize| layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
        let whole = |ratio: crate::printers::Ratio| format!("{}\u{a0}%", ratio.percent_down(1));
        Self {
            share: facts.share.map(|share| [whole(share.home), whole(share.all)]),
            ink: facts.ink().map(|(mean, most, sheet)| [percent(mean), percent(most), label(sheet)]),
            joins: layout.joins.len(),
            likely: told(facts.budget.expected),
            worst: told(facts.budget.worst),
            long_checks: facts
                .long_checks
                .iter()
                .map(|check| [told(check.length()), label(check.first), label(check.second)])
                .collect(),
        }
    }
}

fn size(width: Length, height: Length) -> String {
    format!("{} × {}", rounded(width.to_mm()), told(height))
}

/// A length that is not parted from its unit at the end of a line.
fn told(length: Length) -> String {
    length.to_string().replace(' ', "\u{a0}")
}

fn boxed(area: Rect) -> [f64; 4] {
    let area = area.to_kurbo_mm();
    [area.x0, area.y0, area.width(), area.height()].map(rounded)
}

fn percent(share: f64) -> String {
    format!("{}\u{a0}%", (share * 1000.0).round() / 10.0)
}

fn rounded(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0 + 0.0
}
