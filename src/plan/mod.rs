//! The plan: which tile of the drawing goes on which sheet; pure geometry, no file format, no words, no colour.

mod axis;
mod free;
mod grid;
mod ink;
mod joins;
mod label;
mod layout;
mod plates;
mod raster;
mod search;
mod used;

pub use label::sheet_label;
pub use layout::{Join, JoinMark, Layout, Plate, PlateForm, Sheet, SizeSheets};
pub use plates::plate_size;

use crate::diagnostic::{Diagnostic, Findings, counted};
use crate::drawing::{Drawing, Role};
use crate::manifest::{Kit, PaperSetup, Press};
use crate::units::{Length, Point, Rect};
use free::FreeMap;
use grid::Grid;
use ink::Ink;
use rayon::prelude::*;
use used::Touch;

/// One layout for each paper of the kit, in the manifest's order, with what is to be said about them.
///
/// A drawing without ink gives no layouts; `drawing` has already said why.
pub fn layouts(kit: &Kit, drawing: &Drawing) -> (Vec<Layout>, Findings) {
    let mut findings = Findings::new();
    let ink = Ink::of(drawing);
    let Some(bounds) = ink.bounds() else { return (Vec::new(), findings) };
    let layouts: Vec<Layout> = kit.papers.par_iter().filter_map(|setup| layout(setup, kit, drawing, &ink, bounds)).collect();
    for (index, layout) in layouts.iter().enumerate() {
        let place = kit.places.of_path(&format!("papers[{index}]"));
        findings.extend(remarks(layout).into_iter().map(|finding| finding.at(place.clone())));
    }
    (layouts, findings)
}

fn layout(setup: &PaperSetup, kit: &Kit, drawing: &Drawing, ink: &Ink, bounds: Rect) -> Option<Layout> {
    let grid = grid::place(setup, ink, bounds, &groups(kit, drawing))?;
    let touch = used::touch(ink, &grid);
    let mut sheets = sheets(&grid, &touch, drawing, kit.sizes.len());
    let mut free = FreeMap::of(ink, grid.extent());
    let joins = joins::joins(&grid, &sheets, &mut free);
    plates::set(&mut sheets, &grid, &mut free);
    Some(Layout {
        setup: setup.clone(),
        sheet_size: grid.sheet_size,
        printable: grid.printable,
        tile: grid.tile,
        origin: grid.origin,
        rows: grid.rows,
        columns: grid.columns,
        sizes: size_sheets(kit, drawing, &sheets),
        sheets,
        joins,
    })
}

/// For every size the pieces that its buyers need: its own and those of base layers.
fn groups(kit: &Kit, drawing: &Drawing) -> Vec<Vec<bool>> {
    let needed = |size: usize, piece: usize| {
        matches!(role(drawing, piece), Some(Role::Base)) || role(drawing, piece) == Some(Role::Size(size))
    };
    (0..kit.sizes.len()).map(|size| (0..drawing.pieces.len()).map(|piece| needed(size, piece)).collect()).collect()
}

/// The tiles that ink lies on, row by row.
fn sheets(grid: &Grid, touch: &Touch, drawing: &Drawing, size_count: usize) -> Vec<Sheet> {
    let cells = (0..grid.rows).flat_map(|row| (0..grid.columns).map(move |column| (row, column)));
    let sheet = |(row, column)| {
        let pieces = touch.pieces_on(row, column);
        let on_sheet = |size: &usize| pieces.iter().any(|&piece| role(drawing, piece) == Some(Role::Size(*size)));
        let sizes = (0..size_count).filter(on_sheet).collect();
        let (label, area, plate) = (sheet_label(row, column), grid.area(row, column), plates::unset());
        (!pieces.is_empty()).then_some(Sheet { row, column, label, area, pieces, sizes, plate })
    };
    cells.filter_map(sheet).collect()
}

fn role(drawing: &Drawing, piece: usize) -> Option<Role> {
    drawing.pieces.get(piece).and_then(|piece| drawing.layers.get(piece.layer)).map(|layer| layer.role)
}

/// For every size the sheets with its own or with base ink; a one-size kit has one nameless entry with all of them.
fn size_sheets(kit: &Kit, drawing: &Drawing, sheets: &[Sheet]) -> Vec<SizeSheets> {
    let has_base = |sheet: &Sheet| sheet.pieces.iter().any(|&piece| role(drawing, piece) == Some(Role::Base));
    let needs = |size: usize, sheet: &Sheet| sheet.sizes.contains(&size) || has_base(sheet);
    let all = || SizeSheets { name: String::new(), sheets: (0..sheets.len()).collect() };
    let one = |(size, layer): (usize, &crate::manifest::SizeLayer)| {
        let sheets = sheets.iter().enumerate().filter(|(_, sheet)| needs(size, sheet)).map(|(index, _)| index).collect();
        SizeSheets { name: layer.name.clone(), sheets }
    };
    if kit.sizes.is_empty() { vec![all()] } else { kit.sizes.iter().enumerate().map(one).collect() }
}

/// What a publisher should know about a layout.
fn remarks(layout: &Layout) -> Vec<Diagnostic> {
    let title = &layout.setup.paper.title;
    let mut remarks = Vec::new();
    let crowded: Vec<&str> = layout.sheets.iter().filter(|s| s.plate.over_ink).map(|s| s.label.as_str()).collect();
    if !crowded.is_empty() {
        let message = format!("on {title} paper the label of sheet {} stands over lines", crowded.join(", "));
        remarks.push(Diagnostic::warning("plate-over-ink", message).hint("leave about 6 × 2 cm free on each sheet if you can"));
    }
    if layout.setup.paper.press == Press::Wide && layout.sheets.len() > 1 {
        let message =
            format!("the drawing does not fit on {title} in one piece: it takes {}", counted(layout.sheets.len(), "part"));
        remarks
            .push(Diagnostic::warning("wide-in-parts", message).hint("name a wider paper or a roll to have it in one piece"));
    }
    remarks
}

/// Where a point of the drawing lies in kurbo's millimetres; shared by the steps of the plan.
fn mm(x: f64, y: f64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}
