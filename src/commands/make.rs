//! The files of a package: pressed, listed and described; nothing is written.

use super::kit::Loaded;
use super::screen::Screen;
use super::size_files::size_files;
use super::store::Store;
use crate::catalogue::Messages;
use crate::diagnostic::Diagnostic;
use crate::drawing::Drawing;
use crate::files::Key;
use crate::guide::{FileKind, PackedFile, Planned};
use crate::manifest::{Kit, Press};
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
    let Loaded { layouts, logo, faces, .. } = loaded;
    let Tongue { drawing, messages, others, .. } = tongue;
    let (kit, ground, forms) = (&loaded.kit.on_paper(), loaded.ground(), &Forms::none());
    let job = Job { kit, drawing, ground, forms, messages, others, faces, logo: logo.as_ref() };
    let tasks = layouts.iter().flat_map(|layout| of_paper(kit, layout)).chain(projection(&job, layouts)).collect();
    let made = done(&job, tasks, &loaded.store, screen)?;
    let (projected, papers): (Vec<Made>, Vec<Made>) = made.into_iter().partition(|made| made.kind == FileKind::Projection);
    let made = papers.into_iter().chain(size_files(loaded, tongue, screen)?).chain(projected);
    Ok(made.map(|made| made.spoken(tongue.own)).collect())
}

/// A file that is to be pressed.
pub(super) struct Task {
    pub(super) layout: Layout,
    pub(super) name: String,
    pub(super) kind: FileKind,
    /// Presses it; some papers have no such file.
    pub(super) press: fn(&Job, &Layout) -> Result<Option<Pressed>, Diagnostic>,
}

/// Presses files, but for those that are kept; these are made from the job, and each from its layout and what it is.
pub(super) fn done(job: &Job, tasks: Vec<Task>, store: &Store, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let key = store.key("sheets").map(|key| job.keyed(key));
    let kept = |task: Task| {
        let key = key.clone().map(|key| key.value(&task.kind).value(&task.layout));
        (store.pressed(&key), key, task)
    };
    let tasks: Vec<_> = tasks.into_par_iter().map(kept).collect();
    let all = tasks.iter().all(|(kept, ..)| kept.is_some());
    let forms = if all { Forms::none() } else { Forms::of(job.drawing) };
    let job = Job { forms: &forms, ..*job };
    let one = |(kept, key, task): (Option<Pressed>, Option<Key>, Task)| match kept {
        Some(pressed) => Ok(Some(task.made(pressed))),
        None => {
            screen.progress(&say!("sheets-for-paper", title = task.layout.setup.paper.title));
            let pressed = (task.press)(&job, &task.layout)?;
            pressed.iter().for_each(|pressed| store.keep_pressed(&key, pressed));
            Ok(pressed.map(|pressed| task.made(pressed)))
        }
    };
    let made: Vec<Option<Made>> = tasks.into_par_iter().map(one).collect::<Result<_, _>>()?;
    Ok(made.into_iter().flatten().collect())
}

impl Task {
    fn made(self, Pressed { bytes, promises }: Pressed) -> Made {
        let Self { layout, name, kind, .. } = self;
        let drawn = matches!(kind, FileKind::WideSvg { .. } | FileKind::BlankSvg { .. });
        Made { layout, entry: Entry::new(name, bytes), kind, language: None, promises: (!drawn).then_some(promises) }
    }
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

/// The files of a paper.
fn of_paper(kit: &Kit, layout: &Layout) -> Vec<Task> {
    let (names, paper) = (Names::of(kit), layout.setup.paper.id.clone());
    let task = |name: String, kind: FileKind, press| Task { layout: layout.clone(), name, kind, press };
    let blank = kit.blank.map(|_| {
        let kind = FileKind::BlankSvg { paper: paper.clone() };
        task(names.blank(&paper), kind, |job, layout| press::blank_svg(job, layout).map(drawing))
    });
    if layout.setup.paper.press == Press::Home {
        let kind = FileKind::Home { paper: paper.clone() };
        let home = task(names.home(&paper), kind, |job, layout| press::home_pdf(job, layout).map(Some));
        return [home].into_iter().chain(blank).collect();
    }
    let svg = blank.unwrap_or_else(|| {
        let kind = FileKind::WideSvg { paper: paper.clone() };
        task(names.wide(&paper, "svg"), kind, |job, layout| press::wide_svg(job, layout).map(drawing))
    });
    let flat = task(names.wide_flat(&paper), FileKind::WideFlat { paper: paper.clone() }, press::wide_flat_pdf);
    let layered = |job: &Job, layout: &Layout| press::wide_pdf(job, layout).map(Some);
    let layered = task(names.wide(&paper, "pdf"), FileKind::WidePdf { paper }, layered);
    vec![layered, flat, svg]
}

/// A drawing promises nothing by itself.
fn drawing(bytes: Vec<u8>) -> Option<Pressed> {
    Some(Pressed { bytes, promises: Vec::new() })
}

/// The file for projecting, if the kit wants one; a package of some papers does without.
fn projection(job: &Job, layouts: &[Layout]) -> Option<Task> {
    let whole = layouts.len() == job.kit.papers.len();
    let layout = press::projection_layout(job).filter(|_| job.kit.projection && whole)?;
    let press = |job: &Job, layout: &Layout| press::projection_pdf(job, layout).map(Some);
    Some(Task { layout, name: Names::of(job.kit).projection(), kind: FileKind::Projection, press })
}

/// What guides in some languages need of the drawing, once everything is pressed; `languages` are those that the package has.
pub(super) fn planned(
    loaded: &Loaded,
    languages: &[String],
    guides: &[&Messages],
    made: &[Made],
) -> Result<Planned, Diagnostic> {
    let Loaded { kit, drawing, layouts, .. } = loaded;
    let homes: Vec<&Layout> = layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home).collect();
    let maps = guides.par_iter().map(|messages| {
        let maps = homes.par_iter().map(|layout| press::assembly_map(layout, drawing, messages)).collect();
        (messages.language().to_owned(), maps)
    });
    Ok(Planned {
        layouts: layouts.clone(),
        maps: maps.collect(),
        samples: press::size_samples(kit, drawing),
        files: listing(loaded, languages, made),
        lays: loaded.laid.book(kit, &loaded.store)?,
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
