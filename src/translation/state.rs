//! In what state a catalogue is: which texts are done, and what is wrong with the others.

use super::texts::{Kind, KitText};
use crate::catalogue::po::Entry;
use crate::catalogue::{KitWords, PluralRule, holes, loose};
use crate::diagnostic::Place;
use std::collections::BTreeMap;

/// How far one text is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// Translated, and fit to print.
    Done,
    /// Not translated.
    Missing,
    /// The text has changed since it was translated, or a translator marked it as unsure.
    Stale,
    /// Translated, but the words need more room than there is: how many letters there are, and how many may be.
    TooLong(usize, usize),
    /// A placeholder that the text does not have, or that is left out.
    Placeholder(String),
    /// Markup that the text does not have, or that is broken: why.
    Markup(String),
}

/// One text of a kit with its state.
#[derive(Clone, Debug)]
pub struct Status<'a> {
    /// The text.
    pub text: &'a KitText,
    /// Its state.
    pub state: State,
    /// The entry, where there is one.
    pub entry: Option<&'a Entry>,
}

impl State {
    /// Whether the translation is used in a build; one that is too long is, with a warning.
    pub const fn is_used(&self) -> bool {
        matches!(self, Self::Done | Self::TooLong(..))
    }
}

impl Status<'_> {
    /// Where a translator finds it: in the catalogue, or else where the kit says it.
    pub fn place(&self) -> Place {
        let of_entry = self.entry.map(|entry| entry.place.clone());
        of_entry.or_else(|| self.text.places.first().cloned()).unwrap_or_default()
    }
}

/// The state of each text of a kit in a catalogue, in the order of the texts.
pub fn status<'a>(wanted: &'a [KitText], entries: &'a [Entry], language: &str) -> Vec<Status<'a>> {
    let used = entries.iter().filter(|entry| !entry.obsolete);
    let known: BTreeMap<(&str, &str), &Entry> =
        used.map(|entry| ((entry.context.as_deref().unwrap_or_default(), entry.id.as_str()), entry)).collect();
    let one = |text: &'a KitText| {
        let entry = known.get(&(text.context.as_str(), text.text.as_str())).copied();
        Status { text, state: entry.map_or(State::Missing, |entry| state(text, entry, language)), entry }
    };
    wanted.iter().map(one).collect()
}

/// What a language says, from the texts that are done.
pub fn spoken(status: &[Status]) -> KitWords {
    let done = status.iter().filter(|status| status.state.is_used());
    KitWords::translated(done.filter_map(|status| {
        let translation = status.entry?.strings.first()?.clone();
        Some((status.text.context.clone(), status.text.text.clone(), translation))
    }))
}

fn state(text: &KitText, entry: &Entry, language: &str) -> State {
    let forms = if text.plural.is_some() { PluralRule::of(language).map_or(1, PluralRule::forms) } else { 1 };
    if entry.strings.len() != forms || entry.strings.iter().any(|string| string.trim().is_empty()) {
        return State::Missing;
    }
    if entry.is_fuzzy() || entry.id_plural != text.plural {
        return State::Stale;
    }
    let faults = entry.strings.iter().filter_map(|string| fault(text, string));
    faults.reduce(|first, _| first).unwrap_or(State::Done)
}

/// What is wrong with one translation.
fn fault(text: &KitText, string: &str) -> Option<State> {
    if let Some(sign) = unseen(string) {
        return Some(State::Markup(say!("has-steering-sign", codepoint = format_args!("{:04X}", u32::from(sign)))));
    }
    let broken = match text.kind {
        Kind::Line => (string.contains('\n')).then(|| State::Markup(words!("must-stay-on-one").into())),
        Kind::Markdown => crate::markdown::fits(&text.text, string).err().map(State::Markup),
        Kind::Pattern => placeholder(text, string).map(State::Placeholder),
    };
    broken.or_else(|| match text.room {
        Some(room) if string.chars().count() > room.letters() => Some(State::TooLong(string.chars().count(), room.letters())),
        _ => None,
    })
}

/// A control character, or a sign that would turn the words around the translation.
pub fn unseen(string: &str) -> Option<char> {
    let control = string.chars().find(|c| c.is_control() && !matches!(c, '\n' | '\t'));
    control.or_else(|| loose(string).map(|(_, sign)| sign))
}

/// A placeholder that nobody fills.
fn placeholder(text: &KitText, string: &str) -> Option<String> {
    let known: Vec<String> =
        std::iter::once(&text.text).chain(&text.plural).flat_map(|form| holes(form)).map(str::to_owned).collect();
    holes(string).into_iter().find(|hole| !known.iter().any(|name| name == hole)).map(|hole| format!("`{{{hole}}}`"))
}
