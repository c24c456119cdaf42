//! The plan: which tile of the drawing goes on which sheet; pure geometry, no file format, no words, no colour.

mod axis;
mod bare;
mod bitmap;
mod blank;
mod budget;
mod chosen;
mod clip;
mod coverage;
mod edge;
mod free;
mod grid;
mod ink;
mod joins;
mod label;
mod layout;
mod legends;
mod lines;
mod long_checks;
mod parts;
mod pen;
mod plates;
mod raster;
mod remarks;
mod ring;
mod room;
mod search;
#[cfg(test)]
pub(crate) mod tests;
mod used;

pub use bare::bare_sheets;
pub use blank::blank_layouts;
pub use label::sheet_label;
pub use layout::{Budget, Facts, Join, JoinMark, Layout, Legend, LongCheck, Plate, PlateForm, Sheet, SizeSheets};
pub use plates::plate_size;

use crate::diagnostic::Findings;
use crate::drawing::{Drawing, Role};
use crate::manifest::{Kit, PaperSetup};
use crate::printers::Printers;
use crate::units::{Length, Point};
use coverage::Coverage;
use free::{Free, FreeMap};
use grid::{Found, Grid, Ground, Tiles};
use ink::Ink;
use rayon::prelude::*;
use used::Touch;

/// Ink thinner than this hardly shows, in mm.
const SLIVER_MM: f64 = 0.2;

/// Ink that reaches less far than this over a line, in mm, is rounding noise: a nanometre.
const NOISE_MM: f64 = 1e-6;

/// One layout for each paper of the kit, in the manifest's order, with what is to be said about them.
///
/// A drawing without ink gives no layouts; `drawing` has already said why.
pub fn layouts(kit: &Kit, drawing: &Drawing) -> (Vec<Layout>, Findings) {
    planned(kit, drawing, false)
}

/// The same with how much of each sheet's paper the ink covers: what few commands tell, no other need wait for.
pub fn covered_layouts(kit: &Kit, drawing: &Drawing) -> (Vec<Layout>, Findings) {
    planned(kit, drawing, true)
}

fn planned(kit: &Kit, drawing: &Drawing, covered: bool) -> (Vec<Layout>, Findings) {
    let mut findings = Findings::new();
    let ink = Ink::of(drawing);
    let Some(bounds) = ink.bounds() else { return (Vec::new(), findings) };
    let (ground, free) = (Ground { ink: &ink, bounds, groups: &groups(kit, drawing) }, FreeMap::of(&ink, bounds));
    let task = Task { kit, drawing, ground, free: &free, shared: grid::shared(kit, ground) };
    let layouts: Vec<Option<Layout>> = kit.papers.par_iter().map(|setup| task.layout(setup)).collect();
    for (index, (setup, layout)) in kit.papers.iter().zip(&layouts).enumerate() {
        let place = kit.places.of_path(&format!("papers[{index}]"));
        let remarks = layout.as_ref().map_or_else(|| vec![remarks::no_tile(setup)], remarks::remarks);
        findings.extend(remarks.into_iter().map(|finding| finding.at(place.clone())));
    }
    let mut layouts: Vec<Layout> = layouts.into_iter().flatten().collect();
    if covered {
        cover(&mut layouts, &Coverage::of(&ink, bounds));
    }
    (layouts, findings)
}

/// Puts in how much of each sheet's paper the ink covers.
fn cover(layouts: &mut [Layout], coverage: &Coverage) {
    for Layout { sheet_size, sheets, facts, .. } in layouts {
        let paper = sheet_size.width.to_mm() * sheet_size.height.to_mm();
        facts.coverage = sheets.par_iter().map(|sheet| coverage.ink_in(sheet.area) / paper).collect();
    }
}

/// A grid with its sheets and their marks.
struct Filled<'a> {
    grid: Grid,
    sheets: Vec<Sheet>,
    joins: Vec<Join>,
    free: Free<'a>,
    slivers: Vec<usize>,
    /// Marks over ink and sheets with next to none.
    crowded: usize,
}

impl Filled<'_> {
    /// Counts the sheets without a free place for a label too.
    fn weighed(mut self) -> Self {
        let tile = self.grid.tile.size();
        self.crowded += self.sheets.par_iter().filter(|sheet| !plates::fits(sheet.area, &self.free, tile)).count();
        self
    }

    /// Finds places for the labels.
    fn labelled(mut self) -> Self {
        let plates = plates::set(&mut self.sheets, &self.grid, &self.free);
        self.free.take(plates);
        self
    }
}

/// Everything that the layouts of a kit are planned from.
struct Task<'a> {
    kit: &'a Kit,
    drawing: &'a Drawing,
    ground: Ground<'a>,
    free: &'a FreeMap,
    /// What was found for tiles that home papers share.
    shared: Vec<Found>,
}

impl Task<'_> {
    /// A drawing in one piece needs no glue edge; paper that is too narrow for one goes without.
    fn layout(&self, setup: &PaperSetup) -> Option<Layout> {
        let bare = self.laid(setup)?;
        let edged = parts::edged(self.kit, setup).filter(|_| bare.sheets.len() > 1);
        edged.and_then(|edged| self.laid(&edged)).or(Some(bare))
    }

    /// The layout on paper as it is.
    fn laid(&self, setup: &PaperSetup) -> Option<Layout> {
        let (kit, drawing) = (self.kit, self.drawing);
        let grids = self.place(setup, Tiles::of(kit, setup));
        let filled = self.clearest(&grids)?;
        let Filled { grid, sheets, joins, mut free, slivers, .. } = filled;
        let long_checks = long_checks::find(&sheets, grid.tile.size(), &mut free);
        let legends = legends::find(setup, &sheets, &grid, &free, kit.sizes.len());
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
            facts: Facts { slivers, long_checks, legends, ..self.facts(setup, &grid) },
        })
    }

    /// Pinned where the manifest says so, else the best placements.
    fn place(&self, setup: &PaperSetup, tiles: Tiles) -> Vec<Grid> {
        match setup.pin {
            Some(pin) => grid::pinned(setup, tiles, self.ground.bounds, pin).into_iter().collect(),
            None => grid::place(setup, tiles, self.ground, &self.shared),
        }
    }

    /// The first grid on which no mark stands over ink; if there is none, the one with the fewest that do.
    fn clearest(&self, grids: &[Grid]) -> Option<Filled<'_>> {
        let mut best: Option<Filled> = None;
        for marked in grids.iter().map(|grid| self.marked(*grid)) {
            if best.as_ref().is_some_and(|best| best.crowded <= marked.crowded) {
                continue;
            }
            let filled = marked.weighed();
            if best.as_ref().is_none_or(|best| filled.crowded < best.crowded) {
                best = Some(filled);
            }
            if best.as_ref().is_some_and(|best| best.crowded == 0) {
                break;
            }
        }
        best.map(Filled::labelled)
    }

    /// Finds the used sheets of a grid and places for the marks on their joins.
    fn marked(&self, grid: Grid) -> Filled<'_> {
        let mut free = Free::of(self.free);
        let touch = used::touch(self.ground.ink, &grid);
        let sheets = sheets(&grid, &touch, self.drawing, self.kit.sizes.len());
        let joins = joins::joins(&grid, &sheets, &mut free);
        let thin = |sheet: &Sheet| touch.thickness(sheet.row, sheet.column) < SLIVER_MM;
        let slivers: Vec<usize> = sheets.iter().enumerate().filter(|(_, sheet)| thin(sheet)).map(|(index, _)| index).collect();
        let crowded = joins.iter().flat_map(|join| &join.marks).filter(|mark| mark.over_ink).count() + slivers.len();
        Filled { grid, sheets, joins, free, slivers, crowded }
    }

    fn facts(&self, setup: &PaperSetup, grid: &Grid) -> Facts {
        let count = |grid: Grid| used::touch(self.ground.ink, &grid).used();
        let best = |tiles: Tiles| grid::fewest(setup, tiles, self.ground);
        let tiles = Tiles::of(self.kit, setup);
        Facts {
            lying: grid.lying,
            centred_sheets: grid::centred(setup, tiles, self.ground.bounds).map(count).unwrap_or_default(),
            unpinned_sheets: setup.pin.and_then(|_| best(tiles)),
            own_sheets: (tiles != Tiles::Own).then(|| best(Tiles::Own)).flatten(),
            share: Printers::known().share_of_rect(&setup.paper.id, grid.sheet_size, grid.tile),
            budget: budget::budget(grid.rows, grid.columns, self.kit.join_error),
            blocks: budget::blocks(grid.columns),
            ..Facts::default()
        }
    }
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

/// Where a point of the drawing lies in kurbo's millimetres; shared by the steps of the plan.
fn mm(x: f64, y: f64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}
