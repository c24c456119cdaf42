//! What an edition corrects of an earlier one: found in the pressed sheets, told in the guide, and pressed once more alone.

use super::build::printed;
use super::kit::Loaded;
use super::make::{Made, Tongue, tongues};
use crate::diagnostic::Diagnostic;
use crate::guide::FileKind;
use crate::manifest::{Corrections, Kit, Reprint};
use crate::package::{self, Entry, Names};
use crate::press::{self, Forms, Job};
use crate::verify::{Changes, Opened, PaperChange};

/// The kit with what it corrects.
pub(super) fn corrected(loaded: &Loaded, old: &Opened, made: &[Made]) -> Result<Loaded, Diagnostic> {
    let changes = Changes::between(old, &opened(loaded, made)?);
    let papers = changes.papers.both.iter().filter(|paper| paper.main).map(reprint).collect();
    let corrections = Some(Corrections { edition: changes.old.1, papers });
    Ok(Loaded { kit: Kit { corrections, ..loaded.kit.clone() }, ..loaded.clone() })
}

/// The sheets with what they promise, as far as a comparison needs it.
pub(super) fn opened(loaded: &Loaded, made: &[Made]) -> Result<Opened, Diagnostic> {
    let promises = package::promises(&loaded.kit, &[], &loaded.drawing, &printed(&mut made.to_vec(), loaded)?);
    let sheets = made.iter().map(|made| (made.entry.name.clone(), made.entry.bytes.clone()));
    let files = sheets.chain([(Names::PROMISES.to_owned(), promises.into_bytes())]).collect();
    Opened::files(&Names::of(&loaded.kit).package(), files)
}

/// What is to be printed anew of a paper.
pub(super) fn reprint(paper: &PaperChange) -> Reprint {
    let sheets = paper.changed();
    let pages = paper.sheets.iter().filter(|sheet| sheets.contains(&sheet.label)).map(|sheet| sheet.page).collect();
    Reprint { paper: paper.paper.clone(), all: !paper.same_grid, sheets, pages, file: paper.file.clone() }
}

/// For each home paper with some corrected sheets a file with these alone, in every language that has sheets of its own.
pub(super) fn pressed(loaded: &Loaded, languages: &[String]) -> Result<Vec<Made>, Diagnostic> {
    let Some(corrections) = &loaded.kit.corrections else { return Ok(Vec::new()) };
    let some = corrections.papers.iter().filter(|reprint| !reprint.all && !reprint.sheets.is_empty());
    let tongues = tongues(loaded, languages)?;
    some.flat_map(|reprint| tongues.iter().filter_map(move |tongue| file(loaded, tongue, reprint).transpose())).collect()
}

fn file(loaded: &Loaded, tongue: &Tongue, reprint: &Reprint) -> Result<Option<Made>, Diagnostic> {
    let Loaded { kit, layouts, logo, faces, .. } = loaded;
    let Some(layout) = layouts.iter().find(|layout| layout.setup.paper.id == reprint.paper) else { return Ok(None) };
    let Tongue { drawing, messages, others, .. } = tongue;
    let (forms, ground) = (Forms::of(drawing), loaded.ground());
    let job = Job { kit, drawing, ground, forms: &forms, messages, others, faces, logo: logo.as_ref() };
    let corrected = |index: &usize| layout.sheets.get(*index).is_some_and(|sheet| reprint.sheets.contains(&sheet.label));
    let sheets: Vec<usize> = (0..layout.sheets.len()).filter(corrected).collect();
    let pressed = press::some_sheets_pdf(&job, layout, &sheets)?;
    let entry = Entry::new(Names::of(kit).corrections(&reprint.paper), pressed.bytes);
    let kind = FileKind::Corrections { paper: reprint.paper.clone(), sheets: sheets.len() };
    let made = Made { layout: layout.for_sheets(&sheets), entry, kind, language: None, promises: Some(pressed.promises) };
    Ok(Some(made.spoken(tongue.own)))
}
