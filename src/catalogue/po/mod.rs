//! PO files (GNU gettext): read into entries with their places, with a finding for every line that is none, and written again.
//!
//! All of an entry is kept: context, texts, plural forms, comments of the translator, notes to translators, references, flags,
//! earlier texts, and whether it is obsolete.

mod quoted;
mod write;

pub use write::written;

use crate::diagnostic::{Diagnostic, Findings, Place};
use std::collections::BTreeMap;

/// One text of a PO file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Entry {
    /// `msgctxt`: the key of the text.
    pub context: Option<String>,
    /// `msgid`: the text in the source language.
    pub id: String,
    /// `msgid_plural`: the text for other numbers than one.
    pub id_plural: Option<String>,
    /// `msgstr`, or `msgstr[0]`, `msgstr[1]` …: the translation, empty if there is none yet.
    pub strings: Vec<String>,
    /// `# ` lines: the translator's own words.
    pub comments: Vec<String>,
    /// `#.` lines: what translators should know.
    pub notes: Vec<String>,
    /// `#:` lines: where the text appears.
    pub references: Vec<String>,
    /// `#,` lines: `fuzzy`, `python-brace-format` and others.
    pub flags: Vec<String>,
    /// `#|` lines: what the text was when it was translated, for a person to compare.
    pub previous: Previous,
    /// Whether the entry is no longer used (`#~`).
    pub obsolete: bool,
    /// Where the entry's first keyword stands.
    pub place: Place,
}

/// What an entry was when it was translated; empty unless it has changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Previous {
    /// `msgctxt`.
    pub context: Option<String>,
    /// `msgid`.
    pub id: Option<String>,
    /// `msgid_plural`.
    pub id_plural: Option<String>,
}

impl Entry {
    /// Whether a person still has to look at the translation.
    pub fn is_fuzzy(&self) -> bool {
        self.flags.iter().any(|flag| flag == "fuzzy")
    }

    /// Whether this is the header, the entry with an empty source text and no key.
    pub fn is_header(&self) -> bool {
        self.context.is_none() && self.id.is_empty()
    }
}

/// The part of an entry that a quoted text belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Field {
    Context,
    Id,
    Plural,
    /// `msgstr`, or `msgstr[n]`.
    Form(usize),
}

/// Reads a PO file; `file` is its name in findings. Every finding is an error, and the entries that could be read are given
/// all the same.
pub fn parse(file: &str, text: &str) -> (Vec<Entry>, Findings) {
    let mut reader = Reader { file, line: 0, ..Reader::default() };
    for line in text.trim_start_matches('\u{feff}').lines() {
        reader.line += 1;
        reader.read(line);
    }
    reader.finish();
    (reader.entries, reader.findings)
}

/// What has been read so far.
#[derive(Default)]
struct Reader<'a> {
    file: &'a str,
    line: u32,
    /// The entry that is being read, with the fields seen in it, the last one last.
    entry: Entry,
    fields: Vec<Field>,
    /// The field of the earlier texts that was seen last.
    earlier: Option<Field>,
    entries: Vec<Entry>,
    /// Where each key and text that is in use stands.
    seen: BTreeMap<(Option<String>, String), Place>,
    findings: Findings,
}

impl Reader<'_> {
    fn read(&mut self, line: &str) {
        let line_without_indent = line.trim_start();
        let indent = line.chars().count() - line_without_indent.chars().count();
        match line_without_indent.trim_end() {
            "" => self.finish(),
            comment if comment.starts_with('#') => self.read_comment(comment, indent),
            words => self.read_words(words, indent),
        }
    }

    fn read_comment(&mut self, comment: &str, indent: usize) {
        if let Some(rest) = comment.strip_prefix("#~") {
            let words = rest.trim_start();
            if let Some(earlier) = words.strip_prefix('|') {
                self.read_earlier(earlier, indent + comment.chars().count() - earlier.chars().count());
                self.entry.obsolete = true;
            } else if !words.is_empty() {
                self.read_words(words, indent + comment.chars().count() - words.chars().count());
                self.entry.obsolete = true;
            }
            return;
        }
        // A comment after the texts of an entry belongs to the next one.
        if !self.fields.is_empty() {
            self.finish();
        }
        let rest = comment.get(2..).unwrap_or_default();
        let words = rest.trim();
        match comment.as_bytes().get(1) {
            Some(b'.') => self.entry.notes.push(words.into()),
            Some(b':') => self.entry.references.push(words.into()),
            Some(b'|') => self.read_earlier(rest, indent + 2),
            Some(b',') => {
                self.entry.flags.extend(words.split(',').map(|flag| flag.trim().to_owned()).filter(|flag| !flag.is_empty()));
            }
            _ => self.entry.comments.push(comment.trim_start_matches('#').trim().into()),
        }
    }

    /// Reads `keyword "text"` of the earlier texts, or a further `"text"`.
    fn read_earlier(&mut self, words: &str, indent: usize) {
        let (keyword, value) = words.split_at(words.find('"').unwrap_or(words.len()));
        let column = indent + keyword.chars().count();
        if !keyword.trim().is_empty() {
            self.earlier = field(keyword.trim());
        }
        let text = match quoted::read(value) {
            Ok(text) => text,
            Err(fault) => return self.fault(column + fault.at, fault.finding),
        };
        let previous = &mut self.entry.previous;
        let place = match self.earlier {
            Some(Field::Context) => &mut previous.context,
            Some(Field::Id) => &mut previous.id,
            Some(Field::Plural) => &mut previous.id_plural,
            _ => return self.fault(indent, error!("po-syntax/earlier-bare")),
        };
        place.get_or_insert_default().push_str(&text);
    }

    /// Reads `keyword "text"`, or a further `"text"` of the same field.
    fn read_words(&mut self, words: &str, indent: usize) {
        let keyword_end = words.find(|c: char| c == '"' || c.is_whitespace()).unwrap_or(words.len());
        let (keyword, rest) = words.split_at(keyword_end);
        let value = rest.trim_start();
        let value_column = indent + words.chars().count() - value.chars().count();
        if !keyword.is_empty() && !self.begin_field(keyword, indent) {
            return;
        }
        match quoted::read(value) {
            Ok(text) => self.append(&text, indent),
            Err(fault) => self.fault(value_column + fault.at, fault.finding),
        }
    }

    /// Starts the field that a keyword names; says whether there is such a field and whether it may stand here.
    fn begin_field(&mut self, keyword: &str, column: usize) -> bool {
        let Some(field) = field(keyword) else {
            self.fault(column, error!("po-syntax/no-keyword", keyword));
            return false;
        };
        if field.begins_entry_after(&self.fields) {
            self.finish();
        }
        if !field.may_follow(self.fields.last().copied()) {
            self.fault(column, error!("po-syntax/wrong-place", keyword));
            return false;
        }
        if self.fields.is_empty() {
            self.entry.place = Place::at(self.file, self.line, column as u32 + 1);
        }
        self.fields.push(field);
        true
    }

    /// Adds a text to the last field.
    fn append(&mut self, text: &str, column: usize) {
        match self.fields.last() {
            None => self.fault(column, error!("po-syntax/bare")),
            Some(Field::Context) => self.entry.context.get_or_insert_default().push_str(text),
            Some(Field::Id) => self.entry.id.push_str(text),
            Some(Field::Plural) => self.entry.id_plural.get_or_insert_default().push_str(text),
            Some(&Field::Form(n)) => {
                // `may_follow` lets forms rise by one only, so this adds at most one.
                self.entry.strings.resize(self.entry.strings.len().max(n + 1), String::new());
                self.entry.strings.last_mut().into_iter().for_each(|form| form.push_str(text));
            }
        }
    }

    /// Closes the entry that is being read.
    fn finish(&mut self) {
        let entry = std::mem::take(&mut self.entry);
        let fields = std::mem::take(&mut self.fields);
        self.earlier = None;
        match fields.last() {
            Some(Field::Form(_)) => self.keep(entry),
            // Texts without `msgstr`; comments alone, as at the end of a file, are no entry.
            Some(_) => self.findings.push(error!("po-entry").at(entry.place)),
            None => {}
        }
    }

    /// Keeps an entry unless another one of the same key and text is there already.
    fn keep(&mut self, entry: Entry) {
        let key = (entry.context.clone(), entry.id.clone());
        match self.seen.get(&key).filter(|_| !entry.obsolete) {
            None => {
                if !entry.obsolete {
                    self.seen.insert(key, entry.place.clone());
                }
                self.entries.push(entry);
            }
            Some(first) => {
                let name = entry.context.as_ref().unwrap_or(&entry.id);
                self.findings.push(error!("po-duplicate", name, first).at(entry.place));
            }
        }
    }

    /// Notes what is wrong at a column (from 0) of this line.
    fn fault(&mut self, column: usize, finding: Diagnostic) {
        let place = Place::at(self.file, self.line, u32::try_from(column).map_or(u32::MAX, |column| column.saturating_add(1)));
        self.findings.push(finding.at(place));
    }
}

/// The field that a keyword names.
fn field(keyword: &str) -> Option<Field> {
    match keyword {
        "msgctxt" => Some(Field::Context),
        "msgid" => Some(Field::Id),
        "msgid_plural" => Some(Field::Plural),
        "msgstr" => Some(Field::Form(0)),
        _ => Some(Field::Form(keyword.strip_prefix("msgstr[")?.strip_suffix(']')?.parse().ok()?)),
    }
}

impl Field {
    /// Whether this field, after those, begins another entry: no blank line is needed between entries.
    fn begins_entry_after(self, fields: &[Self]) -> bool {
        matches!(self, Self::Context | Self::Id) && matches!(fields.last(), Some(Self::Form(_)))
    }

    /// The order of an entry: context, text, plural text, forms from 0 on.
    fn may_follow(self, last: Option<Self>) -> bool {
        match self {
            Self::Context => last.is_none(),
            Self::Id => matches!(last, None | Some(Self::Context)),
            Self::Plural => last == Some(Self::Id),
            Self::Form(0) => matches!(last, Some(Self::Id | Self::Plural)),
            Self::Form(n) => last == Some(Self::Form(n - 1)),
        }
    }
}

#[cfg(test)]
mod tests;
