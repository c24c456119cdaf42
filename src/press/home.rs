//! Home sheets: one PDF a paper, the check page first, then one page a used sheet.

use super::edges::running_on;
use super::marks::{check_page, frame, join_marks, long_checks, map_in_words, neighbour_names, plate};
use super::names::with_names;
use super::paper_title;
use super::pdf::{self, Extras, Page};
use super::{Job, Pressed};
use crate::diagnostic::Diagnostic;
use crate::plan::Layout;
use kurbo::Vec2;
use rayon::prelude::*;

/// The tiled PDF of a home layout.
pub fn home_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    let all: Vec<usize> = (0..layout.sheets.len()).collect();
    some_sheets_pdf(job, layout, &all)
}

/// The check page and some sheets (by their indices) of a home layout, as they stand in the file with all of them.
pub fn some_sheets_pdf(job: &Job, layout: &Layout, sheets: &[usize]) -> Result<Pressed, Diagnostic> {
    with_names(job, layout, |job| file(job, layout, sheets))
}

fn file(job: &Job, layout: &Layout, sheets: &[usize]) -> Result<Pressed, Diagnostic> {
    let check = check(job, layout);
    let sheets: Vec<Page> = sheets.par_iter().map(|sheet| page(job, layout, *sheet)).collect();
    let pages: Vec<Page> = [check].into_iter().chain(sheets).collect();
    let bytes = pdf::write(&job.about(title(job, layout)), &job.layer_names(), job.drawing, job.forms, job.faces, &pages)?;
    let promises = pages
        .into_iter()
        .enumerate()
        .flat_map(|(index, page)| page.marks.promises.into_iter().map(move |mark| (index + 1, mark)));
    Ok(Pressed { bytes, promises: promises.collect() })
}

/// The title of a home layout's files.
pub(super) fn title(job: &Job, layout: &Layout) -> String {
    job.messages
        .text("pdf.title.home", &[("title", &job.kit.title), ("paper", &paper_title(&layout.setup.paper, job.messages))])
}

/// The check page.
pub(super) fn check(job: &Job, layout: &Layout) -> Page {
    Page {
        size: layout.sheet_size,
        label: job.messages.text("check.page", &[]),
        drawing: None,
        marks: check_page(job, layout),
        extras: check_extras(job, layout),
    }
}

/// The page of a sheet.
pub(super) fn page(job: &Job, layout: &Layout, sheet: usize) -> Page {
    let mut marks = frame(job, layout, sheet);
    marks.add(join_marks(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    marks.add(neighbour_names(job.faces, layout, sheet, job.kit.mark_colour), Vec2::ZERO);
    marks.add(plate(job, layout, sheet), Vec2::ZERO);
    marks.add(long_checks(job, layout, sheet), Vec2::ZERO);
    let label = layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
    Page { size: layout.sheet_size, label, drawing: running_on(job, layout, sheet), marks, extras: job.extras(layout, sheet) }
}

/// Bookmark and description of the check page: what is drawn on it, and the map in words.
fn check_extras(job: &Job, layout: &Layout) -> Extras {
    let alt = format!("{} {}", job.messages.text("check.alt", &[]), map_in_words(job, layout));
    Extras { title: job.messages.text("check.title", &[]), alt, ..Extras::default() }
}
