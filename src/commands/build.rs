//! `build`: the whole package in one go; the zip appears complete or not at all.

use super::args;
use super::cache::Cache;
use super::check::refuse;
use super::corrections;
use super::depfile;
use super::guide::page;
use super::kit::Loaded;
use super::laid;
use super::languages::Language;
use super::make::{Made, planned, pressed};
use super::many;
use super::order::{Built, Means, Order};
use super::outputs::{BuildRecord, VERSION};
use super::pictures::GuidePictures;
use super::screen::{Screen, records};
use crate::catalogue::Messages;
use crate::diagnostic::{Diagnostic, Findings, Place, counted, offered};
use crate::files;
use crate::guide::{self, FileKind, PackedFile};
use crate::package::{self, Entry, Names, Signer};
use crate::plan::SizeSheets;
use crate::press;
use crate::verify::Opened;
use std::path::Path;

/// Makes a package, or one of each of several kits.
pub(super) fn run(wish: &args::Build, screen: &Screen) -> Result<Findings, Diagnostic> {
    match wish.kits.as_slice() {
        [kit] => one(kit, wish, screen),
        kits => many::run(kits, wish, screen),
    }
}

fn one(kit: &Path, wish: &args::Build, screen: &Screen) -> Result<Findings, Diagnostic> {
    let cache = Cache::of(kit, wish);
    if let Some((built, findings)) = unchanged(cache.as_ref(), screen) {
        screen.findings(&findings);
        screen.say(&say!("nothing-changed", file = built.package));
        tell(built, &findings, screen);
        return Ok(findings);
    }
    let (order, findings) = Order::of(kit, wish);
    let Some(order) = order.filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    screen.findings(&findings);
    let mut built = order.built(&Means::of(wish)?, screen)?;
    let rule = built.rule.take();
    wish.depfile.as_ref().map(|file| depfile::write(file, rule.as_slice())).transpose()?;
    cache.and_then(|cache| cache.keep(&order, &built, &findings));
    tell(built, &findings, screen);
    Ok(findings)
}

/// What was made before, if it would come out the same, and if what was told of it does not stop a build now.
pub(super) fn unchanged(cache: Option<&Cache>, screen: &Screen) -> Option<(Built, Findings)> {
    cache?.unchanged().filter(|(_, findings)| !screen.stopped_by(findings))
}

fn tell(built: Built, findings: &Findings, screen: &Screen) {
    let Built { package, bytes, files, .. } = built;
    if screen.for_machines() {
        return screen.record(&BuildRecord { version: VERSION, package, bytes, files, findings: records(findings) });
    }
    screen.data(&format!("{package}\n"));
    screen.say(&say!("written-file", files = counted(files.len(), "file"), kilobytes = bytes / 1000));
}

pub(super) fn known(what: &str, wished: &[String], list: &[String], findings: &mut Findings) {
    for name in wished.iter().filter(|name| !list.contains(name)) {
        findings.push(error!("argument-bad", what, name).hint(offered(name, list.iter().map(String::as_str))));
    }
}

/// Presses every paper, writes every guide and the records about them, and signs them if there is a key; gives the files and what
/// each of them is. With the package of an earlier edition the guide tells what is corrected, and the corrected sheets are there
/// once more alone.
pub(super) fn make(
    loaded: &Loaded,
    languages: &[String],
    since: Option<&Opened>,
    signer: Option<&Signer>,
    screen: &Screen,
) -> Result<(Vec<Entry>, Vec<PackedFile>), Diagnostic> {
    let mut made = pressed(loaded, languages, screen)?;
    let corrected = since.map(|old| corrections::corrected(loaded, old, &made)).transpose()?;
    let loaded = corrected.as_ref().unwrap_or(loaded);
    made.extend(corrections::pressed(loaded, languages)?);
    let Loaded { kit, drawing, layouts, .. } = loaded;
    let built: Vec<&Language> =
        loaded.languages.iter().filter(|language| languages.iter().any(|tag| tag == language.tag())).collect();
    let guides: Vec<&Messages> = built.iter().map(|language| &language.messages).collect();
    let mut planned = planned(loaded, languages, &guides, &made)?;
    if signer.is_some() {
        let kind = FileKind::Signature;
        planned.files.push(PackedFile { name: Names::SIGNATURE.into(), kind, language: None });
    }
    let promises = package::promises(kit, languages, drawing, &printed(&mut made, loaded)?);
    let mut entries: Vec<Entry> = made.into_iter().map(|made| made.entry).collect();
    entries.push(Entry::new(Names::PROMISES, promises));
    entries.extend(planned.lays.as_ref().map(|book| Entry::new(Names::LAYS, laid::written(book))));
    let pictures = GuidePictures::of(loaded)?;
    let names = Names::of(kit);
    for language in built {
        let (tag, Language { messages, words }) = (language.tag(), language);
        screen.progress(&say!("guide-in", tag));
        let read_me = package::readme(kit, layouts, &guide::files_in(&planned.files, tag), messages, words);
        entries.push(Entry::new(Names::read_me(kit, tag), read_me));
        entries.push(Entry::new(names.guide(tag), page(kit, &planned, &pictures, language)?));
    }
    Ok((package::sealed(entries, kit, signer), planned.files))
}

/// What the pressed files promise, for the record.
pub(super) fn printed(made: &mut [Made], loaded: &Loaded) -> Result<Vec<package::Printed>, Diagnostic> {
    let source = loaded.source()?;
    let spoken = |tag: &String| loaded.languages.iter().find(|language| language.tag() == tag).map(|it| &it.messages);
    let one = |made: &mut Made| {
        let variant = match made.kind {
            FileKind::WideFlat { .. } => Some("flat"),
            FileKind::Projection => Some("projection"),
            FileKind::Corrections { .. } => Some("corrections"),
            _ => None,
        };
        let (layout, file) = (made.layout.clone(), made.entry.name.clone());
        let language = made.language.clone();
        let messages = language.as_ref().and_then(spoken).unwrap_or(source);
        // A flat file has no layers, and a kit without sizes none for them.
        let layered = |size: &&SizeSheets| variant != Some("flat") && !size.name.is_empty();
        let size_layers = layout.sizes.iter().filter(layered).map(|size| press::size_layer(messages, &size.name)).collect();
        Some(package::Printed { layout, file, variant, language, size_layers, marks: made.promises.take()? })
    };
    Ok(made.iter_mut().filter_map(one).collect())
}

/// A file of the same name that kitwright did not make for this kit is never replaced.
pub(super) fn refuse_strangers(path: &Path, kit: &str) -> Result<(), Diagnostic> {
    if !path.exists() || files::read(path, u64::MAX - 1, code!("cannot-write")).is_ok_and(|bytes| package::is_ours(&bytes, kit))
    {
        return Ok(());
    }
    let shown = path.display().to_string();
    Err(error!("cannot-write", shown).at(Place::file(shown)))
}
