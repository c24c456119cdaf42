//! The languages of a kit: kitwright's words and the publisher's, from the catalogues in the kit's folder `languages`.

use crate::catalogue::{KitWords, Messages, builtin_languages, is_pseudo, po};
use crate::diagnostic::{Diagnostic, Findings, Place, nearest, or_list};
use crate::files;
use crate::manifest::{Kit, Untranslated};
use crate::translation::{self, Room, State, Status, kit_texts, spoken, status, xliff};
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
pub(super) fn catalogue(folder: &Path, language: &str, findings: &mut Findings) -> Option<Vec<po::Entry>> {
    let name = file_name(language);
    let path = folder.join(&name);
    if !path.exists() {
        return Some(Vec::new());
    }
    entries(&path, &name, findings)
}

/// The entries of a PO or XLIFF file, unless it is broken.
pub(super) fn entries(path: &Path, name: &str, findings: &mut Findings) -> Option<Vec<po::Entry>> {
    let text = findings.take(files::read_text(path, CATALOGUE_BYTES, "po-unreadable"))?;
    let (entries, faults) = if xliff::looks_like_xliff(&text) { xliff::read(name, &text) } else { po::parse(name, &text) };
    let broken = faults.has_errors();
    findings.extend(faults);
    (!broken).then_some(entries)
}

/// Whether a kit has a catalogue for a language.
pub(super) fn has_catalogue(folder: &Path, language: &str) -> bool {
    folder.join(file_name(language)).exists()
}

/// All languages that the kit needs, the source language first. What is missing in them is told.
pub(super) fn read(kit: &Kit, folder: &Path, findings: &mut Findings) -> Vec<Language> {
    let source = (&kit.source_language, "source-language".to_owned());
    let others = kit.languages.iter().enumerate().map(|(index, tag)| (tag, format!("languages[{index}]")));
    let wanted = std::iter::once(source).chain(others.filter(|(tag, _)| **tag != kit.source_language));
    wanted.filter_map(|(tag, key)| language(kit, folder, tag, &key, findings)).collect()
}

fn language(kit: &Kit, folder: &Path, tag: &str, key: &str, findings: &mut Findings) -> Option<Language> {
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
    let guess = nearest(tag, known.iter().copied()).map(|name| format!("write `{name}` if that is meant"));
    let finding = Diagnostic::error("language-unknown", format!("kitwright has no words in language `{tag}` yet"));
    let finding = guess.into_iter().fold(finding, Diagnostic::hint);
    finding.hint(format!(
        "choose from {}, or translate the words yourself: `kitwright catalogue update KIT --language {tag}`",
        or_list(&known)
    ))
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
    let message = format!("{} of {} texts are not translated into `{tag}`", missing.len(), judged.len());
    let finding = match untranslated {
        Untranslated::Mark => Diagnostic::warning("text-untranslated", message + ", and shown as they are, with a mark"),
        Untranslated::Refuse => Diagnostic::error("text-untranslated", message),
    };
    let more = if missing.len() > NAMED { " and more" } else { "" };
    let finding = finding.at(Place::file(file_name(tag))).hint(format!("translate {}{more}", names.join(", ")));
    remarks.push(finding.hint(format!(
        "`kitwright catalogue update KIT` writes the file, `kitwright catalogue status KIT --language {tag}` lists all"
    )));
    remarks
}

fn remark(status: &Status) -> Option<Diagnostic> {
    let name = &status.text.context;
    // How wide words in the drawing come out is measured where they are set.
    let measured = matches!(status.text.room, Some(Room::Width { .. }));
    let (message, hint) = match &status.state {
        State::TooLong(..) if measured => return None,
        State::Done | State::Missing | State::Stale => return None,
        State::TooLong(letters, most) => {
            (format!("the translation of `{name}` has {letters} letters, and there is room for {most}"), "find shorter words")
        }
        State::Placeholder(hole) => {
            (format!("the translation of `{name}` has {hole}, which nobody fills"), "keep the placeholders of the text")
        }
        State::Markup(why) => (format!("the translation of `{name}` cannot be used: {why}"), "keep the markup of the text"),
    };
    Some(Diagnostic::warning("translation-unfit", message).at(status.place()).hint(hint))
}

/// The beginning of a text, for a list.
pub(super) fn short(text: &str) -> String {
    let mut letters = text.chars();
    let beginning: String = letters.by_ref().take(48).collect();
    if letters.next().is_some() { format!("“{beginning} …”") } else { format!("“{beginning}”") }
}
