//! Maps of the sheets: a small one on each plate with this sheet filled in, a large one with labels on the check page.

use super::pens::HAIR;
use crate::manifest::{Colour, Press};
use crate::plan::Layout;
use crate::press::Job;
use crate::press::scene::{Anchor, Link, Scene, Type, rect};
use kurbo::Rect;

/// Cells of a map that are still large enough to be met with a pointer: up to so many sheets.
const FEW: usize = 9;
/// The largest cell of the large map, in mm high.
const LARGEST: f64 = 10.0;
/// Letters of the large map, in mm: what fits, up to this.
const LETTERS: f64 = 2.6;

/// Draws the map into the right-hand end of a box; sheets keep their proportions.
pub fn small_map(scene: &mut Scene, layout: &Layout, sheet: usize, place: Rect, colour: Colour) {
    for (index, cell) in cells(layout, place, true).into_iter().enumerate() {
        if index == sheet {
            scene.fill(cell, colour);
        }
        scene.outline(cell, HAIR, colour);
    }
}

/// Where the small map leads: to each other sheet, or to the check page and its larger map if the cells are too small.
pub fn small_map_links(job: &Job, layout: &Layout, sheet: usize, place: Rect) -> Vec<Link> {
    let cells = cells(layout, place, true);
    if layout.setup.paper.press == Press::Home && layout.sheets.len() > FEW {
        let (to, says) = (job.messages.text("check.page", &[]), job.messages.text("link.map", &[]));
        return cells.into_iter().reduce(|a, b| a.union(b)).map(|area| Link { area, to, says }).into_iter().collect();
    }
    let mut links = links(job, layout, &cells);
    if sheet < links.len() {
        links.remove(sheet);
    }
    links
}

/// Draws the map with labels into a box, from its top left, and links each sheet to its page.
pub fn large_map(scene: &mut Scene, job: &Job, layout: &Layout, place: Rect) {
    let height = place.height().min(LARGEST * layout.rows as f64);
    let cells = cells(layout, rect(place.x0, place.y0, place.width(), height), false);
    for (sheet, cell) in layout.sheets.iter().zip(&cells) {
        scene.outline(*cell, HAIR, job.kit.mark_colour);
        let style = Type::regular(LETTERS.min(cell.height() * 0.6)).within(cell.width() - 0.5);
        let at = (cell.center().x, cell.center().y + style.size * 0.36);
        scene.words(&sheet.label, at, style, Anchor::Middle, job.kit.mark_colour);
    }
    scene.links.extend(links(job, layout, &cells));
}

/// The map in words: how many sheets, then which of them lie in each row.
pub fn map_in_words(job: &Job, layout: &Layout) -> String {
    let messages = job.messages;
    let (rows, columns) = (messages.count("map.rows", layout.rows, &[]), messages.count("map.columns", layout.columns, &[]));
    let whole = messages.count("map.description", layout.sheets.len(), &[("rows", &rows), ("columns", &columns)]);
    let row = |row: usize| {
        let labels: Vec<String> =
            layout.sheets.iter().filter(|sheet| sheet.row == row).map(|sheet| sheet.label.clone()).collect();
        (!labels.is_empty()).then(|| messages.text("map.row", &[("sheets", &messages.list(&labels))]))
    };
    [whole].into_iter().chain((0..layout.rows).filter_map(row)).collect::<Vec<_>>().join(" ")
}

fn links(job: &Job, layout: &Layout, cells: &[Rect]) -> Vec<Link> {
    let link = |(sheet, area): (&crate::plan::Sheet, &Rect)| {
        let says = job.messages.text("sheet.label", &[("label", &sheet.label)]);
        Link { area: *area, to: sheet.label.clone(), says }
    };
    layout.sheets.iter().zip(cells).map(link).collect()
}

/// The cells of a map's sheets, as large as fit a box, at its right-hand or left-hand end.
fn cells(layout: &Layout, place: Rect, at_right: bool) -> Vec<Rect> {
    let tile = layout.tile.to_kurbo_mm();
    let (columns, rows) = (layout.columns as f64, layout.rows as f64);
    let scale = (place.width() / (tile.width() * columns)).min(place.height() / (tile.height() * rows));
    let (width, height) = (tile.width() * scale, tile.height() * scale);
    let left = if at_right { place.x1 - width * columns } else { place.x0 };
    let cell = |sheet: &crate::plan::Sheet| {
        rect(left + width * sheet.column as f64, place.y0 + height * sheet.row as f64, width, height)
    };
    layout.sheets.iter().map(cell).collect()
}
