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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_of_a_map_are_small_and_shaped_as_tiles() {
        let tile = Rect::new(10.0, 10.0, 90.0, 110.0);
        for (width, height, like) in [
            (4.0, 5.0, true),
            (8.0, 10.0, true),
            (4.01, 5.0, true),
            (4.1, 5.0, false),
            (4.0, 5.1, false),
            (80.0, 100.0, false),
            (40.0, 50.0, false),
        ] {
            assert_eq!(is_like(Rect::new(3.0, 7.0, 3.0 + width, 7.0 + height), tile), like, "{width} {height}");
        }
    }

    #[test]
    fn a_map_is_a_grid_of_cells_edge_to_edge() {
        let cell = |x: f64, y: f64| Rect::new(x, y, x + 4.0, y + 5.0);
        let places = |areas: &[Rect]| grid(areas).map(|map| map.keys().copied().collect::<Vec<_>>());
        assert_eq!(places(&[cell(60.0, 20.0), cell(64.0, 20.0), cell(60.0, 30.0)]), Some(vec![(0, 0), (0, 1), (2, 0)]));
        assert_eq!(places(&[cell(60.0, 20.0), cell(64.04, 20.05)]), Some(vec![(0, 0), (0, 1)]));
        for (x, y) in [(64.2, 20.0), (66.0, 20.0), (60.0, 27.5), (64.0, 20.2), (63.8, 20.0)] {
            assert_eq!(places(&[cell(60.0, 20.0), cell(x, y)]), None, "{x} {y}");
        }
        assert_eq!(places(&[]), None);
        assert_eq!(grid(&[cell(60.0, 20.0)]).unwrap().get(&(0, 0)), Some(&cell(60.0, 20.0)));
    }

    #[test]
    fn sheets_are_counted_from_the_topmost_and_leftmost() {
        let sheet = |row: u32, column: u32| -> Sheet {
            serde_json::from_value(
                serde_json::json!({"label": "", "page": 1, "row": row, "column": column, "area_mm": [0, 0, 1, 1]}),
            )
            .unwrap()
        };
        assert_eq!(cells(&[sheet(2, 5), sheet(3, 4)]), BTreeSet::from([(0, 1), (1, 0)]));
    }
}
