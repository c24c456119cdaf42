//! Reading a kit from its folder: manifest, shared settings, drawing, logo; all findings in one go.

use super::args::KitFolder;
use super::chapters;
use super::drawn::{self, Worded};
use super::fonts::{self, Shelves};
use super::held;
use super::laid::Laid;
use super::languages::{self, Language};
use super::store::Store;
use super::texts::{Texts, read_kit};
use crate::catalogue::Messages;
use crate::diagnostic::{Code, Diagnostic, Findings, Place};
use crate::drawing::{self, Drawing, FontFile, Request, Resources};
use crate::files::{self, SourceFolder};
use crate::guide::Illustration;
use crate::inking;
use crate::lays;
use crate::manifest::Kit;
use crate::plan::{self, Layout};
use crate::press::{Artwork, Faces};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Largest picture and font that are read.
const PICTURE_BYTES: u64 = 100_000_000;
pub(super) const FONT_BYTES: u64 = 50_000_000;

/// A kit with all that was read for it.
#[derive(Clone)]
pub(super) struct Loaded {
    pub(super) kit: Kit,
    /// In the source language.
    pub(super) drawing: Drawing,
    /// In each other language that has its words.
    pub(super) worded: Vec<Worded>,
    /// With the words of all languages over each other, if there are others.
    pub(super) overlaid: Option<Drawing>,
    pub(super) layouts: Vec<Layout>,
    pub(super) logo: Option<Artwork>,
    /// Pictures of the guide's texts, by their path from the folder.
    pub(super) pictures: BTreeMap<String, Illustration>,
    /// What lay plans are made from.
    pub(super) laid: Laid,
    pub(super) faces: Arc<Faces>,
    /// The kit's folder, which knows all that was read for the kit.
    pub(super) folder: Arc<SourceFolder>,
    /// The shared file that the manifest names, relative to the kit's folder.
    pub(super) shared: Option<String>,
    /// All that the kit is made in, the source language first.
    pub(super) languages: Vec<Language>,
    /// What is kept of its steps.
    pub(super) store: Arc<Store>,
}

impl Loaded {
    /// The drawing with the ink of all languages, which the plan is made for.
    pub(super) fn ground(&self) -> &Drawing {
        self.overlaid.as_ref().unwrap_or(&self.drawing)
    }

    /// kitwright's words in the language that the publisher writes in.
    pub(super) fn source(&self) -> Result<&Messages, Diagnostic> {
        let source = self.languages.first().map(|language| &language.messages);
        source.ok_or_else(|| error!("bug-languages"))
    }
}

/// The kit's files as the drawing asks for them.
pub(super) struct KitFiles<'a> {
    pub(super) folder: &'a SourceFolder,
    pub(super) fonts: &'a [FontFile],
}

impl Resources for KitFiles<'_> {
    fn image(&self, href: &str) -> Result<Vec<u8>, String> {
        let path = files::below(self.folder, href).ok_or(words!("is-outside"))?;
        self.folder.read(&path, PICTURE_BYTES, code!("image-missing")).map_err(|finding| finding.message)
    }

    fn fonts(&self) -> &[FontFile] {
        self.fonts
    }
}

/// Reads and plans a kit, with fonts from a folder besides its own. Findings are complete even if there is no kit to give.
pub(super) fn load(kit: &KitFolder, lent: Option<&Path>) -> (Option<Loaded>, Findings) {
    load_by(kit, lent, Store::default(), false)
}

/// The same with how much of each sheet the ink covers.
pub(super) fn load_covered(kit: &KitFolder, lent: Option<&Path>) -> (Option<Loaded>, Findings) {
    load_by(kit, lent, Store::default(), true)
}

/// The same with steps that are kept, and with what the ink covers if that is wished.
pub(super) fn load_by(kit: &KitFolder, lent: Option<&Path>, store: Store, covered: bool) -> (Option<Loaded>, Findings) {
    let mut findings = Findings::new();
    let loaded = read_kit(kit, &mut findings).and_then(|texts| all(texts, lent, store, covered, &mut findings));
    (loaded.filter(|_| !findings.has_errors()), findings)
}

fn all(texts: Texts, lent: Option<&Path>, store: Store, covered: bool, findings: &mut Findings) -> Option<Loaded> {
    let Texts { mut kit, folder, shared } = texts;
    let shelves = Shelves { kit: &folder, lent };
    // Languages come before the drawing among the findings, but need its words.
    let (mut of_fonts, mut of_drawing, mut of_pictures) = (Findings::new(), Findings::new(), Findings::new());
    let named = fonts::named(&kit, &shelves, &mut of_fonts);
    let files = KitFiles { folder: &folder, fonts: &named };
    let drawing = || kit.blank.is_none().then(|| read_drawing(&kit, &files, &mut of_drawing)).flatten();
    let (read, pictures) = rayon::join(drawing, || chapters::pictures(&kit, &folder, &mut of_pictures));
    if let Some((bytes, drawing)) = read.as_ref().filter(|_| kit.drawing.translate_words) {
        kit.drawing.words = drawn::words(&kit, bytes, Some(drawing));
    }
    let languages = languages::read(&kit, &folder, findings);
    chapters::twins(&kit, shared.as_ref(), findings);
    findings.extend(of_pictures);
    let logo = logo(&kit, &folder, findings);
    findings.extend(of_fonts);
    let faces = fonts::faces(&kit, &named, &spoken(&languages), &shelves, findings);
    findings.extend(of_drawing);
    let mut loaded = Loaded {
        drawing: Drawing::blank(&kit),
        worded: Vec::new(),
        overlaid: None,
        layouts: Vec::new(),
        logo,
        pictures,
        laid: Laid::default(),
        faces: Arc::new(faces),
        shared,
        languages,
        kit,
        folder: folder.clone(),
        store: Arc::new(store),
    };
    match loaded.kit.blank {
        Some(blank) => loaded.layouts = plan::blank_layouts(&loaded.kit, &loaded.drawing, blank),
        None => planned(&mut loaded, read?, &files, covered, findings),
    }
    Some(loaded)
}

/// Puts in the drawing in all its languages, and one plan for all of them.
fn planned(
    loaded: &mut Loaded,
    (bytes, drawing): (Vec<u8>, Drawing),
    files: &KitFiles,
    covered: bool,
    findings: &mut Findings,
) {
    loaded.laid = Laid::of(&loaded.kit, &drawing, &loaded.folder, findings);
    let (drawing, advice) = inking::prepared(&loaded.kit, drawing);
    findings.extend(advice);
    loaded.worded = drawn::worded(&loaded.kit, &bytes, files, &drawing, &loaded.languages, findings);
    drop(bytes);
    let others = || loaded.worded.iter().map(|worded| &worded.drawing);
    loaded.overlaid = (!loaded.worded.is_empty()).then(|| drawing.overlaid(others()));
    held::hold(&mut loaded.kit, &drawing);
    loaded.drawing = drawing;
    let (layouts, remarks) = loaded.store.layouts(&loaded.kit, loaded.ground(), covered);
    findings.extend(remarks);
    findings.extend(held::misfit(&loaded.kit, &loaded.drawing, &layouts));
    if !loaded.worded.is_empty() {
        findings.extend(drawn::more_sheets(&layouts, &loaded.drawing, &loaded.worded));
    }
    // What cannot be printed may have been told with its reason; then this would say it twice.
    if layouts.is_empty() && !findings.has_errors() {
        findings.push(error!("drawing-empty").at(Place::file(&loaded.kit.drawing.file)));
    }
    loaded.layouts = layouts;
}

/// The bytes of the drawing's file.
pub(super) fn drawing_bytes(kit: &Kit, folder: &SourceFolder, findings: &mut Findings) -> Option<Vec<u8>> {
    let path = inside(kit, folder, &kit.drawing.file, "drawing.file", code!("drawing-missing"), findings)?;
    let most = kit.drawing.limits.bytes as u64;
    if let Some(about) = std::fs::metadata(&path).ok().filter(|about| about.is_file() && about.len() > most) {
        let (bytes, most) = (about.len() / 1_000_000, most / 1_000_000);
        findings.push(error!("drawing-too-large/bytes", bytes, most).at(kit.places.of_path("drawing.file")));
        return None;
    }
    let bytes =
        folder.read(&path, most, code!("drawing-missing")).map_err(|finding| finding.at(kit.places.of_path("drawing.file")));
    findings.take(bytes)
}

fn read_drawing(kit: &Kit, files: &KitFiles, findings: &mut Findings) -> Option<(Vec<u8>, Drawing)> {
    let bytes = drawing_bytes(kit, files.folder, findings)?;
    let request = Request { sought: lays::sought(kit), ..Request::of(kit) };
    let (drawing, more) = drawing::read(&bytes, &request, files);
    findings.extend(more);
    Some((bytes, drawing?))
}

pub(super) fn logo(kit: &Kit, folder: &SourceFolder, findings: &mut Findings) -> Option<Artwork> {
    let name = kit.logo.as_ref()?;
    let path = inside(kit, folder, name, "logo", code!("logo-unreadable"), findings)?;
    let place = kit.places.of_path("logo");
    let read = folder.read(&path, PICTURE_BYTES, code!("logo-unreadable")).and_then(|bytes| Artwork::read(name, &bytes));
    let artwork = findings.take(read.map_err(|finding| finding.at(place.clone())))?;
    findings.extend(artwork.remarks(name).into_iter().map(|finding| finding.at(place.clone())));
    Some(artwork)
}

/// The path of a file that the manifest names, if it lies in the kit's folder or beside it.
pub(super) fn inside(kit: &Kit, folder: &Path, name: &str, key: &str, code: Code, findings: &mut Findings) -> Option<PathBuf> {
    let outside = || error!(as code, "outside-folder", name).at(kit.places.of_path(key));
    findings.take(files::below(folder, name).ok_or_else(outside))
}

/// kitwright's words in all languages.
fn spoken(languages: &[Language]) -> Vec<Messages> {
    languages.iter().map(|language| language.messages.clone()).collect()
}
