//! The first reading of the drawing, event by event: well-formedness, limits, names, numbers, and who uses whom.

use super::entities::EntityFault;
use super::numbers;
use super::outline::{Element, Link, Outline};
use super::source::Source;
use crate::diagnostic::{Diagnostic, Findings};
use quick_xml::events::attributes::{AttrError, Attributes};
use quick_xml::events::{BytesText, Event};
use quick_xml::reader::Reader;
use std::borrow::Cow;

/// Deepest nesting of elements.
const DEEPEST: usize = 256;
/// Most elements of a drawing.
const MOST: usize = 2_000_000;
/// A number beyond this, in user units, is looked at again once the scale is known.
const FAR: f64 = 50_000.0;

/// What the first reading gives.
#[derive(Debug, Default)]
pub struct Prepass<'a> {
    /// All elements.
    pub outline: Outline<'a>,
    /// Bad values, each with its element; they count only where something would be printed.
    pub suspects: Vec<(usize, Diagnostic)>,
    /// Numbers that may lie too far out: element, number in user units, byte offset of the value.
    pub far: Vec<(usize, f64, usize)>,
    /// Lengths in Q: byte range of the value, and the number.
    pub quarters: Vec<(std::ops::Range<usize>, f64)>,
}

/// Reads the drawing once; after a fault of the XML itself nothing else can be trusted, so then there is no result.
pub fn prepass<'a>(source: &'a Source<'a>, findings: &mut Findings) -> Option<Prepass<'a>> {
    let mut walker = Walker { source, prepass: Prepass::default(), open: Vec::new(), sheet: None };
    findings.take(walker.walk())?;
    Some(walker.prepass)
}

struct Walker<'a> {
    source: &'a Source<'a>,
    prepass: Prepass<'a>,
    /// Open elements, each with its latest child.
    open: Vec<(usize, Option<usize>)>,
    /// Text of the `style` element being read.
    sheet: Option<String>,
}

impl<'a> Walker<'a> {
    fn walk(&mut self) -> Result<(), Diagnostic> {
        let mut reader = Reader::from_str(self.source.text);
        reader.config_mut().check_comments = true;
        loop {
            let start = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
            let event = reader.read_event().map_err(|error| {
                let at = usize::try_from(reader.error_position()).unwrap_or(start);
                self.broken(at, &error.to_string())
            })?;
            let end = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
            match event {
                Event::Start(_) => self.start(start, end.saturating_sub(1), false)?,
                Event::Empty(_) => self.start(start, end.saturating_sub(2), true)?,
                Event::End(_) => self.end(),
                Event::Text(text) => self.text(&text, start)?,
                Event::CData(text) => self.cdata(&text, start)?,
                Event::GeneralRef(name) => self.reference(&name, start)?,
                Event::DocType(text) => {
                    self.prepass.outline.entities.declare(&text).map_err(|fault| self.entity(fault, start))?
                }
                Event::Eof => return self.finish(),
                Event::Comment(_) | Event::Decl(_) | Event::PI(_) => {}
            }
        }
    }

    fn broken(&self, at: usize, what: &str) -> Diagnostic {
        let finding = Diagnostic::error("xml-syntax", format!("the drawing is broken as XML: {what}"));
        finding.at(self.source.place(at)).hint("export the drawing again; if you edited it by hand, mend this line")
    }

    fn entity(&self, fault: EntityFault, at: usize) -> Diagnostic {
        fault.finding().at(self.source.place(at))
    }

    fn limit(&self, at: usize, what: String) -> Diagnostic {
        let finding = Diagnostic::error("drawing-too-complex", what).at(self.source.place(at));
        finding.hint("ungroup or simplify the drawing in its editor")
    }

    fn start(&mut self, start: usize, end: usize, empty: bool) -> Result<(), Diagnostic> {
        let number = self.prepass.outline.elements.len();
        if self.open.is_empty() && number > 0 {
            return Err(self.broken(start, "a second outermost element starts here"));
        }
        if self.open.len() >= DEEPEST {
            return Err(self.limit(start, format!("elements are nested more than {DEEPEST} deep")));
        }
        if number >= MOST {
            return Err(self.limit(start, format!("the drawing has more than {MOST} elements")));
        }
        let head = self.source.text.get(start + 1..end).unwrap_or_default();
        let element = self.element(head, start, number);
        if number == 0 && element.tag != "svg" {
            let finding =
                Diagnostic::error("drawing-not-svg", format!("the outermost element is `<{}>`, not `<svg>`", element.tag));
            return Err(finding.at(self.source.place(start)).hint("export the drawing as SVG"));
        }
        self.sheet = (element.tag == "style" && !empty).then(String::new);
        self.prepass.outline.elements.push(element);
        self.attributes(number, head)?;
        if let Some((_, latest)) = self.open.last_mut() {
            *latest = Some(number);
        }
        if !empty {
            self.open.push((number, None));
        }
        Ok(())
    }

    fn element(&self, head: &'a str, start: usize, number: usize) -> Element<'a> {
        let name = head.split(|c: char| c.is_whitespace()).next().unwrap_or_default();
        let (parent, previous) = self.open.last().map_or((None, None), |(parent, latest)| (Some(*parent), *latest));
        Element {
            tag: name.strip_prefix("svg:").unwrap_or(name),
            head,
            start,
            parent,
            previous,
            end: number + 1,
            id: None,
            bad_id: None,
            label: None,
            gone: false,
            visible: None,
        }
    }

    fn attributes(&mut self, number: usize, head: &'a str) -> Result<(), Diagnostic> {
        let name = head.find(|c: char| c.is_whitespace()).unwrap_or(head.len());
        let base = self.source.offset_of(head).unwrap_or(0);
        let mut labels = [None, None, None];
        for attribute in Attributes::new(head, name) {
            let attribute = attribute.map_err(|error| self.broken(base + position(&error), &error.to_string()))?;
            let Cow::Borrowed(raw) = attribute.value else { continue };
            let at = self.source.offset_of(raw).unwrap_or(base);
            if let Some(bracket) = raw.find('<') {
                return Err(self.broken(at + bracket, "a `<` stands inside an attribute"));
            }
            let value = self.prepass.outline.entities.normalise(raw).map_err(|fault| self.entity(fault, at))?;
            match attribute.key.0 {
                "id" => self.id(number, value, at, raw.len()),
                "inkscape:label" => labels[0] = Some(value),
                "data-name" => labels[1] = Some(value),
                "serif:id" => labels[2] = Some(value),
                "style" => self.style(number, value, at),
                key => self.property(number, key, value, at, raw.len()),
            }
        }
        if let Some(element) = self.prepass.outline.elements.get_mut(number) {
            element.label = labels.into_iter().flatten().find(|label| !label.trim().is_empty());
        }
        Ok(())
    }

    fn id(&mut self, number: usize, id: Cow<'a, str>, at: usize, length: usize) {
        let outline = &mut self.prepass.outline;
        let Some(element) = outline.elements.get_mut(number) else { return };
        if id.trim().is_empty() || outline.by_id.contains_key(&id) {
            element.bad_id = Some(at..at + length);
        } else {
            element.id = Some(id.clone());
            outline.by_id.insert(id, number);
        }
    }

    fn style(&mut self, number: usize, style: Cow<'a, str>, at: usize) {
        match style {
            Cow::Borrowed(style) => {
                for declaration in simplecss::DeclarationTokenizer::from(style) {
                    let at = self.source.offset_of(declaration.value).unwrap_or(at);
                    self.property(number, declaration.name, Cow::Borrowed(declaration.value), at, declaration.value.len());
                }
            }
            Cow::Owned(style) => {
                for declaration in simplecss::DeclarationTokenizer::from(style.as_str()) {
                    let key = known_key(declaration.name);
                    self.property(number, key, Cow::Owned(declaration.value.to_owned()), at, 0);
                }
            }
        }
    }

    fn property(&mut self, number: usize, key: &'a str, value: Cow<'a, str>, at: usize, length: usize) {
        let Some(element) = self.prepass.outline.elements.get_mut(number) else { return };
        match key {
            "display" => element.gone = value.trim() == "none",
            "visibility" => element.visible = visibility(&value),
            _ => {}
        }
        if element.is_foreign() || element.tag == "svg" && element.parent.is_none() {
            return;
        }
        self.number(number, key, &value, at, length);
        self.prepass.outline.links.extend(link(number, key, value, at));
    }

    fn number(&mut self, number: usize, key: &str, value: &str, at: usize, length: usize) {
        let tag = self.prepass.outline.elements.get(number).map_or("", |element| element.tag);
        let checked = numbers::check(tag, key, value);
        if let Some(fault) = checked.fault {
            let inside = value.chars().take(fault.at).map(char::len_utf8).sum::<usize>().min(length);
            let place = self.source.place(at + inside).element(self.prepass.outline.name_of(number));
            self.prepass.suspects.push((number, fault.finding.at(place)));
        }
        if checked.largest > FAR {
            self.prepass.far.push((number, checked.largest, at));
        }
        if let Some(quarters) = numbers::quarters(value).filter(|_| length > 0 && checked.largest > 0.0) {
            self.prepass.quarters.push((at..at + length, quarters));
        }
    }

    fn end(&mut self) {
        let count = self.prepass.outline.elements.len();
        if let Some((number, _)) = self.open.pop()
            && let Some(element) = self.prepass.outline.elements.get_mut(number)
        {
            element.end = count;
        }
        self.prepass.outline.sheets.extend(self.sheet.take().map(Cow::Owned));
    }

    fn text(&mut self, text: &BytesText, at: usize) -> Result<(), Diagnostic> {
        if self.open.is_empty() && !text.trim().is_empty() {
            let lead = text.len() - text.trim_start().len();
            return Err(self.broken(at + lead, "text stands outside the outermost element"));
        }
        if let Some(sheet) = &mut self.sheet {
            sheet.push_str(text);
        }
        Ok(())
    }

    fn cdata(&mut self, text: &str, at: usize) -> Result<(), Diagnostic> {
        match (&mut self.sheet, self.open.is_empty()) {
            (_, true) => Err(self.broken(at, "text stands outside the outermost element")),
            (Some(sheet), _) => Ok(sheet.push_str(text)),
            (None, _) => Ok(()),
        }
    }

    fn reference(&mut self, name: &str, at: usize) -> Result<(), Diagnostic> {
        if self.open.is_empty() {
            return Err(self.broken(at, "text stands outside the outermost element"));
        }
        let counted = self.prepass.outline.entities.count(name);
        counted.map_err(|fault| self.entity(fault, at))
    }

    fn finish(&mut self) -> Result<(), Diagnostic> {
        let unclosed = self.open.last().and_then(|(number, _)| self.prepass.outline.elements.get(*number));
        match unclosed {
            Some(element) => Err(self.broken(element.start, &format!("`<{}>` is never closed", element.tag))),
            None if self.prepass.outline.elements.is_empty() => Err(self.broken(0, "it holds no element at all")),
            None => Ok(()),
        }
    }
}

fn position(error: &AttrError) -> usize {
    match *error {
        AttrError::ExpectedEq(at) | AttrError::ExpectedValue(at) | AttrError::UnquotedValue(at) => at,
        AttrError::ExpectedQuote(at, _) | AttrError::Duplicated(at, _) => at,
    }
}

/// Which `visibility` a value names.
pub fn visibility(value: &str) -> Option<bool> {
    match value.trim() {
        "visible" => Some(true),
        "hidden" | "collapse" => Some(false),
        _ => None,
    }
}

/// Properties that link to other elements.
const LINKING: [&str; 8] = ["clip-path", "mask", "filter", "fill", "stroke", "marker-start", "marker-mid", "marker-end"];

/// The same key, independent of the text it was read from.
pub fn known_key(key: &str) -> &'static str {
    let others = ["display", "visibility", "transform", "stroke-width", "font-size", "stroke-dasharray", "marker"];
    LINKING.iter().chain(&others).find(|known| **known == key).copied().unwrap_or("")
}

/// The use that a value makes of another element, if it makes one.
pub fn link<'a>(from: usize, key: &'a str, value: Cow<'a, str>, at: usize) -> Option<Link<'a>> {
    if matches!(key, "href" | "xlink:href") {
        let to = match value {
            Cow::Borrowed(value) => Cow::Borrowed(value.trim().strip_prefix('#')?),
            Cow::Owned(value) => Cow::Owned(value.trim().strip_prefix('#')?.to_owned()),
        };
        return Some(Link { from, to, key, at, has_fallback: false });
    }
    if !LINKING.contains(&key) && key != "marker" || !value.contains("url(") {
        return None;
    }
    let (_, inside) = value.split_once("url(")?;
    let (name, rest) = inside.split_once(')')?;
    let name = name.trim().trim_matches(['"', '\'']).strip_prefix('#')?.to_owned();
    let has_fallback = matches!(key, "fill" | "stroke") && !rest.trim().is_empty();
    Some(Link { from, to: Cow::Owned(name), key, at, has_fallback })
}
