//! `release`: an edition goes out only when everything is ready, measured and recorded.

use super::args;
use super::build::{make, refuse_strangers};
use super::check::refuse;
use super::earlier::{Earlier, RECORD, from_folder};
use super::key;
use super::kit::{Loaded, load};
use super::laid::KEPT;
use super::outputs::{ReleaseRecord, VERSION};
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings, Place, and_list};
use crate::editions::{Editions, Next, Released, digest, ready};
use crate::files;
use crate::guide::{PackedFile, files_in};
use crate::manifest::Kit;
use crate::package::{self, DeltaText, Entry, Names, Signer};
use crate::verify::{self, Changes, Opened};
use std::path::{Path, PathBuf};

/// Releases an edition; all files appear, or none.
pub(super) fn run(wish: &args::Release, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    let before = loaded.as_ref().and_then(|loaded| Before::read(loaded, &wish.edition, &mut findings));
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

/// What was released before, and the package of the last edition before this one, if it is at hand.
struct Before {
    earlier: Earlier,
    package: Option<Vec<u8>>,
}

impl Before {
    fn read(loaded: &Loaded, edition: &semver::Version, findings: &mut Findings) -> Option<Self> {
        let earlier = Earlier::read(&loaded.folder, findings)?;
        let package = earlier.editions.before(edition).and_then(|released| earlier.package(released));
        Some(Self { earlier, package })
    }

    /// The last edition before the kit's, opened.
    fn opened(&self, kit: &Kit) -> Result<Option<(Opened, &Released)>, Diagnostic> {
        let released = self.earlier.editions.before(&kit.edition);
        let Some((released, bytes)) = released.zip(self.package.as_ref()) else { return Ok(None) };
        Ok(Some((Opened::zip(&released.package, bytes)?, released)))
    }

    fn against(&self, loaded: &Loaded, wish: &args::Release, findings: &Findings) -> Findings {
        ready(&Next {
            kit: &loaded.kit,
            edition: &wish.edition,
            editions: &self.earlier.editions,
            package_before: self.package.as_deref(),
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
        let old = self.before.opened(kit)?;
        let (entries, packed) = make(self.loaded, &kit.languages, old.as_ref().map(|(old, _)| old), self.signer, self.screen)?;
        let name = Names::of(kit).package();
        let bytes = package::zip(entries.clone(), kit.date)?;
        if let Some(released) = self.before.earlier.editions.of(&kit.edition) {
            return self.again(released, &bytes, findings);
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
        // The lays of this edition are kept for the next one.
        let lays = entries.iter().find(|entry| entry.name == Names::LAYS && !self.loaded.laid.is_kept(&entry.bytes));
        files.extend(lays.map(|lays| (self.loaded.folder.join(KEPT), lays.bytes.clone())));
        files.push((self.loaded.folder.join(RECORD), self.record(&folder.join(&name), &bytes)?.into_bytes()));
        Ok(Some(Made { files, again: false }))
    }

    /// The same edition once more: fine if it is the same package, to the byte; one that was lost is put back.
    fn again(&self, released: &Released, bytes: &[u8], findings: &mut Findings) -> Result<Option<Made>, Diagnostic> {
        let (earlier, path) = (&self.before.earlier, self.before.earlier.path(released));
        if digest(bytes) == released.sha256 {
            let lost = !path.exists();
            let files = lost.then(|| (path, bytes.to_vec())).into_iter().collect();
            return Ok(Some(Made { files, again: !lost }));
        }
        let name = Names::of(&self.loaded.kit).package();
        let out = earlier.package(released).filter(|out| digest(out) == released.sha256);
        let out = out.map(|out| Opened::zip(&released.package, &out)).transpose()?;
        let fault = match out {
            Some(out) => other_than_released(&released.edition, &out, &Opened::zip(&name, bytes)?),
            None => error!("edition-released", edition = released.edition),
        };
        findings.push(fault.at(self.loaded.kit.places.of_path("edition")));
        Ok(None)
    }

    fn delta(&self, old: &Opened, last: &Released, entries: &[Entry], packed: &[PackedFile]) -> Result<Vec<u8>, Diagnostic> {
        let (loaded, kit) = (self.loaded, &self.loaded.kit);
        let own = entries.iter().map(|entry| (entry.name.clone(), entry.bytes.clone())).collect();
        let changes = Changes::between(old, &Opened::files(&Names::of(kit).package(), own)?);
        let kept = package::delta(packed, &changes.files());
        let kept: Vec<PackedFile> = kept.into_iter().cloned().collect();
        let held = |entry: &&Entry| kept.iter().any(|file| file.name == entry.name);
        let outdated = package::outdated(kit, &last.edition, &old.names(), &kept, entries);
        let mut all: Vec<Entry> = entries.iter().filter(held).cloned().collect();
        for language in loaded.languages.iter().filter(|language| kit.languages.iter().any(|tag| tag == language.tag())) {
            let own = files_in(&kept, language.tag());
            let spoken = (&language.messages, &language.words);
            let text = DeltaText { since: &last.edition, files: &own, outdated: &outdated };
            let texts = package::delta_texts(kit, &text, &loaded.layouts, spoken);
            all.extend(texts.into_iter().filter(|text| !all.iter().any(|entry| entry.name == text.name)).collect::<Vec<_>>());
        }
        package::zip(package::sealed(all, kit, self.signer), kit.date)
    }

    /// The record with this edition at its end.
    fn record(&self, path: &Path, bytes: &[u8]) -> Result<String, Diagnostic> {
        let kit = &self.loaded.kit;
        let released = Released {
            edition: kit.edition.clone(),
            date: kit.date,
            package: from_folder(&self.loaded.folder, path),
            sha256: digest(bytes),
            changes: digest(kit.guide.changes.as_deref().unwrap_or_default().as_bytes()),
        };
        let added = Editions::added(RECORD, self.before.earlier.text.as_deref(), &released);
        added.ok_or_else(|| error!("editions-form", file = RECORD).at(Place::file(RECORD)))
    }

    /// Writes all files, the record last: it tells of what is there.
    fn write(&self, made: &Made) -> Result<(), Diagnostic> {
        if self.wish.dry_run || made.again {
            return Ok(());
        }
        let folders = made.files.iter().filter_map(|(path, _)| path.parent());
        folders.filter(|folder| !folder.as_os_str().is_empty()).try_for_each(files::create_folder)?;
        let mut zips = made.files.iter().filter(|(path, _)| path.extension().is_some_and(|ending| ending == "zip"));
        zips.clone().try_for_each(|(path, _)| refuse_strangers(path, &self.loaded.kit.name))?;
        zips.try_for_each(|(path, bytes)| Earlier::refuse_released(&self.loaded.folder, path, bytes))?;
        let all: Vec<(&Path, &[u8])> = made.files.iter().map(|(path, bytes)| (path.as_path(), bytes.as_slice())).collect();
        files::replace_all(&all)
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

/// Why an edition that is out would not be the same: by its signature, or by other files.
fn other_than_released(edition: &semver::Version, out: &Opened, new: &Opened) -> Diagnostic {
    let signed = |package: &Opened| package.names().iter().any(|name| name == Names::SIGNATURE);
    let differing = out.differing(new);
    if signed(out) != signed(new) || differing == [Names::SIGNATURE] {
        return error!("edition-released/signature", edition);
    }
    // The sums differ with whatever else does.
    let files: Vec<String> = differing.iter().filter(|name| *name != Names::SUMS).map(|name| format!("`{name}`")).collect();
    error!("edition-released/files", edition, files = and_list(&files))
}
