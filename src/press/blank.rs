//! Blank sheets as a layered SVG: the empty tiles as they lie when joined, to be filled in with a vector program.

use super::Job;
use super::marks::{join_marks, neighbour_names, plate};
use super::paper_title;
use super::scene::Scene;
use super::svg::Svg;
use crate::diagnostic::Diagnostic;
use crate::drawing::{FRAME_ID, grid_id};
use crate::plan::Layout;
use kurbo::{Rect, Vec2};

/// Width of a tile's outline, in mm.
const OUTLINE: f64 = 0.18;

/// The SVG of a blank layout at true size: a locked layer with the frame, known again when the file comes back as a drawing,
/// and on top of it the kit's own layers, empty.
pub fn blank_svg(job: &Job, layout: &Layout) -> Result<Vec<u8>, Diagnostic> {
    let failed = |error: std::io::Error| error!("bug-svg", error);
    svg(job, layout).map_err(failed)
}

fn svg(job: &Job, layout: &Layout) -> std::io::Result<Vec<u8>> {
    let (messages, colour) = (job.messages, job.kit.mark_colour);
    let areas = layout.sheets.iter().map(|sheet| sheet.area.to_kurbo_mm());
    let all = areas.clone().fold(Rect::ZERO, |all, area| all.union(area));
    let title =
        messages.text("pdf.title.blank", &[("title", &job.kit.title), ("paper", &paper_title(&layout.setup.paper, messages))]);
    let mut svg = Svg::open(all.width(), all.height(), &title, messages.language())?;
    svg.open_layer(FRAME_ID, FRAME_ID, true)?;
    let grid = grid_id(&layout.setup.paper.id, layout.facts.lying, layout.rows, layout.columns);
    svg.outline(&grid, all, OUTLINE, colour)?;
    for (index, area) in areas.enumerate() {
        svg.scene(&tile(job, layout, index), area.origin() - layout.tile.to_kurbo_mm().origin(), job.faces)?;
    }
    svg.close_layer()?;
    svg.open_layer("drawing", &messages.text("layer.drawing", &[]), false)?;
    for (index, layer) in job.drawing.layers.iter().enumerate() {
        svg.open_layer(&format!("layer-{index}"), &layer.name, false)?;
        svg.close_layer()?;
    }
    svg.close_layer()?;
    svg.close()
}

/// What lies on a tile, in its sheet's mm; words for the border would lie on the neighbours.
fn tile(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let colour = job.kit.mark_colour;
    let mut scene = Scene::default();
    scene.outline(layout.tile.to_kurbo_mm(), OUTLINE, colour);
    scene.add(join_marks(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    scene.add(neighbour_names(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    scene.add(plate(job, layout, sheet), Vec2::ZERO);
    scene
}
