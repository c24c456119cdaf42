//! The plan for programs, every length with its unit in its name.

use super::answer::Answer;
use crate::commands::kit::Loaded;
use crate::commands::outputs::{
    AnswerRecord, AreaRecord, CutRecord, JoinRecord, LayoutRecord, LongCheckRecord, PlanRecord, SheetRecord, SizeRecord,
    VERSION,
};
use crate::commands::screen::records;
use crate::diagnostic::Findings;
use crate::guide::page_ranges;
use crate::manifest::{Kit, Press};
use crate::plan::{Join, Layout, LongCheck, Sheet};
use crate::units::Rect;

/// The plan of a kit as a record.
pub(super) fn record(loaded: &Loaded, answers: &[Answer], findings: &Findings) -> PlanRecord {
    PlanRecord {
        version: VERSION,
        kit: loaded.kit.name.clone(),
        edition: loaded.kit.edition.to_string(),
        layouts: loaded
            .layouts
            .iter()
            .zip(answers)
            .map(|(layout, answer)| layout_record(&loaded.kit, layout, answer))
            .collect(),
        findings: records(findings),
    }
}

fn layout_record(kit: &Kit, layout: &Layout, answer: &Answer) -> LayoutRecord {
    let size_name = |&size: &usize| kit.sizes.get(size).map(|size| size.name.clone());
    let sheets = layout.sheets.iter().enumerate().map(|(index, sheet)| SheetRecord {
        label: sheet.label.clone(),
        page: layout.page_of(index),
        ink_percent: percent(layout.facts.coverage.get(index).copied().unwrap_or_default()),
        sizes: sheet.sizes.iter().filter_map(size_name).collect(),
        label_area: area(in_drawing(layout, sheet)),
        label_over_ink: sheet.plate.over_ink,
    });
    let sizes = layout.sizes.iter().map(|size| SizeRecord {
        size: size.name.clone(),
        sheet_count: size.sheets.len(),
        saved_sheet_count: layout.sheets.len() - size.sheets.len(),
        page_ranges: page_ranges(&layout.pages_of(size)),
    });
    LayoutRecord {
        paper: layout.setup.paper.id.clone(),
        press: if layout.setup.paper.press == Press::Home { "home".into() } else { "wide".into() },
        sheet_width_mm: layout.sheet_size.width.to_mm(),
        sheet_height_mm: layout.sheet_size.height.to_mm(),
        tile_width_mm: layout.tile.width().to_mm(),
        tile_height_mm: layout.tile.height().to_mm(),
        origin_x_mm: layout.origin.x.to_mm(),
        origin_y_mm: layout.origin.y.to_mm(),
        lying: layout.facts.lying,
        centred_sheet_count: layout.facts.centred_sheets,
        own_tile_sheet_count: layout.facts.own_sheets,
        home_printers_percent: layout.facts.share.map(|share| share.home.percent_down(2)),
        all_printers_percent: layout.facts.share.map(|share| share.all.percent_down(2)),
        mean_ink_percent: percent(layout.facts.ink().map_or(0.0, |ink| ink.0)),
        most_ink_percent: percent(layout.facts.ink().map_or(0.0, |ink| ink.1)),
        likely_misfit_mm: layout.facts.budget.expected.to_mm(),
        worst_misfit_mm: layout.facts.budget.worst.to_mm(),
        long_checks: layout.facts.long_checks.iter().map(|check| long_check(layout, check)).collect(),
        joins: layout.joins.iter().map(|join| join_record(layout, join)).collect(),
        answer: answer_record(layout, answer),
        rows: layout.rows,
        columns: layout.columns,
        sheets: sheets.collect(),
        sizes: sizes.collect(),
    }
}

/// A share in per cent, to a hundredth: more would pretend to know more.
fn percent(share: f64) -> f64 {
    (share * 10_000.0).round() / 100.0
}

fn label(layout: &Layout, sheet: usize) -> String {
    layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default()
}

fn area(area: Rect) -> AreaRecord {
    let (x_mm, y_mm) = (area.min.x.to_mm(), area.min.y.to_mm());
    AreaRecord { x_mm, y_mm, width_mm: area.width().to_mm(), height_mm: area.height().to_mm() }
}

/// A label's place, which the plan tells on its sheet, as a place in the drawing.
fn in_drawing(layout: &Layout, sheet: &Sheet) -> Rect {
    sheet.plate.area.moved(sheet.area.min.x - layout.tile.min.x, sheet.area.min.y - layout.tile.min.y)
}

fn long_check(layout: &Layout, check: &LongCheck) -> LongCheckRecord {
    let (from, to) = (label(layout, check.first), label(layout, check.second));
    LongCheckRecord { from, to, length_mm: check.length().to_mm() }
}

fn join_record(layout: &Layout, join: &Join) -> JoinRecord {
    JoinRecord {
        number: join.number,
        first: label(layout, join.first),
        second: label(layout, join.second),
        marks: join.marks.iter().map(|mark| area(mark.area)).collect(),
        over_ink: join.marks.iter().any(|mark| mark.over_ink),
    }
}

fn answer_record(layout: &Layout, answer: &Answer) -> Option<AnswerRecord> {
    let cut = answer
        .cut
        .as_ref()
        .map(|cut| cut.iter().map(|(side, by)| CutRecord { side: side.name().into(), cut_mm: by.to_mm() }).collect());
    let (sheet_count, page_ranges) = answer.sizes.clone().unzip();
    let saved_sheet_count = sheet_count.map(|count: usize| layout.sheets.len() - count);
    (cut.is_some() || sheet_count.is_some()).then_some(AnswerRecord { sheet_count, saved_sheet_count, page_ranges, cut })
}
