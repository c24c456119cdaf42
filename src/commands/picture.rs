//! `picture`: PNG pictures of the whole drawing and of a sheet, for a shop's page.

use super::args;
use super::check::refuse;
use super::kit::{Loaded, load};
use super::outputs::{PictureRecord, VERSION};
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings};
use crate::files;
use crate::manifest::Press;
use crate::package::Names;
use crate::plan::Layout;
use crate::press::{self, Forms, Job};

/// Draws the pictures; those of an earlier run are replaced.
pub(super) fn run(wish: &args::Picture, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, findings) = load(&wish.kit, wish.fonts.as_deref());
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    screen.findings(&findings);
    let folder = wish.out.clone().unwrap_or_else(|| loaded.folder.join("out"));
    files::create_folder(&folder)?;
    let mut names = Vec::new();
    for (name, bytes) in pictures(&loaded, wish.size)? {
        let path = folder.join(&name);
        files::replace(&path, &bytes)?;
        names.push(path.display().to_string());
    }
    if screen.for_machines() {
        screen.record(&PictureRecord { version: VERSION, files: names, findings: records(&findings) });
    } else {
        names.iter().for_each(|name| screen.data(&format!("{name}\n")));
    }
    Ok(findings)
}

/// The pictures with their names: the whole drawing, and the fullest sheet of the first home paper, if there is one.
fn pictures(loaded: &Loaded, size: u32) -> Result<Vec<(String, Vec<u8>)>, Diagnostic> {
    let Loaded { kit, drawing, layouts, logo, faces, .. } = loaded;
    let messages = loaded.source()?.clone();
    // Forms are for PDFs; a picture needs none.
    let forms = Forms::none();
    let ground = loaded.ground();
    let job = Job { kit, drawing, ground, forms: &forms, messages: &messages, others: &[], faces, logo: logo.as_ref() };
    let names = Names::of(kit);
    let mut pictures = vec![(names.picture("whole"), press::whole_picture(&job, size)?)];
    let home = layouts.iter().find(|layout| layout.setup.paper.press == Press::Home);
    if let Some((layout, sheet)) = home.and_then(|layout| Some((layout, fullest(layout)?))) {
        let label = layout.sheets.get(sheet).map(|sheet| sheet.label.to_lowercase()).unwrap_or_default();
        let what = format!("{}-sheet-{label}", layout.setup.paper.id);
        pictures.push((names.picture(&what), press::sheet_picture(&job, layout, sheet, size)?));
    }
    Ok(pictures)
}

/// The sheet with the most pieces of the drawing; the first of several.
fn fullest(layout: &Layout) -> Option<usize> {
    let counts = layout.sheets.iter().map(|sheet| sheet.pieces.len()).enumerate();
    counts.reduce(|best, next| if next.1 > best.1 { next } else { best }).map(|(index, _)| index)
}
