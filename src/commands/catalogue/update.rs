//! `catalogue update`: writes the catalogues of a kit, or brings them up to what the kit says now.

use super::super::args;
use super::super::languages::{catalogue, file_name};
use super::super::outputs::{CatalogueRecord, CataloguesRecord, VERSION};
use super::super::screen::{Screen, records};
use super::{languages, texts};
use crate::catalogue::po;
use crate::diagnostic::{Diagnostic, Findings, counted};
use crate::files;
use crate::translation::{Header, Tally, kit_texts, update};

/// Updates the catalogue of each language; a broken one is left as it is.
pub(super) fn run(wish: &args::CatalogueUpdate, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (texts, mut findings) = match texts(&wish.kit, screen) {
        Ok(read) => read,
        Err(findings) => return Ok(findings),
    };
    let mut done = Vec::new();
    for language in languages(&texts, &wish.language)? {
        let Some(old) = catalogue(&texts.folder, &language, &mut findings) else { continue };
        let header = Header::of(&texts.kit, &language);
        let update = update(&kit_texts(&texts.kit, &language), &old, &header, texts.kit.date);
        let path = texts.folder.join(file_name(&language));
        files::create_folder(&texts.folder.join("languages"))?;
        files::replace(&path, po::written(&update.entries).as_bytes())?;
        screen.say(&format!("{}: {}", path.display(), told(update.tally)));
        done.push(CatalogueRecord::of(path.display().to_string(), language, update.tally));
    }
    if screen.for_machines() {
        screen.record(&CataloguesRecord { version: VERSION, catalogues: done, findings: records(&findings) });
    } else {
        done.iter().for_each(|record| screen.data(&format!("{}\n", record.file)));
    }
    screen.findings(&findings);
    Ok(findings)
}

/// What was done, in words.
fn told(tally: Tally) -> String {
    let Tally { kept, added, changed, dropped } = tally;
    let parts = [(added, "new"), (changed, words!("changed-to-be-looked")), (dropped, words!("put-aside"))];
    let parts = parts.into_iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!("{count} {what}"));
    let parts: Vec<String> = std::iter::once(counted(kept + added + changed, "text")).chain(parts).collect();
    parts.join(", ")
}
