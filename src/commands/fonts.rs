//! The fonts of a kit: those that its manifest names, those in its folder `fonts`, and those that a machine lends.

use super::kit::{FONT_BYTES, inside};
use crate::catalogue::Messages;
use crate::diagnostic::{Diagnostic, Findings, Place, Severity};
use crate::drawing::FontFile;
use crate::files::{self, SourceFolder};
use crate::manifest::{FontSource, Kit};
use crate::press::{self, Faces, Font};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The folder for fonts within a kit.
const FOLDER: &str = "fonts";

/// Where a kit's fonts may lie.
pub(super) struct Shelves<'a> {
    /// The kit's own folder.
    pub(super) kit: &'a SourceFolder,
    /// The folder that the user names.
    pub(super) lent: Option<&'a Path>,
}

/// The fonts that the manifest names, in its order, for drawing and sheets alike.
pub(super) fn named(kit: &Kit, shelves: &Shelves, findings: &mut Findings) -> Vec<FontFile> {
    let mut fonts = Vec::new();
    for (index, source) in kit.fonts.iter().enumerate() {
        let key = format!("fonts[{index}]");
        let place = |finding: Diagnostic| finding.at(kit.places.of_path(&key));
        let read = shelves.source(kit, source, &key, findings);
        let read = read.and_then(|bytes| press::bounded(&source.file, &bytes).map_err(place).map(|()| bytes));
        fonts.extend(findings.take(read).map(|bytes| FontFile { name: source.file.clone(), bytes }));
    }
    fonts
}

impl Shelves<'_> {
    /// The bytes of a font that the manifest names; those of another file of that name are refused.
    fn source(&self, kit: &Kit, source: &FontSource, key: &str, findings: &mut Findings) -> Result<Vec<u8>, Diagnostic> {
        let place = || kit.places.of_path(key);
        let bytes = match self.elsewhere(&source.file) {
            Some(path) => {
                let bytes =
                    self.kit.read(&path, FONT_BYTES, code!("font-unreadable")).map_err(|finding| finding.at(place()))?;
                if source.sha256.is_none() {
                    findings.push(unpinned(&source.file, &bytes).at(place()));
                }
                bytes
            }
            None => {
                let path = files::below(self.kit, &source.file).unwrap_or_else(|| self.kit.join(&source.file));
                self.kit.read(&path, FONT_BYTES, code!("font-unreadable")).map_err(|finding| finding.at(place()))?
            }
        };
        let is = digest(&bytes);
        match source.sha256.as_ref().filter(|wanted| **wanted != is) {
            None => Ok(bytes),
            Some(wanted) => Err(error!("font-other", file = source.file, is, wanted).at(place())),
        }
    }

    /// A bare file name that is not in the kit's folder itself: in the folder `fonts`, the lent folder, then the system's.
    fn elsewhere(&self, file: &str) -> Option<PathBuf> {
        if file.contains('/') || self.kit.join(file).exists() {
            return None;
        }
        let named = |path: &PathBuf| path.file_name().is_some_and(|name| name == file);
        let own = self.kit.join(FOLDER).join(file);
        let folders = self.lent.map(Path::to_path_buf).into_iter().chain(files::system_font_folders());
        Some(own).filter(|own| own.exists()).or_else(|| folders.flat_map(|folder| files::fonts_in(&folder)).find(named))
    }
}

/// The faces for everything that a press sets: built in, named, from the kit's folder; then what is lent, for what is lacking.
pub(super) fn faces(
    kit: &Kit,
    named: &[FontFile],
    languages: &[Messages],
    shelves: &Shelves,
    findings: &mut Findings,
) -> Faces {
    let texts = press::texts(kit, languages);
    let mut faces = Faces::built_in();
    if let Some(font) = brand(kit, shelves, &texts, findings) {
        faces.add_brand(font);
    }
    let lacking: Vec<char> = press::lacking(&faces, &texts).into_keys().collect();
    let mut supply = Supply { faces, texts: &texts, lacking, kit: shelves.kit, findings };
    for FontFile { name, bytes } in named {
        supply.offer(name, bytes.clone(), false);
    }
    for path in supply.searched(&shelves.kit.join(FOLDER)) {
        let shown = path.strip_prefix(&**shelves.kit).unwrap_or(&path).to_string_lossy().replace('\\', "/");
        supply.read(&path, &shown, false);
    }
    supply.lent(shelves);
    let Supply { faces, findings, .. } = supply;
    findings.extend(press::missing(&press::lacking(&faces, &texts)));
    faces
}

fn brand(kit: &Kit, shelves: &Shelves, texts: &[String], findings: &mut Findings) -> Option<Font> {
    let file = kit.brand_font.as_ref()?;
    let path = inside(kit, shelves.kit, file, "brand-font", code!("font-unreadable"), findings)?;
    let place = || kit.places.of_path("brand-font");
    let font =
        shelves.kit.read(&path, FONT_BYTES, code!("font-unreadable")).and_then(|bytes| press::supplied(file, bytes, texts));
    findings.take(font.map_err(|finding| finding.at(place())))
}

/// Fonts being gathered until nothing is lacking.
struct Supply<'a> {
    faces: Faces,
    texts: &'a [String],
    /// What the built-in fonts lack.
    lacking: Vec<char>,
    kit: &'a SourceFolder,
    findings: &'a mut Findings,
}

impl Supply<'_> {
    /// Fonts of the folder that the user names, then those of the system that are known to have a script that is lacking.
    fn lent(&mut self, shelves: &Shelves) {
        for path in shelves.lent.map(|folder| self.searched(folder)).unwrap_or_default() {
            self.read(&path, &name_of(&path), true);
        }
        let scripts: BTreeSet<&str> = press::lacking(&self.faces, self.texts).keys().map(|c| press::group(*c)).collect();
        if scripts.is_empty() {
            return;
        }
        let system: Vec<PathBuf> = files::system_font_folders().iter().flat_map(|folder| files::fonts_in(folder)).collect();
        for script in scripts {
            let there = |family: &&&str| system.iter().any(|path| press::is_file_of(family, &name_of(path)));
            let Some(family) = press::known_fonts(script).iter().find(there) else { continue };
            for path in system.iter().filter(|path| press::is_file_of(family, &name_of(path))) {
                self.read(path, &name_of(path), true);
            }
        }
    }

    /// The fonts of a folder, if any are needed.
    fn searched(&self, folder: &Path) -> Vec<PathBuf> {
        if self.lacking.is_empty() {
            return Vec::new();
        }
        self.kit.searched(folder);
        files::fonts_in(folder)
    }

    fn read(&mut self, path: &Path, shown: &str, lent: bool) {
        if let Some(bytes) = self.findings.take(self.kit.read(path, FONT_BYTES, code!("font-unreadable"))) {
            self.offer(shown, bytes, lent);
        }
    }

    /// Takes a font that has something which is lacking. A lent one is told of, with the line that makes sure of it.
    fn offer(&mut self, shown: &str, bytes: Vec<u8>, lent: bool) {
        if !press::adds_to(&self.faces, shown, &bytes, &self.lacking) {
            return;
        }
        let remark = unpinned(shown, &bytes);
        match press::supplied(shown, bytes, self.texts) {
            Ok(font) => {
                self.faces.add(font);
                self.findings.extend(lent.then_some(remark));
            }
            // What is lacking without it is told at the end; a drawing may use it all the same, as outlines.
            Err(finding) => self.findings.push(Diagnostic { severity: Severity::Warning, ..finding }),
        }
    }
}

fn name_of(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// The finding for a font that comes from outside the kit: another machine's may differ.
fn unpinned(file: &str, bytes: &[u8]) -> Diagnostic {
    let line = format!("{{file: {file}, sha256: {}}}", digest(bytes));
    warning!("font-unpinned", file, line).at(Place::file(file))
}

fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
