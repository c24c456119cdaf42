//! Wide sheets: the drawing on large paper or a roll, as a PDF and as an SVG with layers that editors show.

use super::edges::running_on;
use super::marks::{assembled_frame, join_marks, neighbour_names, plate, wide_frame, wide_legend};
use super::names::{with_names, with_names_formless};
use super::paper_title;
use super::pdf::{self, Page};
use super::scene::{ScaleMark, Scene};
use super::svg::Svg;
use super::{Forms, Job, Pressed, flat};
use crate::diagnostic::Diagnostic;
use crate::manifest::LONGEST_FILE;
use crate::plan::Layout;
use kurbo::{Rect, Vec2};

/// The PDF of a wide layout: one page a sheet, mostly one in all.
pub fn wide_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    with_names(job, layout, |job| {
        let pages = pages(job, layout);
        let about = job.about(title(job, layout));
        let bytes = pdf::write(&about, &job.layer_names(), job.drawing, job.forms, job.faces, &pages)?;
        Ok(Pressed { bytes, promises: promises(pages) })
    })
}

/// The same for print shops: in greys, without layers, without anything see-through, its words as outlines.
///
/// None for sheets that are too long for the rules that such files keep to.
pub fn wide_flat_pdf(job: &Job, layout: &Layout) -> Result<Option<Pressed>, Diagnostic> {
    if layout.sheet_size.width.max(layout.sheet_size.height) > LONGEST_FILE {
        return Ok(None);
    }
    with_names(job, layout, |job| flat_pdf(job, layout)).map(Some)
}

fn flat_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    let passes = flat::passes(job.drawing);
    let is_flat = |piece: usize| job.drawing.pieces.get(piece).is_some_and(flat::is_flat);
    let (grounds, lines) = (Forms::of(&passes.grounds), job.forms.changed(&passes.lines, |piece| !is_flat(piece)));
    let flat = |page: Page| Page { marks: flat::scene(page.marks, job.faces), ..page };
    let pages: Vec<Page> = pages(job, layout).into_iter().map(flat).collect();
    let bytes = pdf::write_flat(&job.about(title(job, layout)), &grounds, &lines, job.faces, &pages)?;
    Ok(Pressed { bytes, promises: promises(pages) })
}

fn pages(job: &Job, layout: &Layout) -> Vec<Page> {
    (0..layout.sheets.len()).map(|sheet| page(job, layout, sheet)).collect()
}

/// The page of a sheet.
pub(super) fn page(job: &Job, layout: &Layout, sheet: usize) -> Page {
    Page {
        size: layout.sheet_size,
        label: layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default(),
        drawing: running_on(job, layout, sheet),
        marks: marks(job, layout, sheet, wide_frame(job, layout, sheet)),
        extras: job.extras(layout, sheet),
    }
}

/// The lengths that pages promise, each with its page from 1.
fn promises(pages: Vec<Page>) -> Vec<(usize, ScaleMark)> {
    let marks = pages.into_iter().enumerate();
    marks.flat_map(|(index, page)| page.marks.promises.into_iter().map(move |mark| (index + 1, mark))).collect()
}

/// The same as an SVG at true size: the frame in a locked layer beneath the drawing; several sheets lie as assembled.
pub fn wide_svg(job: &Job, layout: &Layout) -> Result<Vec<u8>, Diagnostic> {
    let failed = |error: std::io::Error| error!("bug-svg", error);
    with_names_formless(job, layout, |job| svg(job, layout)).map_err(failed)
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
        let frame = assembled_frame(layout, index, job.kit.mark_colour);
        svg.scene(&marks(job, layout, index, frame), at, job.faces)?;
    }
    svg.close_layer()?;
    svg.open_layer("drawing", &job.messages.text("layer.drawing", &[]), false)?;
    svg.drawing(job.drawing, tile.origin() - layout.origin.to_kurbo_mm())?;
    svg.close_layer()?;
    svg.close()
}

/// The title of a wide layout's files.
pub(super) fn title(job: &Job, layout: &Layout) -> String {
    job.messages
        .text("pdf.title.wide", &[("title", &job.kit.title), ("paper", &paper_title(&layout.setup.paper, job.messages))])
}

/// The frame, and all that lies on the tile.
fn marks(job: &Job, layout: &Layout, sheet: usize, frame: Scene) -> Scene {
    let mut marks = frame;
    marks.add(join_marks(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    marks.add(neighbour_names(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    marks.add(plate(job, layout, sheet), Vec2::ZERO);
    marks.add(wide_legend(job, layout, sheet), Vec2::ZERO);
    marks
}
