//! Brings a catalogue up to what a kit says now: translations are kept, changed texts marked, old ones put aside.

use super::header::Header;
use super::texts::KitText;
use crate::catalogue::PluralRule;
use crate::catalogue::po::{Entry, Previous};
use std::collections::BTreeMap;

/// How alike two texts must be, 0 to 1, for a translation of one to be offered for the other: gettext's own merging asks 0.6.
const ALIKE: f64 = 0.6;
/// Longer texts are not compared letter by letter, which would cost the square of their length.
const LONGEST_COMPARED: usize = 2_000;
/// Most comparisons of one run, so that a catalogue of thousands of changed texts takes seconds and no more.
const MOST_COMPARED: usize = 20_000;

/// A catalogue brought up to date.
#[derive(Clone, Debug)]
pub struct Update {
    /// The header, then the kit's texts in reading order, then what is no longer in use.
    pub entries: Vec<Entry>,
    /// What was done.
    pub tally: Tally,
}

/// What an update did with the texts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Texts with the entry that they had.
    pub kept: usize,
    /// Texts that had none.
    pub added: usize,
    /// Texts with the translation of an earlier wording, for a person to look at.
    pub changed: usize,
    /// Translations that are put aside.
    pub dropped: usize,
}

/// Brings a catalogue up to date; without an old one it is a new catalogue with nothing translated.
pub fn update(wanted: &[KitText], old: &[Entry], header: &Header, day: jiff::civil::Date) -> Update {
    let rule = PluralRule::of(&header.language);
    let mut shelf = Shelf::of(old);
    // Exact matches first, all of them, so that no likeness takes what belongs to another text.
    let exact: Vec<Option<Entry>> = wanted.iter().map(|text| shelf.exact(text)).collect();
    let mut tally = Tally::default();
    let mut entries = vec![header.written(old.iter().find(|entry| entry.is_header()), day)];
    for (text, found) in wanted.iter().zip(exact) {
        let (entry, count) = match found {
            Some(entry) => (entry, &mut tally.kept),
            None => match shelf.alike(text) {
                Some(entry) => (fuzzy(entry), &mut tally.changed),
                None => (Entry::default(), &mut tally.added),
            },
        };
        *count += 1;
        entries.push(renewed(entry, text, rule));
    }
    let rest = shelf.rest();
    tally.dropped = rest.iter().filter(|(fresh, _)| *fresh).count();
    entries.extend(rest.into_iter().map(|(_, entry)| entry));
    Update { entries, tally }
}

/// The old entries that no text has taken yet.
struct Shelf<'a> {
    entries: Vec<Option<&'a Entry>>,
    /// Indices by context and text; entries in use before those put aside.
    known: BTreeMap<(&'a str, &'a str), usize>,
    compared: usize,
}

impl<'a> Shelf<'a> {
    fn of(old: &'a [Entry]) -> Self {
        let entries: Vec<_> = old.iter().filter(|entry| !entry.is_header()).map(Some).collect();
        let mut known = BTreeMap::new();
        for obsolete in [false, true] {
            for (index, entry) in entries.iter().enumerate() {
                let Some(entry) = entry.filter(|entry| entry.obsolete == obsolete) else { continue };
                known.entry((entry.context.as_deref().unwrap_or_default(), entry.id.as_str())).or_insert(index);
            }
        }
        Self { entries, known, compared: 0 }
    }

    fn exact(&mut self, text: &KitText) -> Option<Entry> {
        let index = *self.known.get(&(text.context.as_str(), text.text.as_str()))?;
        let entry = self.entries.get_mut(index)?.take_if(|entry| entry.id_plural == text.plural)?;
        Some(entry.clone())
    }

    /// The translated entry that is most like a text: the same words elsewhere in the kit, or similar ones in the same part.
    fn alike(&mut self, text: &KitText) -> Option<Entry> {
        let mut best: Option<(f64, usize)> = None;
        for (index, entry) in self.entries.iter().enumerate() {
            let Some(entry) = entry.filter(|entry| is_translated(entry) && entry.id_plural.is_some() == text.plural.is_some())
            else {
                continue;
            };
            let likeness = match (entry.id == text.text, entry.context.as_deref() == Some(text.context.as_str())) {
                (true, _) => 1.0,
                (false, true) if comparable(&entry.id, &text.text) && self.compared < MOST_COMPARED => {
                    self.compared += 1;
                    strsim::normalized_levenshtein(&entry.id, &text.text)
                }
                _ => continue,
            };
            if likeness >= ALIKE && best.is_none_or(|(most, _)| likeness > most) {
                best = Some((likeness, index));
            }
        }
        // What was once put aside stays there, and an entry may serve several texts that look like it.
        let (_, index) = best?;
        let entry = (*self.entries.get(index)?)?;
        self.entries
            .get_mut(index)
            .into_iter()
            .filter(|entry| entry.is_some_and(|entry| !entry.obsolete))
            .for_each(|taken| *taken = None);
        Some(entry.clone())
    }

    /// What is left, put aside, if anyone has worked on it, with whether it was still in use.
    fn rest(self) -> Vec<(bool, Entry)> {
        let worked_on = |entry: &&Entry| is_translated(entry) || !entry.comments.is_empty();
        let left = self.entries.into_iter().flatten().filter(worked_on);
        left.map(|entry| (!entry.obsolete, Entry { obsolete: true, notes: vec![], references: vec![], ..entry.clone() }))
            .collect()
    }
}

fn is_translated(entry: &Entry) -> bool {
    entry.strings.iter().any(|string| !string.is_empty())
}

/// Texts of very different lengths cannot be alike.
fn comparable(a: &str, b: &str) -> bool {
    let (short, long) = (a.len().min(b.len()), a.len().max(b.len()));
    long <= LONGEST_COMPARED && short as f64 >= ALIKE * long as f64
}

/// An entry whose text is about to change: it keeps its translation, what it was made for, and a mark.
fn fuzzy(entry: Entry) -> Entry {
    // A text that changed twice since it was translated is still the translation of the first.
    let previous = if entry.is_fuzzy() && entry.previous.id.is_some() {
        entry.previous.clone()
    } else {
        Previous { context: entry.context.clone(), id: Some(entry.id.clone()), id_plural: entry.id_plural.clone() }
    };
    Entry { flags: vec!["fuzzy".into()], previous, ..entry }
}

/// An entry with what the kit says now; the translation and the translator's own marks stay.
fn renewed(entry: Entry, text: &KitText, rule: Option<PluralRule>) -> Entry {
    let fuzzy = entry.is_fuzzy();
    let flags = fuzzy.then(|| "fuzzy".to_owned()).into_iter().chain(text.flags.iter().cloned()).collect();
    let mut previous = if fuzzy { entry.previous } else { Previous::default() };
    // Only what is different is worth a line.
    previous.context = previous.context.filter(|context| *context != text.context);
    let mut strings = entry.strings;
    strings.resize(if text.plural.is_some() { rule.map_or(2, PluralRule::forms) } else { 1 }, String::new());
    Entry {
        context: Some(text.context.clone()),
        id: text.text.clone(),
        id_plural: text.plural.clone(),
        strings,
        comments: entry.comments,
        notes: text.notes(),
        references: text.references(),
        flags,
        previous,
        obsolete: false,
        place: entry.place,
    }
}

#[cfg(test)]
#[path = "update_tests.rs"]
mod tests;
