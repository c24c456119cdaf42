//! Reading a kit from its folder: manifest, shared settings, drawing, logo; all findings in one go.

use super::chapters;
use super::fonts::{self, Shelves};
use super::held;
use crate::catalogue::{Messages, builtin_languages};
use crate::diagnostic::{Diagnostic, Findings, nearest, or_list};
use crate::drawing::{self, Drawing, FontFile, Request, Resources};
use crate::files;
use crate::guide::Illustration;
use crate::inking;
use crate::manifest::{self, Document, Kit};
use crate::plan::{self, Layout};
use crate::press::{Artwork, Faces};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Name of the manifest in a kit's folder.
pub(super) const MANIFEST: &str = "kit.yaml";

/// Largest manifest, drawing, picture and font that are read.
const MANIFEST_BYTES: u64 = 1_000_000;
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
    let loaded = read_kit(path, &mut findings).and_then(|(mut kit, folder)| {
        check_languages(&kit, &mut findings);
        chapters::read(&mut kit, &folder, &mut findings);
        let pictures = chapters::pictures(&kit, &folder, &mut findings);
        let logo = logo(&kit, &folder, &mut findings);
        let shelves = Shelves { kit: &folder, lent };
        let named = fonts::named(&kit, &shelves, &mut findings);
        let faces = fonts::faces(&kit, &named, &languages(&kit), &shelves, &mut findings);
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
        Some(Loaded { kit, drawing, layouts, logo, pictures, faces, folder })
    });
    (loaded.filter(|_| !findings.has_errors()), findings)
}

fn read_kit(path: &Path, findings: &mut Findings) -> Option<(Kit, PathBuf)> {
    let (manifest, folder) = findings.take(locate(path))?;
    let main = read_document(&manifest, MANIFEST, "manifest-unreadable", findings);
    let shared = main.as_ref().and_then(Document::shared).and_then(|name| {
        let missing = || Diagnostic::error("shared-missing", format!("there is no file `{name}`"));
        let path = findings.take(files::below(&folder, name).ok_or_else(missing))?;
        read_document(&path, name, "shared-missing", findings)
    });
    let (kit, more) = manifest::kit(main.as_ref()?, shared.as_ref());
    findings.extend(more);
    Some((kit?, folder))
}

/// The manifest and the folder of a kit, given either.
fn locate(path: &Path) -> Result<(PathBuf, PathBuf), Diagnostic> {
    let missing = |text: String| {
        Diagnostic::error("manifest-missing", text)
            .at(crate::diagnostic::Place::file(MANIFEST))
            .hint("give the folder of a kit, or begin one with `kitwright new DIR`")
    };
    let manifest = if path.is_dir() { path.join(MANIFEST) } else { path.to_path_buf() };
    if !manifest.exists() {
        return Err(missing(format!("there is no `{}`", manifest.display())));
    }
    let folder = manifest.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new(".")).to_path_buf();
    Ok((manifest, folder))
}

fn read_document(path: &Path, name: &str, code: &'static str, findings: &mut Findings) -> Option<Document> {
    let text = findings.take(files::read_text(path, MANIFEST_BYTES, code))?;
    let (document, more) = manifest::parse(name, &text);
    findings.extend(more);
    document
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

fn logo(kit: &Kit, folder: &Path, findings: &mut Findings) -> Option<Artwork> {
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

/// The words of all languages that there are words in, the source language first.
pub(super) fn languages(kit: &Kit) -> Vec<Messages> {
    let others = kit.languages.iter().filter(|language| **language != kit.source_language);
    std::iter::once(&kit.source_language).chain(others).filter_map(|language| Messages::builtin(language)).collect()
}

/// Every language needs a catalogue.
fn check_languages(kit: &Kit, findings: &mut Findings) {
    let known = builtin_languages();
    let wanted = kit.languages.iter().enumerate().map(|(index, language)| (format!("languages[{index}]"), language));
    let source = [("source-language".to_owned(), &kit.source_language)];
    for (key, language) in wanted.chain(source).filter(|(_, language)| Messages::builtin(language).is_none()) {
        let guess = nearest(language, known.iter().copied()).map(|name| format!("write `{name}` if that is meant"));
        let finding = Diagnostic::error("language-unknown", format!("kitwright has no words in language `{language}` yet"));
        findings.push(
            finding.at(kit.places.of_path(&key)).hint(guess.unwrap_or_else(|| format!("choose from {}", or_list(&known)))),
        );
    }
}

/// The words of a language; [`load`] has made sure that they are there.
pub(super) fn words(language: &str) -> Result<Messages, Diagnostic> {
    Messages::builtin(language)
        .ok_or_else(|| Diagnostic::error("language-unknown", format!("kitwright has no words in language `{language}` yet")))
}
