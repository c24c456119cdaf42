//! `guide`: the guide alone, for those who write and translate it; from a kit, or from a translator's bundle.

use super::args;
use super::build::known;
use super::bundle;
use super::check::refuse;
use super::drawn;
use super::kit::{Loaded, load};
use super::languages::{self, Language};
use super::make::{planned, pressed};
use super::outputs::{GuideRecord, VERSION};
use super::pictures::GuidePictures;
use super::screen::{Screen, records};
use super::texts::read_texts;
use super::watch::Watch;
use crate::catalogue::{Messages, is_pseudo};
use crate::diagnostic::{Diagnostic, Findings};
use crate::files;
use crate::guide::{self, Planned};
use crate::manifest::Kit;
use crate::package::Names;

/// Makes the pages; with `--watch` again and again, until the program is stopped.
pub(super) fn run(wish: &args::Guide, screen: &Screen) -> Result<Findings, Diagnostic> {
    let mut drawn = Drawn::default();
    if !wish.watch {
        return once(wish, &mut drawn, screen);
    }
    let mut watch = Watch::of(&wish.kit.path);
    loop {
        // A fault of the moment is told like any finding, and mended by the next save.
        if let Err(fault) = once(wish, &mut drawn, screen) {
            screen.findings(&fault.into());
        }
        screen.say(words!("waiting"));
        watch.wait();
    }
}

/// What was made from the drawing, and from which state of the files.
#[derive(Default)]
struct Drawn {
    seen: Option<Vec<String>>,
    planned: Planned,
}

/// Reads all texts and writes all pages.
fn once(wish: &args::Guide, drawn: &mut Drawn, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (mut texts, mut findings) = read_texts(&wish.kit);
    if let Some(texts) = &mut texts {
        drawn::know(texts, false, &mut findings)?;
    }
    let Some(texts) = texts.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    let mut kit = texts.kit.clone();
    let bundle = bundle::is_bundle(&texts.folder).then(|| bundle::read(&texts.folder)).transpose()?;
    if let Some(bundle) = &bundle {
        drawn.planned = bundle.planned.clone();
        kit.languages = vec![kit.source_language.clone(), bundle.language.clone()];
    }
    // A language that the manifest does not name yet may be looked at all the same.
    let there = |tag: &&String| is_pseudo(tag) || languages::has_catalogue(&texts.folder, tag);
    let wished: Vec<String> = wish.language.iter().filter(|tag| !there(tag)).cloned().collect();
    known("language", &wished, &kit.languages, &mut findings);
    if !wish.language.is_empty() {
        kit.languages.clone_from(&wish.language);
    }
    let spoken = languages::read(&kit, &texts.folder, &mut findings);
    let pictures = GuidePictures::read(&kit, &texts.folder, &mut findings);
    let messages: Vec<&Messages> = spoken.iter().map(|language| &language.messages).collect();
    let ready = bundle.is_some() || draw(wish, &messages, drawn, &mut findings, screen)?;
    if !ready || screen.stopped_by(&findings) {
        refuse(screen, &findings);
        return Ok(findings);
    }
    let asked = |language: &&Language| kit.languages.iter().any(|tag| tag == language.tag());
    let folder = wish.out.clone().unwrap_or_else(|| texts.folder.join("out"));
    files::create_folder(&folder)?;
    let mut written = Vec::new();
    for language in spoken.iter().filter(asked) {
        let page = page(&kit, &drawn.planned, &pictures, language)?;
        let path = folder.join(Names::of(&kit).guide(language.tag()));
        files::replace(&path, page.as_bytes())?;
        written.push(path.display().to_string());
    }
    tell(written, &findings, screen);
    Ok(findings)
}

/// Presses the drawing, unless nothing that it depends on has changed; says whether there is something to show.
fn draw(
    wish: &args::Guide,
    guides: &[&Messages],
    drawn: &mut Drawn,
    findings: &mut Findings,
    screen: &Screen,
) -> Result<bool, Diagnostic> {
    let seen = Watch::drawing_of(&wish.kit.path);
    if drawn.seen.as_ref() == Some(&seen) {
        return Ok(true);
    }
    let (loaded, more) = load(&wish.kit, wish.fonts.as_deref());
    // What is wrong with texts and languages was told already; other languages are of no interest now.
    let told: Vec<Diagnostic> = findings.iter().cloned().collect();
    let new = |finding: &Diagnostic| !told.contains(finding) && finding.code != "text-untranslated";
    findings.extend(more.into_iter().filter(new));
    let Some(loaded) = loaded else { return Ok(false) };
    drawn.planned = of_drawing(&loaded, guides, screen)?;
    drawn.seen = Some(seen);
    Ok(true)
}

/// What the guide shows of a drawing.
pub(super) fn of_drawing(loaded: &Loaded, guides: &[&Messages], screen: &Screen) -> Result<Planned, Diagnostic> {
    let made = pressed(loaded, &loaded.kit.languages, screen)?;
    planned(loaded, &loaded.kit.languages, guides, &made)
}

/// One page.
pub(super) fn page(kit: &Kit, planned: &Planned, pictures: &GuidePictures, language: &Language) -> Result<String, Diagnostic> {
    let maps = planned.maps(language.tag());
    let pictures = guide::Pictures {
        maps,
        samples: &planned.samples,
        logo: pictures.logo.as_ref(),
        shown: Some(&pictures.shown),
        lays: planned.lays.as_ref(),
    };
    let files = guide::files_in(&planned.files, language.tag());
    guide::html(kit, &planned.layouts, &pictures, &files, &language.messages, &language.words)
}

fn tell(files: Vec<String>, findings: &Findings, screen: &Screen) {
    if screen.for_machines() {
        screen.record(&GuideRecord { version: VERSION, files, findings: records(findings) });
    } else {
        files.iter().for_each(|file| screen.data(&format!("{file}\n")));
    }
    screen.findings(findings);
}
