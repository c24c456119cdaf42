//! The texts of one language, looked up by key.

use super::bidi;
use super::pattern::{fill, holes};
use super::plural::PluralRule;
use super::po::{self, Entry};
use super::pseudo::{is_pseudo, pseudo};
use crate::diagnostic::{Diagnostic, Findings};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The language that all texts are first written in.
const SOURCE: &str = "en";

/// The built-in languages with their files.
const BUILTIN: [(&str, &str); 6] = [
    (SOURCE, include_str!("../../templates/languages/en.po")),
    ("ar", include_str!("../../templates/languages/ar.po")),
    ("de", include_str!("../../templates/languages/de.po")),
    ("fr", include_str!("../../templates/languages/fr.po")),
    ("ja", include_str!("../../templates/languages/ja.po")),
    ("pl", include_str!("../../templates/languages/pl.po")),
];

/// The English texts, read once: those of every other language are laid over them.
static ENGLISH: LazyLock<Messages> = LazyLock::new(|| {
    let keyed = po::parse("en.po", BUILTIN[0].1).0.into_iter().filter_map(|entry| {
        let forms = std::iter::once(entry.id).chain(entry.id_plural).collect();
        Some((entry.context?, Text { forms, rule: PluralRule::One }))
    });
    Messages { language: SOURCE.into(), texts: keyed.collect() }
});

/// Tags of the languages that need no file from the user.
pub fn builtin_languages() -> Vec<&'static str> {
    BUILTIN.iter().map(|(language, _)| *language).collect()
}

/// All texts of one language.
#[derive(Clone, Debug)]
pub struct Messages {
    language: String,
    texts: BTreeMap<String, Text>,
}

/// One text with its plural forms; a text that is not translated keeps the rule of the language it is written in.
#[derive(Clone, Debug)]
struct Text {
    forms: Vec<String>,
    rule: PluralRule,
}

/// Which way a language is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// From left to right.
    LeftToRight,
    /// From right to left.
    RightToLeft,
}

impl Direction {
    /// Which way a language is written, by its tag.
    pub fn of(language: &str) -> Self {
        // The four right-to-left scripts that living publishers are likeliest to use; CLDR's layout data names more.
        match language.split('-').next() {
            Some("ar" | "fa" | "he" | "ur") => Self::RightToLeft,
            _ => Self::LeftToRight,
        }
    }

    /// The value of HTML's `dir` attribute.
    pub const fn html(self) -> &'static str {
        match self {
            Self::LeftToRight => "ltr",
            Self::RightToLeft => "rtl",
        }
    }
}

impl Messages {
    /// The texts of a built-in language or pseudo-language, by its tag; `None` if there is no such language.
    pub fn builtin(language: &str) -> Option<Self> {
        if is_pseudo(language) {
            return Some(Self::pseudo(language));
        }
        let (_, text) = BUILTIN.iter().find(|(tag, _)| *tag == language)?;
        if language == SOURCE { Some(Self::source()) } else { Self::translated(language, &format!("{language}.po"), text).0 }
    }

    /// The texts of a translation in the PO format; what is missing, unfinished or stale in it is shown in English and reported.
    ///
    /// `None` if the file is broken or the plural forms of the language are not known.
    pub fn translated(language: &str, file: &str, text: &str) -> (Option<Self>, Findings) {
        let (entries, mut findings) = po::parse(file, text);
        let Some(rule) = PluralRule::of(language) else {
            findings.push(error!("language-unknown", language));
            return (None, findings);
        };
        if findings.has_errors() {
            return (None, findings);
        }
        let mut messages = Self { language: language.into(), ..Self::source() };
        let (done, faults) = messages.translations(&entries, rule);
        messages.texts.extend(done);
        findings.extend(faults);
        (Some(messages), findings)
    }

    /// The texts of a language that is not built in, from the entries of a translation; what is missing is English and says so
    /// by a mark behind it.
    ///
    /// `None` if the plural forms of the language are not known. What is wrong with the entries is not told here.
    pub fn spoken(language: &str, entries: &[Entry]) -> Option<Self> {
        let rule = PluralRule::of(language)?;
        let source = Self { language: language.into(), ..Self::source() };
        let (done, _) = source.translations(entries, rule);
        let mut messages = source;
        messages.each_word(|form| format!("{form} [{SOURCE}]"));
        messages.texts.extend(done);
        Some(messages)
    }

    /// Changes all texts but signs, orders and names of the forms of numbers, dates and lists, which are no words.
    fn each_word(&mut self, change: impl Fn(&str) -> String) {
        let words = |key: &str| !key.starts_with("format.") && !key.starts_with("list.") && key != "language.name";
        for (_, text) in self.texts.iter_mut().filter(|(key, _)| words(key)) {
            text.forms.iter_mut().for_each(|form| *form = change(form));
        }
    }

    /// All texts to be translated, with the notes for translators; the first entry is the header.
    pub fn source_entries() -> Vec<Entry> {
        po::parse("en.po", BUILTIN[0].1).0
    }

    fn pseudo(language: &str) -> Self {
        let mut messages = Self { language: language.into(), ..Self::source() };
        messages.each_word(|form| pseudo(language, form));
        messages
    }

    /// The source language, whose texts are the msgids themselves.
    fn source() -> Self {
        ENGLISH.clone()
    }

    /// Finished translations to be put in the place of English texts, and what was left out.
    fn translations(&self, entries: &[Entry], rule: PluralRule) -> (BTreeMap<String, Text>, Vec<Diagnostic>) {
        let (mut done, mut findings) = (BTreeMap::new(), Vec::new());
        for entry in entries.iter().filter(|entry| !entry.obsolete) {
            let Some((key, source)) = entry.context.as_ref().and_then(|key| self.texts.get_key_value(key)) else { continue };
            match source.translation(entry, rule) {
                Ok(text) => _ = done.insert(key.clone(), text),
                Err(fault) => findings.push(fault.at(entry.place.clone())),
            }
        }
        let there: BTreeSet<&str> = entries.iter().filter_map(|entry| entry.context.as_deref()).collect();
        for key in self.texts.keys().filter(|key| !there.contains(key.as_str())) {
            findings.push(warning!("translation-missing", key));
        }
        (done, findings)
    }

    /// Tag of the language, as in `en`.
    pub fn language(&self) -> &str {
        &self.language
    }

    /// Which way the language is written.
    pub fn direction(&self) -> Direction {
        Direction::of(&self.language)
    }

    /// Whether there is a text of that key.
    pub fn has(&self, key: &str) -> bool {
        self.texts.contains_key(key)
    }

    /// All keys, sorted.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.texts.keys().map(String::as_str)
    }

    /// All texts whose keys begin like this, in all their forms, with their holes unfilled.
    pub fn beginning<'a>(&'a self, beginning: &'a str) -> impl Iterator<Item = &'a str> {
        let found = self.texts.range(beginning.to_owned()..).take_while(move |(key, _)| key.starts_with(beginning));
        found.flat_map(|(_, text)| text.forms.iter().map(String::as_str))
    }

    /// The text of a key, its holes filled by name.
    ///
    /// Keys are written in our own sources only, and a test holds every one of them against the catalogue; should one slip
    /// through all the same, it is shown in place of its text.
    pub fn text(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.form(key, 1, values)
    }

    /// The text of a key in the form that a number asks for; the number fills the hole `{n}`.
    pub fn count(&self, key: &str, n: usize, values: &[(&str, &str)]) -> String {
        let number = n.to_string();
        let values: Vec<_> = values.iter().copied().chain([("n", number.as_str())]).collect();
        self.form(key, n, &values)
    }

    fn form(&self, key: &str, n: usize, values: &[(&str, &str)]) -> String {
        let text = self.texts.get(key);
        debug_assert!(text.is_some(), "the catalogue has no text `{key}`");
        // A form can only be missing where a plural was asked of a text without one: its single form serves.
        let pattern = text.and_then(|text| text.forms.get(text.rule.form(n)).or(text.forms.last()));
        let Some(pattern) = pattern else { return key.to_owned() };
        let rtl = self.direction() == Direction::RightToLeft;
        let values: Vec<_> = values.iter().map(|(name, value)| (*name, bidi::isolated(pattern, value, rtl))).collect();
        let values: Vec<_> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
        fill(pattern, &values)
    }

    /// Parts of one line, a dot between them, in the order that the language is read.
    pub fn line(&self, parts: &[&str]) -> String {
        bidi::line(parts, self.direction() == Direction::RightToLeft)
    }
}

impl Text {
    /// The translation of this text, or why it cannot be used.
    #[allow(clippy::result_large_err, reason = "a finding is the error of every step; a catalogue has few")]
    fn translation(&self, entry: &Entry, rule: PluralRule) -> Result<Self, Diagnostic> {
        let key = entry.context.as_deref().unwrap_or_default();
        let wanted = if self.forms.len() > 1 { rule.forms() } else { 1 };
        let finished = entry.strings.len() == wanted && entry.strings.iter().all(|text| !text.is_empty());
        if !finished || entry.is_fuzzy() {
            return Err(warning!("translation-missing/unfinished", key));
        }
        if self.forms.first() != Some(&entry.id) || self.forms.get(1) != entry.id_plural.as_ref() {
            return Err(warning!("translation-stale", key));
        }
        // A hole may be left out, as where a word for one thing needs no number; a hole that nobody fills may not come in.
        let known: Vec<_> = self.forms.iter().flat_map(|form| holes(form)).collect();
        match entry.strings.iter().flat_map(|text| holes(text)).find(|hole| !known.contains(hole)) {
            Some(hole) => Err(error!("placeholder-unknown", key, hole)),
            None => Ok(Self { forms: entry.strings.clone(), rule }),
        }
    }
}

#[cfg(test)]
#[path = "messages_tests.rs"]
mod tests;
