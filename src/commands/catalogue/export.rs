//! `catalogue export`: the texts of a language as XLIFF 2.1.

use super::super::args;
use super::super::languages::catalogue;
use super::super::outputs::{FileRecord, VERSION};
use super::super::screen::{Screen, records};
use super::{language, texts};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files;
use crate::translation::{Header, kit_texts, update, xliff};

/// Writes one language; the kit's own catalogue stays as it is.
pub(super) fn run(wish: &args::CatalogueExport, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (texts, mut findings) = match texts(&wish.kit, screen) {
        Ok(read) => read,
        Err(findings) => return Ok(findings),
    };
    let language = language(&texts, wish.language.as_ref())?;
    let file = wish.out.display().to_string();
    if wish.out.exists() {
        return Err(error!("cannot-write/there", file).at(Place::file(file)));
    }
    let kit = &texts.kit;
    let Some(old) = catalogue(&texts.folder, &language, &mut findings) else {
        super::refuse(screen, &findings);
        return Ok(findings);
    };
    let entries = update(&kit_texts(kit, &language), &old, &Header::of(kit, &language), kit.date).entries;
    let text = xliff::written(&entries, &kit.source_language, &language, &format!("{} {}", kit.name, kit.edition));
    files::write_new(&wish.out, text.as_bytes())?;
    if screen.for_machines() {
        screen.record(&FileRecord { version: VERSION, file, bytes: text.len(), findings: records(&findings) });
    } else {
        screen.data(&format!("{file}\n"));
    }
    screen.findings(&findings);
    Ok(findings)
}
