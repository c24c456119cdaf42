//! Maps and counts in PDFs: the small pictures of the assembly show the sheets that there are, and each sheet its number.

use super::mark::{Mark, Part};
use super::pdf::Page;
use super::promises::{Paper, Sheet};
use super::verdict::{Check, Verdict};
use crate::diagnostic::Diagnostic;
use kurbo::Rect;
use std::collections::{BTreeMap, BTreeSet};

/// How far two sides may differ and still be of cells of one map, in mm: a tenth of a printed line.
const SAME: f64 = 0.02;
/// A path with four straight sides, closed.
const RECTANGLE: usize = 5;

/// Judges the maps and counts of one home paper.
pub(super) fn check(paper: &Paper, pages: &[Page], verdict: &mut Verdict) {
    let page = |number: usize| number.checked_sub(1).and_then(|index| pages.get(index));
    let wanted: BTreeSet<(u32, u32)> = cells(&paper.sheets);
    if let Some(check) = paper.check_page.and_then(page) {
        // A check page without room for a map has none.
        let off_map = maps(paper, check).iter().any(|map| !map.keys().eq(&wanted));
        tell(paper, off_map.then(|| error!("map-off/check-page")), verdict);
    }
    for (number, sheet) in (1..).zip(&paper.sheets) {
        let Some(page) = page(sheet.page) else { continue };
        let counted = page.words.runs().any(|(_, run)| {
            let numbers: Vec<usize> = run.split(|c: char| !c.is_ascii_digit()).filter_map(|part| part.parse().ok()).collect();
            // Some languages name the whole first.
            let pair = [number, paper.sheets.len()];
            numbers.windows(2).any(|two| two == pair || two.iter().rev().eq(&pair))
        });
        let count = (!counted).then(|| error!("map-off/count", label = sheet.label, number, all = paper.sheets.len()));
        tell(paper, count, verdict);
        let here = maps(paper, page).iter().find_map(|map| here(paper, sheet, page, map, &wanted));
        tell(paper, here, verdict);
    }
}

fn tell(paper: &Paper, finding: Option<Diagnostic>, verdict: &mut Verdict) {
    verdict.judge(Check::Label, finding.map_or(Ok(()), |finding| Err(finding.at(verdict.place(&paper.file)))));
}

/// Rows and columns of sheets, from the topmost and leftmost that is used.
fn cells(sheets: &[Sheet]) -> BTreeSet<(u32, u32)> {
    let top = sheets.iter().map(|sheet| sheet.row).min().unwrap_or(0);
    let left = sheets.iter().map(|sheet| sheet.column).min().unwrap_or(0);
    sheets.iter().map(|sheet| (sheet.row - top, sheet.column - left)).collect()
}

/// The cells of a map with their places on the page.
type Map = BTreeMap<(u32, u32), Rect>;

/// All maps on a page: outlined rectangles of one size, as high and wide to each other as tiles are, edge to edge.
fn maps(paper: &Paper, page: &Page) -> Vec<Map> {
    let tile = paper.tile();
    let mut rest: Vec<Rect> = rectangles(page, true).filter(|area| is_like(*area, tile)).collect();
    let mut maps = Vec::new();
    while let Some(first) = rest.first().copied() {
        let alike = |area: &Rect| (area.width() - first.width()).abs() < SAME && (area.height() - first.height()).abs() < SAME;
        let (own, others): (Vec<Rect>, Vec<Rect>) = rest.into_iter().partition(alike);
        maps.extend(grid(&own));
        rest = others;
    }
    maps.retain(|map| map.len() > 1 || paper.sheets.len() == 1);
    maps
}

fn is_like(area: Rect, tile: Rect) -> bool {
    area.width() < tile.width() / 2.0
        && (area.width() * tile.height() - area.height() * tile.width()).abs() < SAME * tile.height()
}

/// Rectangles of one size as cells, if they stand edge to edge.
fn grid(areas: &[Rect]) -> Option<Map> {
    let whole = areas.iter().copied().reduce(|all, area| all.union(area))?;
    let place = |area: &Rect| {
        let (column, row) = ((area.x0 - whole.x0) / area.width(), (area.y0 - whole.y0) / area.height());
        let stands = (column - column.round()).abs() < SAME && (row - row.round()).abs() < SAME;
        stands.then_some(((row.round() as u32, column.round() as u32), *area))
    };
    areas.iter().map(place).collect()
}

/// Rectangles of the frame, outlined or filled.
fn rectangles(page: &Page, outlined: bool) -> impl Iterator<Item = Rect> + '_ {
    let plain = move |mark: &&Mark| {
        matches!(mark.part, Part::Frame | Part::Drawing)
            && mark.pen.width.is_some() == outlined
            && mark.path.elements().len() == RECTANGLE
    };
    page.marks.iter().filter(plain).map(|mark| mark.path.control_box())
}

/// The small map on a sheet has a cell for every sheet, and its own filled.
fn here(paper: &Paper, sheet: &Sheet, page: &Page, map: &Map, wanted: &BTreeSet<(u32, u32)>) -> Option<Diagnostic> {
    if !map.keys().eq(wanted) {
        return Some(error!("map-off", label = sheet.label));
    }
    let top = paper.sheets.iter().map(|sheet| sheet.row).min().unwrap_or(0);
    let left = paper.sheets.iter().map(|sheet| sheet.column).min().unwrap_or(0);
    let cell = map.get(&(sheet.row - top, sheet.column - left)).copied().unwrap_or(Rect::ZERO);
    let filled = rectangles(page, false).any(|area| (area.center() - cell.center()).hypot() < SAME);
    (!filled).then(|| error!("map-off/here", label = sheet.label))
}
