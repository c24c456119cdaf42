//! The plan for people: a table and a small map a paper.

use super::answer::Answer;
use crate::commands::kit::Loaded;
use crate::diagnostic::counted;
use crate::guide::page_ranges;
use crate::manifest::Press;
use crate::plan::{Layout, SizeSheets, sheet_label};
use crate::printers::{Printers, Ratio};
use crate::units::Margins;

/// The plan of a kit as text, with the answers to what was asked.
pub(super) fn text(loaded: &Loaded, answers: &[Answer]) -> String {
    let head = format!("{} {}\n", loaded.kit.title, loaded.kit.edition);
    let layouts = loaded.layouts.iter().zip(answers);
    layouts.fold(head, |text, (layout, answer)| text + "\n" + &layout_text(layout) + &answered(layout, answer))
}

fn layout_text(layout: &Layout) -> String {
    let paper = &layout.setup.paper;
    let word = if paper.press == Press::Home { "home sheet" } else { "wide sheet" };
    let count = counted(layout.sheets.len(), word);
    let lies = if layout.facts.lying { ", on its side" } else { "" };
    let head = format!("{}{lies} · {count} · tile {} × {}\n", paper.title, layout.tile.width(), layout.tile.height());
    head + &facts(layout) + "\n" + &map(layout) + "\n" + &sizes(layout)
}

/// What is good to know about a layout, a line each.
fn facts(layout: &Layout) -> String {
    let facts = &layout.facts;
    let sheets = layout.sheets.len();
    let mut lines = Vec::new();
    if layout.setup.paper.press == Press::Home && facts.centred_sheets > sheets {
        lines.push(format!("{} instead of {}, for where the grid lies", counted(sheets, "sheet"), facts.centred_sheets));
    }
    if let Some(own) = facts.own_sheets.filter(|own| *own < sheets) {
        lines.push(format!("sharing one tile costs {}", counted(sheets - own, "sheet")));
    }
    if let Some(share) = facts.share {
        lines.push(format!("prints whole on {} home printers; {} descriptions in all", ratio(share.home), ratio(share.all)));
        lines.extend(binding(layout));
    }
    if let Some((mean, most, sheet)) = facts.ink() {
        let on = layout
            .sheets
            .get(sheet)
            .filter(|_| sheets > 1)
            .map(|sheet| format!(", most of {}: {:.1} %", sheet.label, most * 100.0));
        lines.push(format!("ink covers about {:.1} % of the paper{}", mean * 100.0, on.unwrap_or_default()));
    }
    if facts.budget.joins > 1 {
        let (likely, worst) = (facts.budget.expected, facts.budget.worst);
        lines.push(format!("joined corner to corner: likely within {likely}, at worst {worst}"));
    }
    lines.extend(facts.long_checks.iter().map(|check| {
        let label = |sheet: usize| layout.sheets.get(sheet).map_or("", |sheet| sheet.label.as_str());
        format!("to measure when joined: {} to {}, {}", label(check.first), label(check.second), check.length())
    }));
    if sheets > 1 {
        let (x, y) = (layout.origin.x, layout.origin.y);
        lines.push(format!("to hold it there: placement: {{from: [{x}, {y}], lying: {}}}", facts.lying));
    }
    lines.iter().map(|line| format!("  {line}\n")).collect()
}

/// The side of the page that stops most of the printers that cannot.
fn binding(layout: &Layout) -> Option<String> {
    let (tile, size) = (layout.tile, layout.sheet_size);
    let margins =
        Margins { top: tile.min.y, right: size.width - tile.max.x, bottom: size.height - tile.max.y, left: tile.min.x };
    let binding = Printers::known().binding(&layout.setup.paper.id, margins).into_iter().next()?;
    // Which way a printer takes paper on its side is not known, so no side can be named.
    (!layout.facts.lying).then(|| format!("most of the others need more room at the {}", binding.side.name()))
}

/// What was asked about a layout, a line each.
fn answered(layout: &Layout, answer: &Answer) -> String {
    let mut lines = Vec::new();
    if let Some((count, pages)) = &answer.sizes {
        let saved = layout.sheets.len() - count;
        lines.push(format!("for these sizes: {}, pages {pages}; saves {}", counted(*count, "sheet"), counted(saved, "sheet")));
    }
    if let Some(cut) = &answer.cut {
        let sides: Vec<String> = cut.iter().map(|(side, by)| format!("{by} at the {}", side.name())).collect();
        lines.push(match sides.is_empty() {
            true => "with these margins: prints whole".to_owned(),
            false => format!("with these margins: cut by {}", sides.join(" and ")),
        });
    }
    lines.iter().map(|line| format!("\n  {line}\n")).collect()
}

/// `99.4 % of 1724` or `all 1724`; rounded down, so that 100 is never said of less.
fn ratio(ratio: Ratio) -> String {
    if ratio.is_all() { format!("all {}", ratio.of) } else { format!("{} % of {}", ratio.percent_down(1), ratio.of) }
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
    let row = |size: &SizeSheets| {
        let ranges = page_ranges(&layout.pages_of(size));
        let saves = layout.sheets.len() - size.sheets.len();
        format!("  {:<width$}  {:>6}  {saves:>5}  {ranges}\n", name(&size.name), size.sheets.len())
    };
    format!("  {:<width$}  {:>6}  {:>5}  pages\n", "size", "sheets", "saves")
        + &layout.sizes.iter().map(row).collect::<String>()
}
