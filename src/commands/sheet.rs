//! `sheet`: one page of a paper's file alone, for a sheet that was spoilt or lost.

use super::args;
use super::build::known;
use super::check::refuse;
use super::kit::{Loaded, load};
use super::outputs::{SheetFileRecord, VERSION};
use super::screen::{Screen, records};
use super::size_files;
use crate::diagnostic::{Diagnostic, Findings, Place, nearest, or_list};
use crate::files;
use crate::manifest::Press;
use crate::plan::Layout;
use crate::press::{self, Forms, Job};

/// Makes one page.
pub(super) fn run(wish: &args::Sheet, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    let alone = match &wish.size {
        Some(size) => findings.take(size_files::alone(loaded, size)),
        None => Some(loaded),
    };
    let Some(loaded) = alone else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    let chosen = layout(&loaded.layouts, wish.paper.as_ref(), &mut findings)
        .and_then(|layout| Some((layout, findings.take(sheet(layout, &wish.label))?)));
    let Some((layout, sheet)) = chosen else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    // What the whole kit has to be warned of is told by `check` and `build`.
    if wish.out.exists() {
        let shown = wish.out.display().to_string();
        return Err(error!("cannot-write/there", file = shown).at(Place::file(shown)));
    }
    let messages = loaded.source()?.clone();
    let forms = Forms::of(&loaded.drawing);
    let Loaded { kit, drawing, faces, logo, .. } = &loaded;
    let ground = loaded.ground();
    let job = Job { kit, drawing, ground, forms: &forms, messages: &messages, others: &[], faces, logo: logo.as_ref() };
    let bytes = press::sheet_pdf(&job, layout, sheet)?;
    files::write_new(&wish.out, &bytes)?;
    tell(wish, layout, sheet, bytes.len(), &findings, screen);
    Ok(findings)
}

/// The layout for the wished paper; without a wish the only home paper, or the only paper at all.
fn layout<'a>(layouts: &'a [Layout], paper: Option<&String>, findings: &mut Findings) -> Option<&'a Layout> {
    let ids = |layouts: &[&Layout]| layouts.iter().map(|layout| layout.setup.paper.id.clone()).collect::<Vec<_>>();
    let all: Vec<&Layout> = layouts.iter().collect();
    if let Some(wished) = paper {
        known("paper", std::slice::from_ref(wished), &ids(&all), findings);
        return all.into_iter().find(|layout| layout.setup.paper.id == *wished);
    }
    let homes: Vec<&Layout> = all.iter().copied().filter(|layout| layout.setup.paper.press == Press::Home).collect();
    let (choice, what) = if homes.is_empty() { (all, "papers") } else { (homes, "home papers") };
    if let [only] = choice.as_slice() {
        return Some(only);
    }
    findings.push(error!("argument-bad/several", what, choices = or_list(ids(&choice))));
    None
}

/// The sheet with a label, in capitals or not.
fn sheet(layout: &Layout, label: &str) -> Result<usize, Diagnostic> {
    let wished = label.trim().to_uppercase();
    let found = layout.sheets.iter().position(|sheet| sheet.label == wished);
    found.ok_or_else(|| {
        let labels = || layout.sheets.iter().map(|sheet| sheet.label.as_str());
        let title = &layout.setup.paper.title;
        let guess = nearest(&wished, labels()).map(|near| say!("write-near", near));
        guess.into_iter().fold(error!("argument-bad/sheet", label, title, choices = or_list(labels())), Diagnostic::hint)
    })
}

fn tell(wish: &args::Sheet, layout: &Layout, sheet: usize, bytes: usize, findings: &Findings, screen: &Screen) {
    let file = wish.out.display().to_string();
    let label = layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
    let paper = layout.setup.paper.id.clone();
    if screen.for_machines() {
        let page = layout.page_of(sheet);
        let findings = records(findings);
        screen.record(&SheetFileRecord { version: VERSION, file, paper, label, page, bytes, findings });
    } else {
        screen.data(&format!("{file}\n"));
        screen.say(&say!("written-sheet", label, title = layout.setup.paper.title, kilobytes = bytes.div_ceil(1000)));
    }
}
