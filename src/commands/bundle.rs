//! `catalogue bundle`: everything that a translator needs, in one zip; and reading it when it is unpacked.

use super::args;
use super::guide::{of_drawing, page};
use super::kit::load;
use super::languages::{catalogue, file_name};
use super::outputs::{FileRecord, VERSION};
use super::pictures::GuidePictures;
use super::screen::{Screen, records};
use super::texts::MANIFEST;
use crate::catalogue::{Messages, po};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::files::{self, SourceFolder};
use crate::guide::{PackedFile, Planned};
use crate::manifest::{DrawnWords, Kit};
use crate::package::{self, Entry, Names};
use crate::translation::{Header, kit_texts, update};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The file that stands for the drawing in a bundle.
const PLANNED: &str = Names::BUNDLE;
/// Largest such file that is read.
const PLANNED_BYTES: u64 = 100_000_000;

/// Whether a folder is an unpacked bundle.
pub(super) fn is_bundle(folder: &Path) -> bool {
    folder.join(PLANNED).exists()
}

/// What stands for the drawing in a bundle.
#[derive(Serialize, Deserialize)]
pub(super) struct Bundle {
    /// Tag of the language that the bundle was made for, which the manifest need not name yet.
    pub(super) language: String,
    /// What the guide shows of the drawing.
    pub(super) planned: Planned,
    /// The drawing's words, if they are to be translated.
    #[serde(default)]
    pub(super) words: Vec<DrawnWords>,
}

/// Reads an unpacked bundle.
pub(super) fn read(folder: &Path) -> Result<Bundle, Diagnostic> {
    let path = folder.join(PLANNED);
    let bytes = files::read(&path, PLANNED_BYTES, code!("bundle-unreadable"))?;
    serde_json::from_slice(&bytes).map_err(|error| error!("bundle-unreadable", file = PLANNED, error).at(Place::file(PLANNED)))
}

/// Packs a bundle for one language.
pub(super) fn run(wish: &args::CatalogueBundle, language: &str, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    // That texts are not translated yet is what a bundle is for.
    findings =
        findings.into_iter().filter(|finding| finding.code != "text-untranslated").fold(Findings::new(), |mut all, finding| {
            all.push(finding);
            all
        });
    let Some(loaded) = loaded.filter(|_| !screen.stopped_by(&findings)) else {
        super::check::refuse(screen, &findings);
        return Ok(findings);
    };
    let theirs = Messages::builtin(language);
    let guides: Vec<&Messages> = std::iter::once(loaded.source()?).chain(&theirs).collect();
    let mut planned = of_drawing(&loaded, &guides, screen)?;
    let kit = &loaded.kit;
    if kit.drawing.translate_words {
        spoken(&mut planned, language);
    }
    let bundle = Bundle { language: language.to_owned(), planned, words: kit.drawing.words.clone() };
    let mut entries = vec![json(&bundle)?, translated(kit, &loaded.folder, language, &mut findings)?];
    entries.extend(texts(kit, loaded.shared.as_ref(), &loaded.folder)?);
    let pictures = GuidePictures::read(kit, &loaded.folder, &mut findings);
    let source = loaded.languages.first().map(|source| page(kit, &bundle.planned, &pictures, source)).transpose()?;
    entries.extend(source.map(|source| Entry::new(format!("{}.html", kit.source_language), source)));
    // The kit's folder keeps its name, and a file beside it stays beside it, so that all paths in the manifest hold.
    let mut packed: Vec<Entry> = entries.into_iter().map(|entry| within(&kit.name, entry)).collect();
    packed.push(Entry::new(Names::READ_ME, read_me(kit, language)));
    packed.sort_by(|a, b| a.name.cmp(&b.name));
    packed.push(Entry::new(Names::SUMS, package::sums(&packed)));
    write(wish, kit, language, packed, &findings, screen, &loaded.folder)?;
    Ok(findings)
}

/// Adds the files that the language will have once the drawing's words are translated: the guide is to name those.
fn spoken(planned: &mut Planned, language: &str) {
    let drawn = |file: &&PackedFile| file.language.is_none() && file.kind.holds_drawing();
    let own = |file: &PackedFile| PackedFile {
        name: Names::in_language(&file.name, language),
        kind: file.kind.clone(),
        language: Some(language.to_owned()),
    };
    let more: Vec<PackedFile> = planned.files.iter().filter(drawn).map(own).collect();
    planned.files.extend(more.into_iter().filter(|file| !planned.files.contains(file)).collect::<Vec<_>>());
}

/// An entry in the kit's folder; one that the kit has beside its folder stands at the top.
fn within(folder: &str, entry: Entry) -> Entry {
    let name = entry.name.strip_prefix("../").map_or_else(|| format!("{folder}/{}", entry.name), str::to_owned);
    Entry::new(name, entry.bytes)
}

fn json(bundle: &Bundle) -> Result<Entry, Diagnostic> {
    let text = serde_json::to_vec(bundle).map_err(|error| error!("bug-bundle", error))?;
    Ok(Entry::new(PLANNED, text))
}

/// The catalogue as an update would write it; the kit's own file stays as it is.
fn translated(kit: &Kit, folder: &SourceFolder, language: &str, findings: &mut Findings) -> Result<Entry, Diagnostic> {
    let old = catalogue(folder, language, findings).unwrap_or_default();
    let update = update(&kit_texts(kit, language), &old, &Header::of(kit, language), kit.date);
    Ok(Entry::new(file_name(language), po::written(&update.entries)))
}

/// Manifest, shared settings, chapters, pictures of the guide, logo: as the publisher wrote them.
fn texts(kit: &Kit, shared: Option<&String>, folder: &Path) -> Result<Vec<Entry>, Diagnostic> {
    let chapters = kit.guide.chapters.iter().filter_map(|chapter| chapter.file.clone());
    let pictures = GuidePictures::names(kit);
    let named =
        std::iter::once(MANIFEST.to_owned()).chain(shared.cloned()).chain(kit.logo.clone()).chain(chapters).chain(pictures);
    let mut names: Vec<String> = named.collect();
    names.sort();
    names.dedup();
    names
        .into_iter()
        .map(|name| Ok(Entry::new(name.clone(), files::read(&folder.join(&name), 100_000_000, code!("bundle-unreadable"))?)))
        .collect()
}

/// How a translator goes about it, in plain words.
fn read_me(kit: &Kit, language: &str) -> String {
    format!(
        include_str!("../../templates/bundle/README.txt"),
        title = kit.title,
        edition = kit.edition,
        name = kit.name,
        language = language,
        source = kit.source_language,
        guide = Names::of(kit).guide(language)
    )
}

fn write(
    wish: &args::CatalogueBundle,
    kit: &Kit,
    language: &str,
    entries: Vec<Entry>,
    findings: &Findings,
    screen: &Screen,
    folder: &Path,
) -> Result<(), Diagnostic> {
    let bytes = package::zip(entries, kit.date)?;
    let folder: PathBuf = wish.out.clone().unwrap_or_else(|| folder.join("out"));
    files::create_folder(&folder)?;
    let path = folder.join(Names::of(kit).bundle(language));
    super::build::refuse_strangers(&path, &kit.name)?;
    files::replace(&path, &bytes)?;
    let file = path.display().to_string();
    if screen.for_machines() {
        screen.record(&FileRecord { version: VERSION, file, bytes: bytes.len(), findings: records(findings) });
    } else {
        screen.data(&format!("{file}\n"));
    }
    screen.findings(findings);
    Ok(())
}
