//! Wide sheets: the drawing on large paper or a roll, as a PDF and as an SVG with layers that editors show.

use super::marks::{join_marks, plate, wide_frame};
use super::pdf::{self, Page};
use super::scene::Scene;
use super::svg::Svg;
use super::{Job, Pressed, view};
use crate::diagnostic::Diagnostic;
use crate::plan::Layout;
use kurbo::{Rect, Vec2};

/// The PDF of a wide layout: one page a sheet, mostly one in all.
pub fn wide_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    let page = |sheet: usize| Page {
        size: layout.sheet_size,
        label: layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default(),
        drawing: view(layout, sheet),
        marks: marks(job, layout, sheet),
    };
    let pages: Vec<Page> = (0..layout.sheets.len()).map(page).collect();
    let bytes = pdf::write(&job.about(title(job, layout)), &job.layer_names(), job.drawing, job.forms, job.faces, &pages)?;
    let promises = pages
        .into_iter()
        .enumerate()
        .flat_map(|(index, page)| page.marks.promises.into_iter().map(move |mark| (index + 1, mark)));
    Ok(Pressed { bytes, promises: promises.collect() })
}

/// The same as an SVG at true size: the frame in a locked layer beneath the drawing; several sheets lie as assembled.
pub fn wide_svg(job: &Job, layout: &Layout) -> Result<Vec<u8>, Diagnostic> {
    let failed = |error: std::io::Error| Diagnostic::error("bug-svg", format!("the SVG could not be written: {error}"));
    svg(job, layout).map_err(failed)
}

fn svg(job: &Job, layout: &Layout) -> std::io::Result<Vec<u8>> {
    let (tile, sheet) =
        (layout.tile.to_kurbo_mm(), Rect::new(0.0, 0.0, layout.sheet_size.width.to_mm(), layout.sheet_size.height.to_mm()));
    let more = Vec2::new(tile.width() * (layout.columns - 1) as f64, tile.height() * (layout.rows - 1) as f64);
    let language = job.messages.language();
    let mut svg = Svg::open(sheet.width() + more.x, sheet.height() + more.y, &title(job, layout), language)?;
    svg.open_layer("frame", &job.messages.text("layer.marks", &[]), true)?;
    for (index, sheet) in layout.sheets.iter().enumerate() {
        let at = Vec2::new(tile.width() * sheet.column as f64, tile.height() * sheet.row as f64);
        svg.scene(&marks(job, layout, index), at, job.faces)?;
    }
    svg.close_layer()?;
    svg.open_layer("drawing", &job.messages.text("layer.drawing", &[]), false)?;
    svg.drawing(job.drawing, tile.origin() - layout.origin.to_kurbo_mm())?;
    svg.close_layer()?;
    svg.close()
}

fn title(job: &Job, layout: &Layout) -> String {
    job.messages.text("pdf.title.wide", &[("title", &job.kit.title), ("paper", &layout.setup.paper.title)])
}

fn marks(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let colour = job.kit.mark_colour;
    let mut marks = Scene::default();
    marks.add(wide_frame(layout, colour), Vec2::ZERO);
    marks.add(join_marks(layout, sheet, colour), Vec2::ZERO);
    marks.add(plate(job, layout, sheet), Vec2::ZERO);
    marks
}
