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
    let lies = if layout.facts.lying { words!("on-its-side") } else { "" };
    let head =
        say!("layout-head", title = paper.title, lies, count, width = layout.tile.width(), height = layout.tile.height());
    head + "\n" + &facts(layout) + "\n" + &map(layout) + "\n" + &sizes(layout)
}

/// What is good to know about a layout, a line each.
fn facts(layout: &Layout) -> String {
    let facts = &layout.facts;
    let sheets = layout.sheets.len();
    let mut lines = Vec::new();
    if layout.setup.paper.press == Press::Home && facts.centred_sheets > sheets {
        lines.push(say!("instead-of-for-where", sheets = counted(sheets, "sheet"), centred_sheets = facts.centred_sheets));
    }
    if let Some(own) = facts.own_sheets.filter(|own| *own < sheets) {
        lines.push(say!("sharing-one-tile-costs", sheets = counted(sheets - own, "sheet")));
    }
    if let Some(share) = facts.share {
        lines.push(say!("prints-whole-on", home = ratio(share.home), all = ratio(share.all)));
        lines.extend(binding(layout));
    }
    if let Some((mean, most, sheet)) = facts.ink() {
        let on = layout
            .sheets
            .get(sheet)
            .filter(|_| sheets > 1)
            .map(|sheet| say!("most-ink-of", label = sheet.label, most = format_args!("{:.1}", most * 100.0)));
        lines.push(say!("ink-covers-about", mean = format_args!("{:.1}", mean * 100.0), on = on.unwrap_or_default()));
    }
    if facts.budget.joins > 1 {
        let (likely, worst) = (facts.budget.expected, facts.budget.worst);
        lines.push(say!("joined-corner-to-corner", likely, worst));
    }
    lines.extend(facts.long_checks.iter().map(|check| {
        let label = |sheet: usize| layout.sheets.get(sheet).map_or("", |sheet| sheet.label.as_str());
        say!("to-measure-when-joined", first = label(check.first), second = label(check.second), length = check.length())
    }));
    if sheets > 1 {
        let (x, y) = (layout.origin.x, layout.origin.y);
        lines.push(say!("to-hold-there-placement", x, y, lying = facts.lying));
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
    (!layout.facts.lying).then(|| say!("most-of-others-need", name = binding.side.name()))
}

/// What was asked about a layout, a line each.
fn answered(layout: &Layout, answer: &Answer) -> String {
    let mut lines = Vec::new();
    if let Some((count, pages)) = &answer.sizes {
        let saved = layout.sheets.len() - count;
        lines.push(say!("for-these-sizes", sheets = counted(*count, "sheet"), pages, saved = counted(saved, "sheet")));
    }
    if let Some(cut) = &answer.cut {
        let sides: Vec<String> = cut.iter().map(|(side, by)| say!("cut-at-side", by, name = side.name())).collect();
        lines.push(match sides.is_empty() {
            true => words!("with-these-margins-prints").to_owned(),
            false => say!("with-these-margins-cut", sides = sides.join(" and ")),
        });
    }
    lines.iter().map(|line| format!("\n  {line}\n")).collect()
}

/// `99.4 % of 1724` or `all 1724`; rounded down, so that 100 is never said of less.
fn ratio(ratio: Ratio) -> String {
    if ratio.is_all() {
        say!("all-of", of = ratio.of)
    } else {
        say!("share-of", percent = ratio.percent_down(1), of = ratio.of)
    }
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
    format!("  {:<width$}  {:>6}  {:>5}  {}\n", words!("size"), words!("sheets"), words!("saves"), words!("pages"))
        + &layout.sizes.iter().map(row).collect::<String>()
}
