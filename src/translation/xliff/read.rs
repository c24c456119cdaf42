//! Reads XLIFF into entries.

use super::{
    COMMENT, FLAGS, HEADER, NO_CONTEXT, NOTE, OBSOLETE, PLURAL, PREVIOUS, PREVIOUS_CONTEXT, PREVIOUS_PLURAL, REFERENCE,
};
use crate::catalogue::po::Entry;
use crate::diagnostic::{Findings, Place};
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};

/// Whether a text is XLIFF and no PO: it begins as XML does.
pub fn looks_like_xliff(text: &str) -> bool {
    text.trim_start_matches('\u{feff}').trim_start().starts_with('<')
}

/// Reads an XLIFF text; `file` is its name in findings. The entries that could be read are given beside any finding.
pub fn read(file: &str, text: &str) -> (Vec<Entry>, Findings) {
    let mut reading = Reading { file, lines: Lines::of(text), ..Reading::default() };
    let mut reader = Reader::from_str(text);
    loop {
        let at = usize::try_from(reader.buffer_position()).unwrap_or_default();
        match reader.read_event() {
            Ok(Event::Eof) => break reading.end(),
            Ok(event) => {
                if let Err(why) = reading.take(&event, at) {
                    break reading.fault(&why, at);
                }
            }
            Err(error) => break reading.fault(&error.to_string(), at),
        }
    }
    if !reading.is_xliff {
        reading.findings = error!("xliff-version").at(Place::file(file)).into();
    }
    (reading.entries, reading.findings)
}

/// What has been read so far.
#[derive(Default)]
struct Reading<'a> {
    file: &'a str,
    lines: Lines,
    is_xliff: bool,
    /// Names of the elements that are open.
    open: Vec<String>,
    category: String,
    words: String,
    /// The entry that is being read: that of a unit, or of a group of plural forms.
    entry: Entry,
    in_group: bool,
    sources: Vec<String>,
    target: Option<String>,
    header: Entry,
    entries: Vec<Entry>,
    findings: Findings,
}

/// Deeper than that no XLIFF is.
const DEEPEST: usize = 64;

impl Reading<'_> {
    fn take(&mut self, event: &Event, at: usize) -> Result<(), String> {
        match event {
            Event::Start(tag) => self.start(tag, at),
            Event::Empty(tag) => self.start(tag, at).and_then(|()| self.close()),
            Event::End(_) => self.close(),
            Event::Text(text) => {
                self.words.push_str(&text.xml10_content());
                Ok(())
            }
            Event::CData(text) => {
                self.words.push_str(&text.xml10_content());
                Ok(())
            }
            Event::GeneralRef(name) => self.reference(name),
            Event::DocType(_) => Err(words!("document-type-which-xliff").into()),
            Event::Decl(_) | Event::Comment(_) | Event::PI(_) | Event::Eof => Ok(()),
        }
    }

    fn reference(&mut self, name: &BytesRef) -> Result<(), String> {
        if let Some(letter) = name.resolve_char_ref().map_err(|error| error.to_string())? {
            self.words.push(letter);
            return Ok(());
        }
        let name: &str = name;
        let known = [("lt", '<'), ("gt", '>'), ("amp", '&'), ("quot", '"'), ("apos", '\'')];
        let letter = known.iter().find(|(known, _)| known == &name).map(|(_, letter)| *letter);
        self.words.push(letter.ok_or_else(|| say!("entity-not-declared", name))?);
        Ok(())
    }

    fn start(&mut self, tag: &BytesStart, at: usize) -> Result<(), String> {
        let name = tag.local_name().as_ref().to_owned();
        let attribute = |wanted: &str| -> Result<Option<String>, String> {
            let found = tag.try_get_attribute(wanted).map_err(|error| error.to_string())?;
            let value =
                found.map(|found| found.normalized_value(quick_xml::XmlVersion::Implicit1_0).map(|value| value.into_owned()));
            value.transpose().map_err(|error| error.to_string())
        };
        match name.as_str() {
            "xliff" => self.is_xliff = attribute("version")?.is_some_and(|version| version.starts_with("2.")),
            "group" | "unit" if !self.in_group => {
                self.entry = Entry {
                    context: Some(attribute("name")?.unwrap_or_default()),
                    place: self.lines.place(self.file, at),
                    ..Entry::default()
                };
                self.sources.clear();
                self.in_group = name == "group" && attribute("type")?.as_deref() == Some(PLURAL);
            }
            "segment" => self.target = None,
            "note" => self.category = attribute("category")?.unwrap_or_else(|| COMMENT.into()),
            "cp" => {
                let code = attribute("hex")?.and_then(|hex| u32::from_str_radix(&hex, 16).ok()).and_then(char::from_u32);
                self.words.push(code.ok_or(words!("cp-without-character"))?);
            }
            _ => {}
        }
        if ["note", "source", "target"].contains(&name.as_str()) {
            self.words.clear();
        }
        self.open.push(name);
        if self.open.len() > DEEPEST { Err(say!("more-than-levels", most = DEEPEST)) } else { Ok(()) }
    }

    fn close(&mut self) -> Result<(), String> {
        match self.open.pop().unwrap_or_default().as_str() {
            "note" => self.note(),
            "source" => self.sources.push(std::mem::take(&mut self.words)),
            "target" => self.target = Some(std::mem::take(&mut self.words)),
            "unit" => {
                self.entry.strings.push(self.target.take().unwrap_or_default());
                if !self.in_group {
                    self.keep();
                }
            }
            "group" if self.in_group => {
                self.in_group = false;
                self.keep();
            }
            _ => {}
        }
        Ok(())
    }

    fn note(&mut self) {
        let words = std::mem::take(&mut self.words);
        let of_file = !self.open.iter().any(|name| name == "unit" || name == "group");
        let entry = if of_file { &mut self.header } else { &mut self.entry };
        match self.category.as_str() {
            HEADER => entry.strings.push(words),
            NOTE => entry.notes.push(words),
            REFERENCE => entry.references.push(words),
            FLAGS => entry.flags.push(words),
            PREVIOUS_CONTEXT => entry.previous.context = Some(words),
            PREVIOUS => entry.previous.id = Some(words),
            PREVIOUS_PLURAL => entry.previous.id_plural = Some(words),
            OBSOLETE => entry.obsolete = true,
            NO_CONTEXT => entry.context = None,
            _ => entry.comments.push(words),
        }
    }

    /// Closes the entry that is being read.
    fn keep(&mut self) {
        let mut entry = std::mem::take(&mut self.entry);
        let mut sources = std::mem::take(&mut self.sources).into_iter();
        entry.id = sources.next().unwrap_or_default();
        entry.id_plural = sources.next();
        // A language without plural forms has a unit of its own for the plural text, which has no translation.
        if entry.id_plural.is_some() && entry.strings.len() == 2 && sources.next().is_none() && self.one_form() {
            entry.strings.truncate(1);
        }
        self.entries.push(entry);
    }

    /// Whether the header says that the language has one form.
    fn one_form(&self) -> bool {
        self.header.strings.iter().any(|header| header.contains("nplurals=1"))
    }

    fn end(&mut self) {
        if let Some(name) = self.open.last() {
            let why = say!("element-not-closed", name);
            self.fault(&why, usize::MAX);
        }
        if !self.header.strings.is_empty() {
            self.entries.insert(0, std::mem::take(&mut self.header));
        }
    }

    fn fault(&mut self, why: &str, at: usize) {
        self.findings.push(error!("xliff-syntax", why).at(self.lines.place(self.file, at)));
        self.is_xliff = true;
    }
}

/// Where the lines of a text begin.
#[derive(Default)]
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        Self(text.match_indices('\n').map(|(at, _)| at).collect())
    }

    fn place(&self, file: &str, at: usize) -> Place {
        let line = self.0.partition_point(|end| *end < at) + 1;
        Place::at(file, u32::try_from(line).unwrap_or(u32::MAX), 1)
    }
}
