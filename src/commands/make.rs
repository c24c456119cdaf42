//! The files of a package: pressed, listed and described; nothing is written.

use super::kit::Loaded;
use super::screen::Screen;
use super::size_files::size_files;
use crate::catalogue::Messages;
use crate::diagnostic::Diagnostic;
use crate::drawing::Drawing;
use crate::guide::{FileKind, PackedFile, Planned};
use crate::manifest::Press;
use crate::package::{Entry, Names};
use crate::plan::Layout;
use crate::press::{self, Forms, Job, Pressed};
use rayon::prelude::*;

/// A pressed file, what it is, and the lengths it promises (none for a drawing).
#[derive(Clone)]
pub(super) struct Made {
    pub(super) layout: Layout,
    pub(super) entry: Entry,
    pub(super) kind: FileKind,
    /// Tag of the language of its words, if that is not the source language.
    pub(super) language: Option<String>,
    pub(super) promises: Option<Vec<(usize, press::ScaleMark)>>,
}

/// Presses every paper of a kit; `languages` are those that are built, by their tags. A language with words of its own in the
/// drawing has all files once more.
pub(super) fn pressed(loaded: &Loaded, languages: &[String], screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let made = tongues(loaded, languages)?.into_iter().map(|tongue| in_language(loaded, &tongue, screen));
    Ok(made.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

/// The languages that sheets are pressed in, the source language first.
pub(super) fn tongues<'a>(loaded: &'a Loaded, languages: &[String]) -> Result<Vec<Tongue<'a>>, Diagnostic> {
    let source = loaded.source()?;
    let built = |tag: &str| languages.iter().any(|built| built == tag);
    let all: Vec<&Messages> = loaded.languages.iter().map(|language| &language.messages).collect();
    let with = |messages: &Messages| -> Vec<Messages> {
        let others = all.iter().filter(|it| built(it.language()) && it.language() != messages.language());
        others.copied().cloned().collect()
    };
    let first = Tongue { own: None, drawing: &loaded.drawing, messages: source, others: with(source) };
    let worded = loaded.worded.iter().filter(|worded| built(&worded.language)).filter_map(|worded| {
        let messages = all.iter().find(|it| it.language() == worded.language)?;
        Some(Tongue { own: Some(&worded.language), drawing: &worded.drawing, messages, others: with(messages) })
    });
    Ok([first].into_iter().chain(worded).collect())
}

/// A language that the sheets are pressed in.
pub(super) struct Tongue<'a> {
    /// Its tag, if it is not the source language, whose files do without.
    pub(super) own: Option<&'a String>,
    /// The drawing with its words.
    pub(super) drawing: &'a Drawing,
    /// kitwright's words.
    pub(super) messages: &'a Messages,
    /// The other languages of the check page.
    pub(super) others: Vec<Messages>,
}

pub(super) fn in_language(loaded: &Loaded, tongue: &Tongue, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let Loaded { kit, layouts, logo, faces, .. } = loaded;
    let Tongue { drawing, messages, others, .. } = tongue;
    let forms = Forms::of(drawing);
    let ground = loaded.ground();
    let job = Job { kit, drawing, ground, forms: &forms, messages, others, faces, logo: logo.as_ref() };
    let pressed: Vec<Vec<Made>> = layouts.par_iter().map(|layout| paper(&job, layout, screen)).collect::<Result<_, _>>()?;
    let sizes = size_files(loaded, tongue)?;
    let made = pressed.into_iter().flatten().chain(sizes).chain(projection(&job, layouts)?);
    Ok(made.map(|made| made.spoken(tongue.own)).collect())
}

impl Made {
    /// The same under the name that it has in a language.
    pub(super) fn spoken(mut self, language: Option<&String>) -> Self {
        if let Some(tag) = language {
            self.entry.name = Names::in_language(&self.entry.name, tag);
            self.language = Some(tag.clone());
        }
        self
    }
}

fn paper(job: &Job, layout: &Layout, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let names = Names::of(job.kit);
    let paper = layout.setup.paper.id.clone();
    screen.progress(&say!("sheets-for-paper", title = layout.setup.paper.title));
    let pdf = |name: String, kind: FileKind, pressed: Pressed| Made {
        layout: layout.clone(),
        entry: Entry::new(name, pressed.bytes),
        kind,
        language: None,
        promises: Some(pressed.promises),
    };
    let svg = |name: String, kind: FileKind, bytes: Vec<u8>| Made {
        layout: layout.clone(),
        entry: Entry::new(name, bytes),
        kind,
        language: None,
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
    Ok(Some(Made { layout, entry, kind: FileKind::Projection, language: None, promises: Some(pressed.promises) }))
}

/// What guides in some languages need of the drawing, once everything is pressed; `languages` are those that the package has.
pub(super) fn planned(
    loaded: &Loaded,
    languages: &[String],
    guides: &[&Messages],
    made: &[Made],
) -> Result<Planned, Diagnostic> {
    let Loaded { kit, drawing, layouts, .. } = loaded;
    let homes = || layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    let maps = guides.iter().map(|messages| {
        let maps = homes().map(|layout| press::assembly_map(layout, drawing, messages)).collect();
        (messages.language().to_owned(), maps)
    });
    Ok(Planned {
        layouts: layouts.clone(),
        maps: maps.collect(),
        samples: press::size_samples(kit, drawing),
        files: listing(loaded, languages, made),
        lays: loaded.laid.book(kit)?,
    })
}

/// All files of the package, in the order in which buyers read of them.
fn listing(loaded: &Loaded, languages: &[String], made: &[Made]) -> Vec<PackedFile> {
    let names = Names::of(&loaded.kit);
    let guides = languages.iter().map(|language| (names.guide(language), FileKind::Guide { language: language.clone() }));
    let lays = Some((Names::LAYS, FileKind::Lays)).filter(|_| loaded.laid.is_some());
    let records = lays.into_iter().chain([(Names::PROMISES, FileKind::Promises), (Names::SUMS, FileKind::Checksums)]);
    let read_mes = languages
        .iter()
        .map(|language| (Names::read_me(&loaded.kit, language), FileKind::ReadMe { language: language.clone() }));
    let listed = guides.chain(read_mes).chain(records.map(|(name, kind)| (name.to_owned(), kind)));
    let listed = listed.map(|(name, kind)| PackedFile { name, kind, language: None });
    let printed = made.iter().map(|made| PackedFile {
        name: made.entry.name.clone(),
        kind: made.kind.clone(),
        language: made.language.clone(),
    });
    listed.chain(printed).collect()
}
