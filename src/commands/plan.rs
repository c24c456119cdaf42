//! `plan`: what would be printed, as tables and small maps, or as a record.

use super::args;
use super::check::refuse;
use super::kit::{Loaded, load};
use super::outputs::{LayoutRecord, PlanRecord, SheetRecord, SizeRecord, VERSION};
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings, counted};
use crate::guide::page_ranges;
use crate::manifest::{Kit, Press};
use crate::plan::{Layout, sheet_label};

/// Plans a kit and shows the plan.
pub(super) fn run(wish: &args::Kit, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, findings) = load(&wish.kit);
    match loaded {
        None => refuse(screen, &findings),
        Some(loaded) if screen.for_machines() => screen.record(&record(&loaded, &findings)),
        Some(loaded) => {
            screen.findings(&findings);
            screen.data(&text(&loaded));
        }
    }
    Ok(findings)
}

fn text(loaded: &Loaded) -> String {
    let head = format!("{} {}\n", loaded.kit.title, loaded.kit.edition);
    loaded.layouts.iter().fold(head, |text, layout| text + "\n" + &layout_text(layout))
}

fn layout_text(layout: &Layout) -> String {
    let paper = &layout.setup.paper;
    let word = if paper.press == Press::Home { "home sheet" } else { "wide sheet" };
    let count = counted(layout.sheets.len(), word);
    let head = format!("{} · {count} · tile {} × {}\n", paper.title, layout.tile.width(), layout.tile.height());
    head + "\n" + &map(layout) + "\n" + &sizes(layout)
}

/// The grid: a filled square for each used sheet, a dot where nothing is printed.
fn map(layout: &Layout) -> String {
    let mark = |row: usize, column: usize| {
        let used = layout.sheets.iter().any(|sheet| (sheet.row, sheet.column) == (row, column));
        format!("{:>3}", if used { '■' } else { '·' })
    };
    let head: String = (1..=layout.columns).map(|column| format!("{column:>3}")).collect();
    let letter = |row: usize| sheet_label(row, 0).trim_end_matches('1').to_owned();
    let line = |row: usize| {
        let marks: String = (0..layout.columns).map(|column| mark(row, column)).collect();
        format!("{:>4}{marks}\n", letter(row))
    };
    format!("    {head}\n") + &(0..layout.rows).map(line).collect::<String>()
}

fn sizes(layout: &Layout) -> String {
    let name = |name: &str| if name.is_empty() { "all".to_owned() } else { name.to_owned() };
    let width = layout.sizes.iter().map(|size| name(&size.name).chars().count()).max().unwrap_or(0).max(4);
    let row = |size: &crate::plan::SizeSheets| {
        let ranges = page_ranges(&layout.pages_of(size));
        format!("  {:<width$}  {:>6}  {ranges}\n", name(&size.name), size.sheets.len())
    };
    format!("  {:<width$}  {:>6}  pages\n", "size", "sheets") + &layout.sizes.iter().map(row).collect::<String>()
}

fn record(loaded: &Loaded, findings: &Findings) -> PlanRecord {
    PlanRecord {
        version: VERSION,
        kit: loaded.kit.name.clone(),
        edition: loaded.kit.edition.to_string(),
        layouts: loaded.layouts.iter().map(|layout| layout_record(&loaded.kit, layout)).collect(),
        findings: records(findings),
    }
}

fn layout_record(kit: &Kit, layout: &Layout) -> LayoutRecord {
    let size_name = |&size: &usize| kit.sizes.get(size).map(|size| size.name.clone());
    let sheets = layout.sheets.iter().enumerate().map(|(index, sheet)| SheetRecord {
        label: sheet.label.clone(),
        page: layout.page_of(index),
        sizes: sheet.sizes.iter().filter_map(size_name).collect(),
    });
    let sizes = layout.sizes.iter().map(|size| SizeRecord {
        size: size.name.clone(),
        sheet_count: size.sheets.len(),
        page_ranges: page_ranges(&layout.pages_of(size)),
    });
    LayoutRecord {
        paper: layout.setup.paper.id.clone(),
        press: if layout.setup.paper.press == Press::Home { "home".into() } else { "wide".into() },
        sheet_width_mm: layout.sheet_size.width.to_mm(),
        sheet_height_mm: layout.sheet_size.height.to_mm(),
        tile_width_mm: layout.tile.width().to_mm(),
        tile_height_mm: layout.tile.height().to_mm(),
        rows: layout.rows,
        columns: layout.columns,
        sheets: sheets.collect(),
        sizes: sizes.collect(),
    }
}
