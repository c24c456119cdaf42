//! The files of a package: pressed, listed and described; nothing is written.

use super::kit::Loaded;
use super::screen::Screen;
use super::size_files::size_files;
use crate::catalogue::Messages;
use crate::diagnostic::Diagnostic;
use crate::guide::{FileKind, PackedFile, Planned};
use crate::manifest::Press;
use crate::package::{Entry, Names};
use crate::plan::Layout;
use crate::press::{self, Forms, Job, Pressed};
use rayon::prelude::*;

/// A pressed file, what it is, and the lengths it promises (none for a drawing).
pub(super) struct Made {
    pub(super) layout: Layout,
    pub(super) entry: Entry,
    pub(super) kind: FileKind,
    pub(super) promises: Option<Vec<(usize, press::ScaleMark)>>,
}

/// Presses every paper of a kit; `languages` are those that are built, by their tags.
pub(super) fn pressed(loaded: &Loaded, languages: &[String], screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let messages = loaded.source()?;
    let built = loaded
        .languages
        .iter()
        .map(|language| &language.messages)
        .filter(|it| languages.iter().any(|tag| tag == it.language()));
    let others: Vec<Messages> = built.filter(|it| it.language() != messages.language()).cloned().collect();
    let Loaded { kit, drawing, layouts, logo, faces, .. } = loaded;
    let forms = Forms::of(drawing);
    let job = Job { kit, drawing, forms: &forms, messages, others: &others, faces, logo: logo.as_ref() };
    let pressed: Vec<Vec<Made>> = layouts.par_iter().map(|layout| paper(&job, layout, screen)).collect::<Result<_, _>>()?;
    let sizes = size_files(loaded, messages, &others)?;
    let mut made: Vec<Made> = pressed.into_iter().flatten().chain(sizes).collect();
    made.extend(projection(&job, layouts)?);
    Ok(made)
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
fn projection(job: &Job, layouts: &[Layout]) -> Result<Option<Made>, Diagnostic> {
    let whole = layouts.len() == job.kit.papers.len();
    let Some(layout) = press::projection_layout(job).filter(|_| job.kit.projection && whole) else { return Ok(None) };
    let pressed = press::projection_pdf(job, &layout)?;
    let entry = Entry::new(Names::of(job.kit).projection(), pressed.bytes);
    Ok(Some(Made { layout, entry, kind: FileKind::Projection, promises: Some(pressed.promises) }))
}

/// What guides in some languages need of the drawing, once everything is pressed; `languages` are those that the package has.
pub(super) fn planned(loaded: &Loaded, languages: &[String], guides: &[&Messages], made: &[Made]) -> Planned {
    let Loaded { kit, drawing, layouts, .. } = loaded;
    let homes = || layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    let maps = guides.iter().map(|messages| {
        let maps = homes().map(|layout| press::assembly_map(layout, drawing, messages)).collect();
        (messages.language().to_owned(), maps)
    });
    Planned {
        layouts: layouts.clone(),
        maps: maps.collect(),
        samples: press::size_samples(kit, drawing),
        files: listing(loaded, languages, made),
    }
}

/// All files of the package, in the order in which buyers read of them.
fn listing(loaded: &Loaded, languages: &[String], made: &[Made]) -> Vec<PackedFile> {
    let names = Names::of(&loaded.kit);
    let guides = languages.iter().map(|language| (names.guide(language), FileKind::Guide { language: language.clone() }));
    let records = [(Names::PROMISES, FileKind::Promises), (Names::SUMS, FileKind::Checksums)];
    let read_mes = languages
        .iter()
        .map(|language| (Names::read_me(&loaded.kit, language), FileKind::ReadMe { language: language.clone() }));
    let listed = guides.chain(read_mes).chain(records.map(|(name, kind)| (name.to_owned(), kind)));
    let printed = made.iter().map(|made| (made.entry.name.clone(), made.kind.clone()));
    listed.chain(printed).map(|(name, kind)| PackedFile { name, kind }).collect()
}
