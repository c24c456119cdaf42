//! The languages of a kit: kitwright's words and the publisher's, from the catalogues in the kit's folder `languages`.

use crate::catalogue::{KitWords, Messages, builtin_languages, is_pseudo, po};
use crate::diagnostic::{Diagnostic, Findings, Place, nearest, or_list};
use crate::files::{self, SourceFolder};
use crate::manifest::{Kit, Untranslated};
use crate::translation::{self, Room, State, Status, kit_texts, spoken, status, xliff};
use rayon::prelude::*;
use std::path::Path;

/// Largest catalogue that is read.
const CATALOGUE_BYTES: u64 = 10_000_000;
/// How many texts a finding about many names.
const NAMED: usize = 3;

/// One language of a kit.
#[derive(Clone, Debug)]
pub(super) struct Language {
    /// What kitwright says.
    pub(super) messages: Messages,
    /// What the publisher says.
    pub(super) words: KitWords,
}

impl Language {
    /// Its tag, as in `fr`.
    pub(super) fn tag(&self) -> &str {
        self.messages.language()
    }
}

/// The name of a language's catalogue, relative to the kit's folder.
pub(super) fn file_name(language: &str) -> String {
    format!("languages/{language}.po")
}

/// The entries of a language's catalogue, if there is one; none if it is broken, which is told.
pub(super) fn catalogue(folder: &SourceFolder, language: &str, findings: &mut Findings) -> Option<Vec<po::Entry>> {
    let name = file_name(language);
    let path = folder.join(&name);
    if !path.exists() {
        folder.searched(&folder.join("languages"));
        return Some(Vec::new());
    }
    let text = findings.take(folder.read_text(&path, CATALOGUE_BYTES, code!("po-unreadable")))?;
    parsed(&text, &name, findings)
}

/// The entries of a PO or XLIFF file, unless it is broken.
pub(super) fn entries(path: &Path, name: &str, findings: &mut Findings) -> Option<Vec<po::Entry>> {
    let text = findings.take(files::read_text(path, CATALOGUE_BYTES, code!("po-unreadable")))?;
    parsed(&text, name, findings)
}

fn parsed(text: &str, name: &str, findings: &mut Findings) -> Option<Vec<po::Entry>> {
    let (entries, faults) = if xliff::looks_like_xliff(text) { xliff::read(name, text) } else { po::parse(name, text) };
    let broken = faults.has_errors();
    findings.extend(faults);
    (!broken).then_some(entries)
}

/// Whether a kit has a catalogue for a language.
pub(super) fn has_catalogue(folder: &Path, language: &str) -> bool {
    folder.join(file_name(language)).exists()
}

/// All languages that the kit needs, the source language first. What is missing in them is told.
pub(super) fn read(kit: &Kit, folder: &SourceFolder, findings: &mut Findings) -> Vec<Language> {
    let source = (&kit.source_language, "source-language".to_owned());
    let others = kit.languages.iter().enumerate().map(|(index, tag)| (tag, format!("languages[{index}]")));
    let wanted = std::iter::once(source).chain(others.filter(|(tag, _)| **tag != kit.source_language));
    let wanted: Vec<(&String, String)> = wanted.collect();
    let read = |(tag, key): &(&String, String)| {
        let mut findings = Findings::new();
        (language(kit, folder, tag, key, &mut findings), findings)
    };
    let (languages, told): (Vec<_>, Vec<_>) = wanted.par_iter().map(read).unzip();
    told.into_iter().for_each(|told| findings.extend(told));
    languages.into_iter().flatten().collect()
}

fn language(kit: &Kit, folder: &SourceFolder, tag: &str, key: &str, findings: &mut Findings) -> Option<Language> {
    if is_pseudo(tag) {
        return Some(Language { messages: Messages::builtin(tag)?, words: KitWords::pseudo(tag) });
    }
    let entries = catalogue(folder, tag, findings)?;
    let texts = kit_texts(kit, tag);
    let own = tag == kit.source_language;
    // The publisher's own language needs no translation but that of kitwright's words, if these are not built in.
    let texts: Vec<_> = texts.into_iter().filter(|text| !own || text.context.starts_with(translation::OURS)).collect();
    let judged = status(&texts, &entries, tag);
    let Some(messages) = messages(tag, &judged) else {
        findings.push(unknown(tag).at(kit.places.of_path(key)));
        return None;
    };
    findings.extend(remarks(tag, &judged, kit.untranslated));
    let words = if own { KitWords::as_written() } else { spoken(&judged) };
    Some(Language { messages, words })
}

/// kitwright's words: built in, or from the kit's catalogue, which is enough if it is there: its gaps are told.
fn messages(tag: &str, judged: &[Status]) -> Option<Messages> {
    Messages::builtin(tag).or_else(|| {
        let ours = judged.iter().filter(|status| status.state.is_used()).filter_map(|status| {
            let key = status.text.context.strip_prefix(translation::OURS)?;
            Some(po::Entry { context: Some(key.to_owned()), ..status.entry?.clone() })
        });
        let ours: Vec<po::Entry> = ours.collect();
        let begun = judged.iter().any(|status| status.text.context.starts_with(translation::OURS) && status.entry.is_some());
        if begun { Messages::spoken(tag, &ours) } else { None }
    })
}

fn unknown(tag: &str) -> Diagnostic {
    let known = builtin_languages();
    let guess = nearest(tag, known.iter().copied()).map(|near| say!("write-near", near));
    let finding = guess.into_iter().fold(error!("language-unknown/words", tag), Diagnostic::hint);
    finding.hint(say!("language-unknown/choose", choices = or_list(&known), tag))
}

/// What a build has to tell about a language: what is missing in one finding, what is wrong one by one.
fn remarks(tag: &str, judged: &[Status], untranslated: Untranslated) -> Vec<Diagnostic> {
    let mut remarks: Vec<Diagnostic> = judged.iter().filter_map(remark).collect();
    let missing: Vec<&Status> = judged.iter().filter(|status| !status.state.is_used()).collect();
    if missing.is_empty() {
        return remarks;
    }
    let names = missing.iter().take(NAMED).map(|status| format!("{} {}", status.text.context, short(&status.text.text)));
    let names: Vec<String> = names.collect();
    let (missed, all) = (missing.len(), judged.len());
    let more = if missed > NAMED { words!("and-more") } else { "" };
    let names = names.join(", ");
    let finding = match untranslated {
        Untranslated::Mark => warning!("text-untranslated/marked", missed, all, tag, names, more),
        Untranslated::Refuse => error!("text-untranslated", missed, all, tag, names, more),
    };
    remarks.push(finding.at(Place::file(file_name(tag))));
    remarks
}

fn remark(status: &Status) -> Option<Diagnostic> {
    let name = &status.text.context;
    // How wide words in the drawing come out is measured where they are set.
    let measured = matches!(status.text.room, Some(Room::Width { .. }));
    let finding = match &status.state {
        State::TooLong(..) if measured => return None,
        State::Done | State::Missing | State::Stale => return None,
        State::TooLong(letters, most) => {
            warning!("translation-unfit/long", name, letters, most)
        }
        State::Placeholder(hole) => warning!("translation-unfit/placeholder", name, hole),
        State::Markup(why) => warning!("translation-unfit/markup", name, why),
    };
    Some(finding.at(status.place()))
}

/// The beginning of a text, for a list.
pub(super) fn short(text: &str) -> String {
    let mut letters = text.chars();
    let beginning: String = letters.by_ref().take(48).collect();
    if letters.next().is_some() { format!("“{beginning} …”") } else { format!("“{beginning}”") }
}
