//! Reading a kit from its folder: manifest, shared settings, drawing, logo; all findings in one go.

use super::chapters;
use super::fonts::{self, Shelves};
use super::held;
use super::languages::{self, Language};
use super::texts::{Texts, read_kit};
use crate::catalogue::Messages;
use crate::diagnostic::{Diagnostic, Findings};
use crate::drawing::{self, Drawing, FontFile, Request, Resources};
use crate::files;
use crate::guide::Illustration;
use crate::inking;
use crate::manifest::Kit;
use crate::plan::{self, Layout};
use crate::press::{Artwork, Faces};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Largest drawing, picture and font that are read.
const DRAWING_BYTES: u64 = 200_000_000;
const PICTURE_BYTES: u64 = 100_000_000;
pub(super) const FONT_BYTES: u64 = 50_000_000;

/// A kit with all that was read for it.
pub(super) struct Loaded {
    pub(super) kit: Kit,
    pub(super) drawing: Drawing,
    pub(super) layouts: Vec<Layout>,
    pub(super) logo: Option<Artwork>,
    /// Pictures of the guide's texts, by their path from the folder.
    pub(super) pictures: BTreeMap<String, Illustration>,
    pub(super) faces: Faces,
    pub(super) folder: PathBuf,
    /// The shared file that the manifest names, relative to the kit's folder.
    pub(super) shared: Option<String>,
    /// All that the kit is made in, the source language first.
    pub(super) languages: Vec<Language>,
}

impl Loaded {
    /// kitwright's words in the language that the publisher writes in.
    pub(super) fn source(&self) -> Result<&Messages, Diagnostic> {
        let source = self.languages.first().map(|language| &language.messages);
        source.ok_or_else(|| Diagnostic::error("bug-languages", "a kit was loaded without any language"))
    }
}

/// The kit's files as the drawing asks for them.
struct KitFiles<'a> {
    folder: &'a Path,
    fonts: &'a [FontFile],
}

impl Resources for KitFiles<'_> {
    fn image(&self, href: &str) -> Result<Vec<u8>, String> {
        let path = files::below(self.folder, href).ok_or("it lies outside the kit's folder")?;
        files::read(&path, PICTURE_BYTES, "image-missing").map_err(|finding| finding.message)
    }

    fn fonts(&self) -> &[FontFile] {
        self.fonts
    }
}

/// Reads and plans a kit, with fonts from a folder besides its own. Findings are complete even if there is no kit to give.
pub(super) fn load(path: &Path, lent: Option<&Path>) -> (Option<Loaded>, Findings) {
    let mut findings = Findings::new();
    let loaded = read_kit(path, &mut findings).and_then(|Texts { mut kit, folder, shared }| {
        let languages = languages::read(&kit, &folder, &mut findings);
        let pictures = chapters::pictures(&kit, &folder, &mut findings);
        let logo = logo(&kit, &folder, &mut findings);
        let shelves = Shelves { kit: &folder, lent };
        let named = fonts::named(&kit, &shelves, &mut findings);
        let faces = fonts::faces(&kit, &named, &spoken(&languages), &shelves, &mut findings);
        let (drawing, layouts) = match kit.blank {
            Some(blank) => {
                let drawing = Drawing::blank(&kit);
                let layouts = plan::blank_layouts(&kit, &drawing, blank);
                (drawing, layouts)
            }
            None => {
                let drawing = read_drawing(&kit, &folder, &named, &mut findings)?;
                let (drawing, advice) = inking::prepared(&kit, drawing);
                findings.extend(advice);
                held::hold(&mut kit, &drawing);
                let (layouts, remarks) = plan::layouts(&kit, &drawing);
                findings.extend(remarks);
                findings.extend(held::misfit(&kit, &drawing, &layouts));
                (drawing, layouts)
            }
        };
        Some(Loaded { kit, drawing, layouts, logo, pictures, faces, folder, shared, languages })
    });
    (loaded.filter(|_| !findings.has_errors()), findings)
}

fn read_drawing(kit: &Kit, folder: &Path, fonts: &[FontFile], findings: &mut Findings) -> Option<Drawing> {
    let path = inside(kit, folder, &kit.drawing.file, "drawing.file", "drawing-missing", findings)?;
    let text =
        files::read(&path, DRAWING_BYTES, "drawing-missing").map_err(|finding| finding.at(kit.places.of_path("drawing.file")));
    let text = findings.take(text)?;
    let (drawing, more) = drawing::read(&text, &Request::of(kit), &KitFiles { folder, fonts });
    findings.extend(more);
    drawing
}

pub(super) fn logo(kit: &Kit, folder: &Path, findings: &mut Findings) -> Option<Artwork> {
    let name = kit.logo.as_ref()?;
    let path = inside(kit, folder, name, "logo", "logo-unreadable", findings)?;
    let place = kit.places.of_path("logo");
    let read = files::read(&path, PICTURE_BYTES, "logo-unreadable").and_then(|bytes| Artwork::read(name, &bytes));
    let artwork = findings.take(read.map_err(|finding| finding.at(place.clone())))?;
    findings.extend(artwork.remarks(name).into_iter().map(|finding| finding.at(place.clone())));
    Some(artwork)
}

/// The path of a file that the manifest names, if it lies in the kit's folder or beside it.
pub(super) fn inside(
    kit: &Kit,
    folder: &Path,
    name: &str,
    key: &str,
    code: &'static str,
    findings: &mut Findings,
) -> Option<PathBuf> {
    let outside = || {
        let finding = Diagnostic::error(code, format!("`{name}` lies outside the kit's folder"));
        finding.at(kit.places.of_path(key)).hint("copy the file into the kit's folder")
    };
    findings.take(files::below(folder, name).ok_or_else(outside))
}

/// kitwright's words in all languages.
fn spoken(languages: &[Language]) -> Vec<Messages> {
    languages.iter().map(|language| language.messages.clone()).collect()
}
