//! Home sheets: one PDF a paper, the check page first, then one page a used sheet.

use super::marks::{check_page, frame, join_marks, long_checks, plate};
use super::pdf::{self, Page};
use super::scene::Scene;
use super::{Job, Pressed, view};
use crate::diagnostic::Diagnostic;
use crate::plan::Layout;
use kurbo::Vec2;
use rayon::prelude::*;

/// The tiled PDF of a home layout.
pub fn home_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    let check = Page {
        size: layout.sheet_size,
        label: job.messages.text("check.page", &[]),
        drawing: None,
        marks: check_page(job, layout),
    };
    let sheets: Vec<Page> = (0..layout.sheets.len()).into_par_iter().map(|sheet| page(job, layout, sheet)).collect();
    let pages: Vec<Page> = [check].into_iter().chain(sheets).collect();
    let title = job.messages.text("pdf.title.home", &[("title", &job.kit.title), ("paper", &layout.setup.paper.title)]);
    let bytes = pdf::write(&job.about(title), &job.layer_names(), job.drawing, job.forms, job.faces, &pages)?;
    let promises = pages
        .into_iter()
        .enumerate()
        .flat_map(|(index, page)| page.marks.promises.into_iter().map(move |mark| (index + 1, mark)));
    Ok(Pressed { bytes, promises: promises.collect() })
}

fn page(job: &Job, layout: &Layout, sheet: usize) -> Page {
    let colour = job.kit.mark_colour;
    let mut marks = Scene::default();
    marks.add(frame(layout, sheet, &border_note(job, layout, sheet), colour), Vec2::ZERO);
    marks.add(join_marks(layout, sheet, colour), Vec2::ZERO);
    marks.add(plate(job, layout, sheet), Vec2::ZERO);
    marks.add(long_checks(job, layout, sheet), Vec2::ZERO);
    let label = layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
    Page { size: layout.sheet_size, label, drawing: view(layout, sheet), marks }
}

/// What is said in the border, where it is trimmed away.
fn border_note(job: &Job, layout: &Layout, sheet: usize) -> String {
    let (n, total) = ((sheet + 1).to_string(), layout.sheets.len().to_string());
    let edition = job.messages.text("sheet.edition", &[("edition", &job.kit.edition.to_string())]);
    let count = job.messages.text("sheet.count", &[("n", &n), ("total", &total)]);
    let paper = job.messages.text("sheet.paper", &[("paper", &layout.setup.paper.title)]);
    let trim = job.messages.text("sheet.trim", &[]);
    job.messages.line(&[&job.kit.title, &edition, &count, &paper, &trim])
}
