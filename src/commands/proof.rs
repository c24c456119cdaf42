//! `proof`: a page on which the publisher sees the whole kit before it goes out; with `--watch` one that follows the kit.

use super::args;
use super::build::make;
use super::check::refuse;
use super::compare::package_at;
use super::earlier::Earlier;
use super::kit::{Loaded, load_covered};
use super::outputs::{ProofRecord, VERSION};
use super::screen::{Screen, records};
use super::serve::Server;
use super::watch::Watch;
use crate::diagnostic::{Diagnostic, Findings, Place, Severity};
use crate::files;
use crate::guide::{FileKind, PackedFile};
use crate::package::{self, Entry, Names};
use crate::press::{self, Forms, Job};
use crate::proof::{Page, ProofFile, Source};
use crate::verify::{self, Changes, Opened};
use std::path::Path;

/// Largest file that is looked at before it is replaced by a new proof.
const PROOF_BYTES: u64 = 500_000_000;

/// Makes the page; with `--watch` again and again, until the program is stopped.
pub(super) fn run(wish: &args::Proof, screen: &Screen) -> Result<Findings, Diagnostic> {
    if wish.watch { follow(wish, screen) } else { once(wish, screen) }
}

fn once(wish: &args::Proof, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, findings) = load_covered(&wish.kit, wish.fonts.as_deref());
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    let (page, findings) = proof(&loaded, wish.since.as_deref(), findings, screen)?;
    let folder = wish.out.clone().unwrap_or_else(|| loaded.folder.join("out"));
    let path = folder.join(Names::of(&loaded.kit).proof());
    files::create_folder(&folder)?;
    refuse_strangers(&path, &loaded.kit.name)?;
    files::replace(&path, page.html(false)?.as_bytes())?;
    let file = path.display().to_string();
    if screen.for_machines() {
        screen.record(&ProofRecord { version: VERSION, file: Some(file), address: None, findings: records(&findings) });
    } else {
        screen.findings(&findings);
        screen.data(&format!("{file}\n"));
    }
    Ok(findings)
}

/// Serves the page, and makes it anew whenever a file of the kit is saved.
fn follow(wish: &args::Proof, screen: &Screen) -> Result<Findings, Diagnostic> {
    let server = Server::bind(wish.port)?;
    let mut watch = Watch::of(&wish.kit.path);
    let mut good: Option<Page> = None;
    let mut serving = false;
    loop {
        let (page, findings) = now(wish, &mut good, screen);
        server.show(&page.html(true)?, &page.version());
        if !serving {
            server.start();
            serving = true;
        }
        tell(&server, &findings, screen);
        watch.wait();
        server.works();
    }
}

/// The proof of the kit as it is now; if it cannot be built, the last good one with what is wrong.
fn now(wish: &args::Proof, good: &mut Option<Page>, screen: &Screen) -> (Page, Findings) {
    let (loaded, findings) = load_covered(&wish.kit, wish.fonts.as_deref());
    let mut faults = findings;
    if let Some(loaded) = loaded {
        match proof(&loaded, wish.since.as_deref(), faults.clone(), screen) {
            Ok((page, findings)) => {
                *good = Some(page.clone());
                return (page, findings);
            }
            Err(fault) => faults.push(fault),
        }
    }
    let page = good.as_ref().map_or_else(|| Page::unreadable(&faults), |good| good.outdated(&faults));
    (page, faults)
}

fn tell(server: &Server, findings: &Findings, screen: &Screen) {
    let address = server.address();
    if screen.for_machines() {
        screen.record(&ProofRecord { version: VERSION, file: None, address: Some(address), findings: records(findings) });
    } else {
        screen.findings(findings);
        screen.data(&format!("{address}\n"));
    }
    screen.say(words!("follows-kit"));
}

/// Makes the package in memory, measures it, compares it with an earlier one if there is one, and puts everything on a page;
/// findings of all are given.
fn proof(
    loaded: &Loaded,
    since: Option<&Path>,
    mut findings: Findings,
    screen: &Screen,
) -> Result<(Page, Findings), Diagnostic> {
    let Loaded { kit, drawing, layouts, faces, logo, .. } = loaded;
    let (entries, packed) = make(loaded, &kit.languages, None, None, screen)?;
    let files: Vec<ProofFile> = entries.iter().map(|entry| listed(entry, &packed)).collect();
    let bytes = package::zip(entries, kit.date)?;
    screen.progress(words!("measuring-package"));
    let verdict = verify::package(&Names::of(kit).package(), &bytes, None);
    let old = earlier(loaded, since, &mut findings)?;
    let changes = old.map(|old| Ok(Changes::between(&old, &Opened::zip(&Names::of(kit).package(), &bytes)?))).transpose()?;
    // Forms are for PDFs; pictures need none.
    let (messages, forms) = (loaded.source()?, Forms::none());
    let ground = loaded.ground();
    let job = Job { kit, drawing, ground, forms: &forms, messages, others: &others(loaded), faces, logo: logo.as_ref() };
    let pictures = press::proof_pictures(&job, layouts)?;
    let page = Page::new(&Source {
        kit,
        drawing,
        layouts,
        pictures: &pictures,
        findings: &findings,
        verdict: &verdict,
        changes: changes.as_ref(),
        files: &files,
    });
    findings.extend(verdict.findings);
    Ok((page, findings))
}

/// The earlier edition to compare with: the one that is named, or else the last one that was released. That one's package may be
/// elsewhere; the rest of the proof does not need it.
fn earlier(loaded: &Loaded, since: Option<&Path>, findings: &mut Findings) -> Result<Option<Opened>, Diagnostic> {
    if let Some(since) = since {
        return package_at(since).map(Some);
    }
    let opened = Earlier::read(&loaded.folder, findings).map(|earlier| earlier.opened(&loaded.kit.edition));
    Ok(opened.and_then(|opened| {
        opened.unwrap_or_else(|fault| {
            findings.push(Diagnostic { severity: Severity::Warning, ..fault });
            None
        })
    }))
}

/// The languages beside the source language, whose words stand on the check page.
fn others(loaded: &Loaded) -> Vec<crate::catalogue::Messages> {
    let source = &loaded.kit.source_language;
    let others = loaded.languages.iter().filter(|language| language.tag() != source);
    others.map(|language| language.messages.clone()).collect()
}

/// A file of the package with the paper that it is for.
fn listed(entry: &Entry, packed: &[PackedFile]) -> ProofFile {
    let packed = packed.iter().find(|file| file.name == entry.name);
    let (paper, main) = match packed.map(|file| &file.kind) {
        Some(FileKind::Home { paper } | FileKind::WidePdf { paper } | FileKind::WideFlat { paper }) => (Some(paper), true),
        Some(FileKind::HomeSize { paper, .. } | FileKind::WideSvg { paper } | FileKind::BlankSvg { paper }) => {
            (Some(paper), false)
        }
        _ => (None, false),
    };
    ProofFile { name: entry.name.clone(), bytes: entry.bytes.len(), paper: paper.cloned(), main }
}

/// A file of the same name that is no proof of this kit is never replaced.
fn refuse_strangers(path: &Path, kit: &str) -> Result<(), Diagnostic> {
    let mark = format!("data-kitwright=\"proof\" data-kit=\"{kit}\"");
    let is_ours = |bytes: Vec<u8>| bytes.windows(mark.len()).take(200).any(|part| part == mark.as_bytes());
    if !path.exists() || files::read(path, PROOF_BYTES, code!("cannot-write")).is_ok_and(is_ours) {
        return Ok(());
    }
    let shown = path.display().to_string();
    Err(error!("cannot-write/no-proof", shown).at(Place::file(shown)))
}
