//! One sheet alone, for a buyer who spoilt it or did not get it.

use super::names::with_names;
use super::pdf;
use super::{Job, home, wide};
use crate::diagnostic::Diagnostic;
use crate::manifest::Press;
use crate::plan::Layout;

/// One sheet of a layout, as it stands in the file with all of them, with its page label.
pub fn sheet_pdf(job: &Job, layout: &Layout, sheet: usize) -> Result<Vec<u8>, Diagnostic> {
    with_names(job, layout, |job| {
        let (title, page) = match layout.setup.paper.press {
            Press::Home => (home::title(job, layout), home::page(job, layout, sheet)),
            Press::Wide => (wide::title(job, layout), wide::page(job, layout, sheet)),
        };
        let pages = [page];
        pdf::write(&job.about(title), &job.layer_names(), job.drawing, job.forms, job.faces, &pages)
    })
}
