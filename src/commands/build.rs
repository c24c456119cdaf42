//! `build`: the whole package in one go; the zip appears complete or not at all.

use super::args;
use super::check::refuse;
use super::kit::{Loaded, load, words};
use super::outputs::{BuildRecord, VERSION};
use super::screen::{Screen, records};
use super::size_files::size_files;
use crate::catalogue::{KitWords, Messages};
use crate::diagnostic::{Diagnostic, Findings, Place, counted, nearest, or_list};
use crate::files;
use crate::guide::{self, FileKind, PackedFile};
use crate::manifest::Press;
use crate::package::{self, Entry, Names};
use crate::plan::Layout;
use crate::press::{self, Forms, Job, Pressed};
use rayon::prelude::*;
use std::path::Path;

/// Makes a package.
pub(super) fn run(wish: &args::Build, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    let chosen = loaded.and_then(|loaded| choose(loaded, wish, &mut findings));
    let Some(chosen) = chosen.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    screen.findings(&findings);
    let entries = make(&chosen, screen)?;
    let files: Vec<String> = entries.iter().map(|entry| entry.name.clone()).collect();
    let bytes = package::zip(entries, chosen.loaded.kit.date)?;
    let folder = wish.out.clone().unwrap_or_else(|| chosen.loaded.folder.join("out"));
    let path = folder.join(&chosen.package);
    files::create_folder(&folder)?;
    refuse_strangers(&path, &chosen.loaded.kit.name)?;
    files::replace(&path, &bytes)?;
    let package = path.display().to_string();
    if screen.for_machines() {
        screen.record(&BuildRecord { version: VERSION, package, bytes: bytes.len(), files, findings: records(&findings) });
    } else {
        screen.data(&format!("{package}\n"));
        screen.say(&format!("{}, {} KB", counted(files.len(), "file"), bytes.len() / 1000));
    }
    Ok(findings)
}

/// A loaded kit, cut down to the wished papers and languages.
struct Chosen {
    loaded: Loaded,
    languages: Vec<String>,
    package: String,
}

impl Chosen {
    /// The words of the languages that are built, without the source language.
    fn others(&self) -> Vec<Messages> {
        let source = &self.loaded.kit.source_language;
        self.languages
            .iter()
            .filter(|language| *language != source)
            .filter_map(|language| Messages::builtin(language))
            .collect()
    }
}

/// Keeps the wished papers and languages; a package of a part says so in its name.
fn choose(mut loaded: Loaded, wish: &args::Build, findings: &mut Findings) -> Option<Chosen> {
    let papers: Vec<String> = loaded.kit.papers.iter().map(|setup| setup.paper.id.clone()).collect();
    known("paper", &wish.paper, &papers, findings);
    known("language", &wish.language, &loaded.kit.languages, findings);
    let wished = |list: &[String], name: &String| list.is_empty() || list.contains(name);
    loaded.layouts.retain(|layout| wished(&wish.paper, &layout.setup.paper.id));
    let languages: Vec<String> = loaded.kit.languages.iter().filter(|name| wished(&wish.language, name)).cloned().collect();
    let part: Vec<&str> = wish.paper.iter().chain(&wish.language).map(String::as_str).collect();
    let whole = Names::of(&loaded.kit).package();
    let package = if part.is_empty() { whole } else { whole.replace(".zip", &format!("-only-{}.zip", part.join("-"))) };
    (!findings.has_errors()).then_some(Chosen { loaded, languages, package })
}

pub(super) fn known(what: &str, wished: &[String], list: &[String], findings: &mut Findings) {
    for name in wished.iter().filter(|name| !list.contains(name)) {
        let guess = nearest(name, list.iter().map(String::as_str)).map(|near| format!("write `{near}` if that is meant"));
        let finding = Diagnostic::error("argument-bad", format!("the manifest names no {what} `{name}`"));
        findings.push(finding.hint(guess.unwrap_or_else(|| format!("choose from {}", or_list(list)))));
    }
}

/// Presses every paper, writes every guide and the records about them.
fn make(chosen: &Chosen, screen: &Screen) -> Result<Vec<Entry>, Diagnostic> {
    let Loaded { kit, drawing, layouts, logo, faces, .. } = &chosen.loaded;
    let messages = words(&kit.source_language)?;
    let others = chosen.others();
    let forms = Forms::of(drawing);
    let job = Job { kit, drawing, forms: &forms, messages: &messages, others: &others, faces, logo: logo.as_ref() };
    let pressed: Vec<Vec<Made>> = layouts.par_iter().map(|layout| paper(&job, layout, screen)).collect::<Result<_, _>>()?;
    let sizes = size_files(&chosen.loaded, &messages, &others)?;
    let mut made: Vec<Made> = pressed.into_iter().flatten().chain(sizes).collect();
    made.extend(projection(&job, chosen)?);
    let names = Names::of(kit);
    let guides =
        chosen.languages.iter().map(|language| (names.guide(language), FileKind::Guide { language: language.clone() }));
    let records =
        [(Names::READ_ME, FileKind::ReadMe), (Names::PROMISES, FileKind::Promises), (Names::SUMS, FileKind::Checksums)];
    let listed = guides.chain(records.map(|(name, kind)| (name.to_owned(), kind)));
    let printed = made.iter().map(|made| (made.entry.name.clone(), made.kind.clone()));
    let files: Vec<PackedFile> = listed.chain(printed).map(|(name, kind)| PackedFile { name, kind }).collect();
    let printed: Vec<_> = made
        .iter_mut()
        .filter_map(|made| {
            let variant = match made.kind {
                FileKind::WideFlat { .. } => Some("flat"),
                FileKind::Projection => Some("projection"),
                _ => None,
            };
            let (layout, file) = (made.layout.clone(), made.entry.name.clone());
            Some(package::Printed { layout, file, variant, marks: made.promises.take()? })
        })
        .collect();
    let promises = package::promises(kit, &chosen.languages, drawing, &printed);
    let mut entries: Vec<Entry> = made.into_iter().map(|made| made.entry).collect();
    entries.push(Entry::new(Names::PROMISES, promises));
    entries.push(Entry::new(Names::READ_ME, package::readme(kit, layouts, &files, &messages)));
    for language in &chosen.languages {
        screen.progress(&format!("guide in {language}"));
        entries.push(Entry::new(names.guide(language), guide_in(language, chosen, &files)?));
    }
    entries.sort_by(|a, b| a.name.cmp(&b.name));
    entries.push(Entry::new(Names::SUMS, package::sums(&entries)));
    Ok(entries)
}

/// A pressed file, what it is, and the lengths it promises (none for a drawing).
pub(super) struct Made {
    pub(super) layout: Layout,
    pub(super) entry: Entry,
    pub(super) kind: FileKind,
    pub(super) promises: Option<Vec<(usize, press::ScaleMark)>>,
}

fn paper(job: &Job, layout: &Layout, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let names = Names::of(job.kit);
    let paper = layout.setup.paper.id.clone();
    screen.progress(&format!("sheets for {} paper", layout.setup.paper.title));
    let pdf = |name: String, kind: FileKind, pressed: Pressed| Made {
        layout: layout.clone(),
        entry: Entry::new(name, pressed.bytes),
        kind,
        promises: Some(pressed.promises),
    };
    let svg = |name: String, kind: FileKind, bytes: Vec<u8>| Made {
        layout: layout.clone(),
        entry: Entry::new(name, bytes),
        kind,
        promises: None,
    };
    let blank = || {
        let kind = FileKind::BlankSvg { paper: paper.clone() };
        job.kit.blank.map(|_| Ok(svg(names.blank(&paper), kind, press::blank_svg(job, layout)?))).transpose()
    };
    if layout.setup.paper.press == Press::Home {
        let blank = blank()?;
        let home = pdf(names.home(&paper), FileKind::Home { paper: paper.clone() }, press::home_pdf(job, layout)?);
        return Ok([home].into_iter().chain(blank).collect());
    }
    let svg = match blank()? {
        Some(blank) => blank,
        None => svg(names.wide(&paper, "svg"), FileKind::WideSvg { paper: paper.clone() }, press::wide_svg(job, layout)?),
    };
    let flat = press::wide_flat_pdf(job, layout)?;
    let flat = flat.map(|pressed| pdf(names.wide_flat(&paper), FileKind::WideFlat { paper: paper.clone() }, pressed));
    let layered = pdf(names.wide(&paper, "pdf"), FileKind::WidePdf { paper }, press::wide_pdf(job, layout)?);
    Ok([layered].into_iter().chain(flat).chain([svg]).collect())
}

/// The file for projecting, if the kit wants one; a package of some papers does without.
fn projection(job: &Job, chosen: &Chosen) -> Result<Option<Made>, Diagnostic> {
    let whole = chosen.loaded.layouts.len() == job.kit.papers.len();
    let Some(layout) = press::projection_layout(job).filter(|_| job.kit.projection && whole) else { return Ok(None) };
    let pressed = press::projection_pdf(job, &layout)?;
    let entry = Entry::new(Names::of(job.kit).projection(), pressed.bytes);
    Ok(Some(Made { layout, entry, kind: FileKind::Projection, promises: Some(pressed.promises) }))
}

fn guide_in(language: &str, chosen: &Chosen, files: &[PackedFile]) -> Result<String, Diagnostic> {
    let Loaded { kit, drawing, layouts, logo, pictures: shown, .. } = &chosen.loaded;
    let messages = words(language)?;
    let homes = layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    let maps: Vec<String> = homes.map(|layout| press::assembly_map(layout, drawing, &messages)).collect();
    let logo = logo.as_ref().map(|logo| logo.markup(&kit.publisher)).transpose()?.map(|html| guide::Logo { html });
    let samples = press::size_samples(kit, drawing);
    let pictures = guide::Pictures { maps: &maps, samples: &samples, logo: logo.as_ref(), shown: Some(shown) };
    let own = if *language == kit.source_language { KitWords::as_written() } else { KitWords::translated([]) };
    guide::html(kit, layouts, &pictures, files, &messages, &own)
}

/// A file of the same name that kitwright did not make for this kit is never replaced.
fn refuse_strangers(path: &Path, kit: &str) -> Result<(), Diagnostic> {
    if !path.exists() || files::read(path, u64::MAX - 1, "cannot-write").is_ok_and(|bytes| package::is_ours(&bytes, kit)) {
        return Ok(());
    }
    let shown = path.display().to_string();
    let finding = Diagnostic::error("cannot-write", format!("`{shown}` is not a package of this kit, and is left alone"));
    Err(finding.at(Place::file(shown)).hint("move that file away, or choose another folder with --out"))
}
