//! `release`: an edition goes out only when everything is ready, measured and recorded.

use super::args;
use super::build::{make, refuse_strangers};
use super::check::refuse;
use super::key;
use super::kit::{Loaded, load};
use super::outputs::{ReleaseRecord, VERSION};
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::editions::{Editions, Next, Released, digest, ready};
use crate::files;
use crate::guide::{PackedFile, files_in};
use crate::package::{self, Entry, Names, Signer};
use crate::verify::{self, Changes, Opened};
use std::path::{Path, PathBuf};

/// The record in the kit's folder.
const RECORD: &str = "editions.yaml";
const RECORD_BYTES: u64 = 1_000_000;
const PACKAGE_BYTES: u64 = 2_000_000_000;

/// Releases an edition; all files appear, or none.
pub(super) fn run(wish: &args::Release, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    let before = loaded.as_ref().and_then(|loaded| Before::read(loaded, &mut findings));
    let Some((loaded, before)) = loaded.zip(before) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    findings.extend(before.against(&loaded, wish, &findings));
    let signer = wish.sign.as_deref().map(key::signer).transpose()?;
    let release = Release { loaded: &loaded, before: &before, wish, signer: signer.as_ref(), screen };
    let files = match screen.stopped_by(&findings) {
        true => None,
        false => release.files(&mut findings)?,
    };
    let Some(files) = files else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    release.write(&files)?;
    release.tell(&files, &findings);
    Ok(findings)
}

/// What was released before.
struct Before {
    /// Text of the record, if there is one.
    text: Option<String>,
    editions: Option<Editions>,
    /// The last package, if it is at hand.
    package: Option<Vec<u8>>,
    /// The last edition that is smaller than the kit's, with its package, if that is at hand.
    smaller: Option<(Released, Vec<u8>)>,
}

impl Before {
    fn read(loaded: &Loaded, findings: &mut Findings) -> Option<Self> {
        let path = loaded.folder.join(RECORD);
        if !path.exists() {
            return Some(Self { text: None, editions: None, package: None, smaller: None });
        }
        let text = findings.take(files::read_text(&path, RECORD_BYTES, code!("editions-value")))?;
        let (editions, more) = Editions::read(RECORD, &text);
        findings.extend(more);
        let editions = editions?;
        let package = |released: &Released| {
            let path = loaded.folder.join(&released.package);
            files::read(&path, PACKAGE_BYTES, code!("edition-package")).ok()
        };
        let smaller = editions.list.iter().rev().find(|released| released.edition < loaded.kit.edition);
        let smaller = smaller.and_then(|smaller| Some((smaller.clone(), package(smaller)?)));
        Some(Self { text: Some(text), package: editions.last().and_then(package), smaller, editions: Some(editions) })
    }

    fn last(&self) -> Option<&Released> {
        self.editions.as_ref().and_then(Editions::last)
    }

    fn against(&self, loaded: &Loaded, wish: &args::Release, findings: &Findings) -> Findings {
        ready(&Next {
            kit: &loaded.kit,
            edition: &wish.edition,
            editions: self.editions.as_ref(),
            last_package: self.package.as_deref(),
            untranslated: findings.iter().any(|finding| finding.code == "text-untranslated"),
        })
    }
}

/// A release on its way.
struct Release<'a> {
    loaded: &'a Loaded,
    before: &'a Before,
    wish: &'a args::Release,
    signer: Option<&'a Signer>,
    screen: &'a Screen,
}

/// What a release writes; nothing if the edition is out already, just as it is.
#[derive(Default)]
struct Made {
    files: Vec<(PathBuf, Vec<u8>)>,
    again: bool,
}

impl Release<'_> {
    fn folder(&self) -> PathBuf {
        self.wish.out.clone().unwrap_or_else(|| self.loaded.folder.join("out"))
    }

    /// Builds and measures everything; none if what was built does not keep its promises.
    fn files(&self, findings: &mut Findings) -> Result<Option<Made>, Diagnostic> {
        let kit = &self.loaded.kit;
        let open = |(released, bytes): &'_ (Released, Vec<u8>)| Opened::zip(&released.package, bytes);
        let old = self.before.smaller.as_ref().map(open).transpose()?;
        let old = old.zip(self.before.smaller.as_ref().map(|(released, _)| released));
        let (entries, packed) = make(self.loaded, &kit.languages, old.as_ref().map(|(old, _)| old), self.signer, self.screen)?;
        let name = Names::of(kit).package();
        let bytes = package::zip(entries.clone(), kit.date)?;
        if let Some(last) = self.before.last().filter(|last| last.edition == kit.edition) {
            return Ok(self.again(last, &bytes, findings));
        }
        self.screen.progress(words!("measuring-package"));
        findings.extend(verify::package(&name, &bytes, None).findings);
        if findings.has_errors() {
            return Ok(None);
        }
        let folder = self.folder();
        let mut files = vec![(folder.join(&name), bytes.clone())];
        if let Some((old, last)) = &old {
            let delta = self.delta(old, last, &entries, &packed)?;
            files.push((folder.join(Names::of(kit).delta(&last.edition.to_string())), delta));
        }
        files.push((self.loaded.folder.join(RECORD), self.record(&folder.join(&name), &bytes)?.into_bytes()));
        Ok(Some(Made { files, again: false }))
    }

    /// The same edition once more: fine if it is the same package, to the byte.
    fn again(&self, last: &Released, bytes: &[u8], findings: &mut Findings) -> Option<Made> {
        if digest(bytes) == last.sha256 {
            return Some(Made { files: Vec::new(), again: true });
        }
        let place = self.loaded.kit.places.of_path("edition");
        findings.push(error!("edition-released", edition = last.edition).at(place));
        None
    }

    fn delta(&self, old: &Opened, last: &Released, entries: &[Entry], packed: &[PackedFile]) -> Result<Vec<u8>, Diagnostic> {
        let (loaded, kit) = (self.loaded, &self.loaded.kit);
        let own = entries.iter().map(|entry| (entry.name.clone(), entry.bytes.clone())).collect();
        let changes = Changes::between(old, &Opened::files(&Names::of(kit).package(), own)?);
        let kept = package::delta(packed, &changes.files());
        let kept: Vec<PackedFile> = kept.into_iter().cloned().collect();
        let held = |entry: &&Entry| kept.iter().any(|file| file.name == entry.name);
        let mut all: Vec<Entry> = entries.iter().filter(held).cloned().collect();
        for language in loaded.languages.iter().filter(|language| kit.languages.iter().any(|tag| tag == language.tag())) {
            let own = files_in(&kept, language.tag());
            let spoken = (&language.messages, &language.words);
            let texts = package::delta_texts(kit, &last.edition, &loaded.layouts, &own, spoken);
            all.extend(texts.into_iter().filter(|text| !all.iter().any(|entry| entry.name == text.name)).collect::<Vec<_>>());
        }
        package::zip(package::sealed(all, kit, self.signer), kit.date)
    }

    /// The record with this edition at its end.
    fn record(&self, path: &Path, bytes: &[u8]) -> Result<String, Diagnostic> {
        let kit = &self.loaded.kit;
        let below = path.strip_prefix(&self.loaded.folder).unwrap_or(path);
        let released = Released {
            edition: kit.edition.clone(),
            date: kit.date,
            package: below.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/"),
            sha256: digest(bytes),
            changes: digest(kit.guide.changes.as_deref().unwrap_or_default().as_bytes()),
        };
        let added = Editions::added(RECORD, self.before.text.as_deref(), &released);
        added.ok_or_else(|| error!("editions-form", file = RECORD).at(Place::file(RECORD)))
    }

    /// Writes all files, the record last: it tells of what is there.
    fn write(&self, made: &Made) -> Result<(), Diagnostic> {
        if self.wish.dry_run || made.again {
            return Ok(());
        }
        files::create_folder(&self.folder())?;
        let zips = made.files.iter().filter(|(path, _)| path.extension().is_some_and(|ending| ending == "zip"));
        zips.clone().try_for_each(|(path, _)| refuse_strangers(path, &self.loaded.kit.name))?;
        made.files.iter().try_for_each(|(path, bytes)| files::replace(path, bytes))
    }

    fn tell(&self, made: &Made, findings: &Findings) {
        let (screen, edition) = (self.screen, self.loaded.kit.edition.to_string());
        let files: Vec<String> = made.files.iter().map(|(path, _)| path.display().to_string()).collect();
        let written = !self.wish.dry_run && !made.again;
        if screen.for_machines() {
            screen.record(&ReleaseRecord { version: VERSION, edition, written, files, findings: records(findings) });
            return;
        }
        screen.findings(findings);
        if made.again {
            return screen.say(&say!("release-again", edition));
        }
        if self.wish.dry_run {
            screen.say(words!("release-would"));
        }
        files.iter().for_each(|file| screen.data(&format!("{file}\n")));
        if written {
            screen.say(&say!("release-done", edition));
        }
    }
}
