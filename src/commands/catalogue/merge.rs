//! `catalogue merge`: takes a translator's file back into the kit.

use super::super::args;
use super::super::languages::{catalogue, entries, file_name};
use super::super::outputs::{MergeRecord, VERSION};
use super::super::screen::{Screen, records};
use super::{language, texts};
use crate::catalogue::po;
use crate::diagnostic::{Diagnostic, Findings, counted};
use crate::files;
use crate::translation::{Header, Received, kit_texts, receive, update};
use std::path::{Path, PathBuf};

/// Merges one returned file. If it replaces translations, the kit's earlier file is kept beside the new one.
pub(super) fn run(wish: &args::CatalogueMerge, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (texts, mut findings) = match texts(&wish.kit, screen) {
        Ok(read) => read,
        Err(findings) => return Ok(findings),
    };
    let shown = wish.file.display().to_string();
    let returned = entries(&wish.file, &shown, &mut findings);
    let says = returned.as_deref().map(Header::read).map(|header| header.language).filter(|language| !language.is_empty());
    let language = language(&texts, wish.language.as_ref().or(says.as_ref()))?;
    let old = catalogue(&texts.folder, &language, &mut findings);
    let (Some(returned), Some(old)) = (returned, old) else {
        super::refuse(screen, &findings);
        return Ok(findings);
    };
    let wanted = kit_texts(&texts.kit, &language);
    let mut header = Header::of(&texts.kit, &language);
    let ours = update(&wanted, &old, &header, texts.kit.date);
    if wish.any_edition {
        header.edition = Header::read(&returned).edition;
    }
    let received = receive(&wanted, &ours.entries, &returned, &header, &shown)?;
    let path = texts.folder.join(file_name(&language));
    let kept = keep_earlier(&path, &received)?;
    files::create_folder(&texts.folder.join("languages"))?;
    files::replace(&path, po::written(&received.entries).as_bytes())?;
    tell(&path, kept, received, findings, screen)
}

/// A copy of the file under the next free name, if translations in it are replaced.
fn keep_earlier(path: &Path, received: &Received) -> Result<Option<PathBuf>, Diagnostic> {
    if received.replaced == 0 {
        return Ok(None);
    }
    let bytes = files::read(path, u64::MAX - 1, code!("po-unreadable"))?;
    let free = (1..).map(|n| path.with_extension(format!("before-{n}.po"))).find(|path| !path.exists());
    let Some(free) = free else { return Ok(None) };
    files::write_new(&free, &bytes)?;
    Ok(Some(free))
}

fn tell(
    path: &Path,
    kept: Option<PathBuf>,
    received: Received,
    mut findings: Findings,
    screen: &Screen,
) -> Result<Findings, Diagnostic> {
    let (file, kept) = (path.display().to_string(), kept.map(|kept| kept.display().to_string()));
    let (new, replaced) = (received.new, received.replaced);
    findings.extend(received.refused);
    if screen.for_machines() {
        let findings = records(&findings);
        screen.record(&MergeRecord { version: VERSION, file, kept, new, replaced, findings });
    } else {
        screen.data(&format!("{file}\n"));
        screen.say(&say!("translations-replaced", translations = counted(new, "new translation"), replaced));
        kept.iter().for_each(|kept| screen.say(&say!("kept-in", kept)));
    }
    screen.findings(&findings);
    Ok(findings)
}
