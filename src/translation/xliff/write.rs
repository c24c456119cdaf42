//! Writes entries as XLIFF.

use super::{
    COMMENT, FLAGS, HEADER, NAMESPACE, NO_CONTEXT, NOTE, OBSOLETE, PLURAL, PREVIOUS, PREVIOUS_CONTEXT, PREVIOUS_PLURAL,
    REFERENCE,
};
use crate::catalogue::po::Entry;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use std::io::Result;

/// The XLIFF text of entries; `original` names kit and edition.
pub fn written(entries: &[Entry], source: &str, target: &str, original: &str) -> String {
    let mut writer = Sheet(Writer::new_with_indent(Vec::new(), b' ', 1));
    // Writing into memory cannot fail.
    let _ = writer.document(entries, source, target, original);
    let mut text = String::from_utf8(writer.0.into_inner()).unwrap_or_default();
    text.push('\n');
    text
}

struct Sheet(Writer<Vec<u8>>);

impl Sheet {
    fn document(&mut self, entries: &[Entry], source: &str, target: &str, original: &str) -> Result<()> {
        self.0.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        self.open("xliff", &[("xmlns", NAMESPACE), ("version", "2.1"), ("srcLang", source), ("trgLang", target)])?;
        self.open("file", &[("id", "kit"), ("original", original)])?;
        let (headers, texts): (Vec<_>, Vec<_>) = entries.iter().partition(|entry| entry.is_header());
        if let Some(header) = headers.first() {
            let own = header.strings.iter().map(|text| (HEADER, text.as_str()));
            let own: Vec<_> = own.chain(header.comments.iter().map(|text| (COMMENT, text.as_str()))).collect();
            self.notes(&own)?;
        }
        for (number, entry) in (1..).zip(texts) {
            self.entry(number, entry)?;
        }
        self.close("file")?;
        self.close("xliff")
    }

    fn entry(&mut self, number: usize, entry: &Entry) -> Result<()> {
        let name = entry.context.as_deref().unwrap_or_default();
        let id = format!("t{number}");
        let Some(plural) = &entry.id_plural else {
            let form = entry.strings.first().map(String::as_str).unwrap_or_default();
            return self.unit(&id, name, Some(entry), (&entry.id, form), entry.is_fuzzy());
        };
        self.open("group", &[("id", &id), ("name", name), ("type", PLURAL)])?;
        self.notes(&notes(entry))?;
        for (form, text) in entry.strings.iter().enumerate() {
            let source = if form == 0 { &entry.id } else { plural };
            self.unit(&format!("{id}-{form}"), name, None, (source, text), entry.is_fuzzy())?;
        }
        // A language without plural forms still needs the plural text of the source.
        if entry.strings.len() < 2 {
            self.unit(&format!("{id}-plural"), name, None, (plural, ""), false)?;
        }
        self.close("group")
    }

    fn unit(&mut self, id: &str, name: &str, noted: Option<&Entry>, (source, target): (&str, &str), fuzzy: bool) -> Result<()> {
        self.open("unit", &[("id", id), ("name", name)])?;
        if let Some(entry) = noted {
            self.notes(&notes(entry))?;
        }
        let state = match (target.is_empty(), fuzzy) {
            (true, _) => "initial",
            (_, true) => "translated",
            _ => "reviewed",
        };
        self.open("segment", &[("state", state)])?;
        self.words("source", source)?;
        if !target.is_empty() {
            self.words("target", target)?;
        }
        self.close("segment")?;
        self.close("unit")
    }

    fn notes(&mut self, notes: &[(&str, &str)]) -> Result<()> {
        if notes.is_empty() {
            return Ok(());
        }
        self.open("notes", &[])?;
        for (category, text) in notes {
            self.words_in("note", &[("category", category)], text)?;
        }
        self.close("notes")
    }

    fn words(&mut self, element: &str, text: &str) -> Result<()> {
        self.words_in(element, &[("xml:space", "preserve")], text)
    }

    /// An element with text in it. What XML cannot hold is written as `cp`; a carriage return, which it would not keep, too.
    fn words_in(&mut self, element: &str, attributes: &[(&str, &str)], text: &str) -> Result<()> {
        let start = BytesStart::new(element).with_attributes(attributes.iter().copied());
        let content = element != "note";
        let odd = |letter: char| {
            (letter.is_control() && !['\n', '\t'].contains(&letter)) || ['\u{fffe}', '\u{ffff}'].contains(&letter)
        };
        // One write, so that the indenting writer adds no blank inside.
        let mut inner = String::new();
        for letter in text.chars() {
            match letter {
                odd_one if odd(odd_one) && content => inner.push_str(&format!("<cp hex=\"{:04X}\"/>", u32::from(odd_one))),
                odd_one if odd(odd_one) => inner.push('\u{fffd}'),
                other => inner.push_str(&quick_xml::escape::escape(&*other.encode_utf8(&mut [0; 4]))),
            }
        }
        self.0.write_event(Event::Start(start))?;
        self.0.write_event(Event::Text(BytesText::from_escaped(inner)))?;
        self.0.write_event(Event::End(BytesEnd::new(element)))
    }

    fn open(&mut self, element: &str, attributes: &[(&str, &str)]) -> Result<()> {
        self.0.write_event(Event::Start(BytesStart::new(element).with_attributes(attributes.iter().copied())))
    }

    fn close(&mut self, element: &str) -> Result<()> {
        self.0.write_event(Event::End(BytesEnd::new(element)))
    }
}

/// What an entry has beside its texts.
fn notes(entry: &Entry) -> Vec<(&'static str, &str)> {
    fn all<'a>(category: &'static str, lines: &'a [String]) -> impl Iterator<Item = (&'static str, &'a str)> {
        lines.iter().map(move |line| (category, line.as_str()))
    }
    let previous = &entry.previous;
    let earlier = [(PREVIOUS_CONTEXT, &previous.context), (PREVIOUS, &previous.id), (PREVIOUS_PLURAL, &previous.id_plural)];
    let earlier = earlier.into_iter().filter_map(|(category, text)| Some((category, text.as_deref()?)));
    let marks = [(OBSOLETE, entry.obsolete), (NO_CONTEXT, entry.context.is_none())];
    let marks = marks.into_iter().filter(|(_, is)| *is).map(|(category, _)| (category, "yes"));
    all(NOTE, &entry.notes)
        .chain(all(COMMENT, &entry.comments))
        .chain(all(REFERENCE, &entry.references))
        .chain(all(FLAGS, &entry.flags))
        .chain(earlier)
        .chain(marks)
        .collect()
}
