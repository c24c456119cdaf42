//! One sheet alone, for a buyer who spoilt it or did not get it.

use super::names::with_names;
use super::pdf::{self, Page};
use super::{Job, home, wide};
use crate::diagnostic::Diagnostic;
use crate::manifest::Press;
use crate::plan::Layout;

/// One sheet of a layout, as it stands in the file with all of them, with its page label.
pub fn sheet_pdf(job: &Job, layout: &Layout, sheet: usize) -> Result<Vec<u8>, Diagnostic> {
    let (title, page): (String, fn(&Job, &Layout, usize) -> Page) = match layout.setup.paper.press {
        Press::Home => (home::title(job, layout), home::page),
        Press::Wide => (wide::title(job, layout), wide::page),
    };
    with_names(job, layout, |job| {
        let pages = [page(job, layout, sheet)];
        pdf::write(&job.about(title.clone()), &job.layer_names(), job.drawing, job.forms, job.faces, &pages)
    })
}
