//! The first reading of the drawing, event by event: well-formedness, limits, names, numbers, and who uses whom.

use super::cores;
use super::features;
use super::linking::{known_key, link};
use super::numbers::{self, Checked};
use super::outline::{Element, Outline};
use super::source::Source;
use crate::diagnostic::{Diagnostic, Findings};
use quick_xml::events::attributes::{AttrError, Attributes};
use quick_xml::events::{BytesText, Event};
use quick_xml::reader::Reader;
use std::borrow::Cow;

/// How many paths are checked at once.
const PATHS: usize = 16_384;
/// Points that a letter counts for: the outlines of most have fewer.
const LETTER: u64 = 32;
/// A number beyond this, in user units, is looked at again once the scale is known.
const FAR: f64 = 3_000.0;

/// What the first reading gives.
#[derive(Debug, Default)]
pub struct Prepass<'a> {
    /// All elements.
    pub outline: Outline<'a>,
    /// Bad values, each with its element; they count only where something would be printed.
    pub suspects: Vec<(usize, Diagnostic)>,
    /// Faults that count wherever they stand.
    pub always: Vec<Diagnostic>,
    /// Numbers that may lie too far out: element, number in user units, byte offset of the value.
    pub far: Vec<(usize, f64, usize)>,
    /// Lengths in Q: byte range of the value, and the number.
    pub quarters: Vec<(std::ops::Range<usize>, f64)>,
    /// Comments and instructions within style sheets: byte ranges. The SVG library would read no further.
    pub asides: Vec<std::ops::Range<usize>>,
}

/// Reads the drawing once; after a fault of the XML itself nothing else can be trusted, so then there is no result.
pub fn prepass<'a>(source: &'a Source<'a>, findings: &mut Findings) -> Option<Prepass<'a>> {
    let mut walker =
        Walker { source, prepass: Prepass::default(), open: Vec::new(), paths: Vec::new(), sheet: None, sheets: 0 };
    findings.take(walker.walk())?;
    findings.take(walker.check_paths())?;
    Some(walker.prepass)
}

/// A value of an element, still to be checked.
struct Value<'a> {
    element: usize,
    value: Cow<'a, str>,
    /// Byte offset, and how many bytes stand there.
    at: usize,
    length: usize,
}

struct Walker<'a> {
    source: &'a Source<'a>,
    prepass: Prepass<'a>,
    /// Open elements, each with its latest child.
    open: Vec<(usize, Option<usize>)>,
    /// Path data: nearly all of most drawings, and checked at the end on all cores.
    paths: Vec<Value<'a>>,
    /// Text of the `style` element being read.
    sheet: Option<String>,
    /// What all style sheets cost so far.
    sheets: usize,
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
            if self.sheet.is_some() && matches!(event, Event::Comment(_) | Event::PI(_)) {
                self.prepass.asides.push(start..end);
            }
            match event {
                Event::Start(_) => self.start(start, end.saturating_sub(1), false)?,
                Event::Empty(_) => self.start(start, end.saturating_sub(2), true)?,
                Event::End(_) => self.end(start)?,
                Event::Text(text) => self.text(&text, start)?,
                Event::CData(text) => self.cdata(&text, start)?,
                Event::GeneralRef(name) => self.reference(&name, start)?,
                Event::DocType(text) => {
                    self.prepass.outline.entities.declare(&text).map_err(|fault| self.entity(fault, start))?;
                }
                Event::Eof => return self.finish(),
                Event::PI(text) => features::of_instruction(&text).into_iter().for_each(|finding| self.tell(start, finding)),
                Event::Comment(_) | Event::Decl(_) => {}
            }
        }
    }

    /// The finding for XML that is not well-formed.
    fn broken(&self, at: usize, what: &str) -> Diagnostic {
        error!("xml-syntax", what).at(self.source.place(at))
    }

    fn entity(&self, fault: Diagnostic, at: usize) -> Diagnostic {
        fault.at(self.source.place(at))
    }

    /// An element opens, and closes at once if it is empty.
    fn start(&mut self, start: usize, end: usize, empty: bool) -> Result<(), Diagnostic> {
        let number = self.prepass.outline.elements.len();
        // The XML reader lets several outermost elements and endless depth pass.
        if self.open.is_empty() && number > 0 {
            return Err(self.broken(start, words!("second-outermost-element-starts")));
        }
        let limits = self.source.limits;
        if self.open.len() >= limits.depth {
            return Err(error!("drawing-too-complex/deep", most = limits.depth).at(self.source.place(start)));
        }
        if number >= limits.elements {
            return Err(error!("drawing-too-complex/many", most = limits.elements).at(self.source.place(start)));
        }
        self.few_faults(start)?;
        let head = self.source.text.get(start + 1..end).unwrap_or_default();
        let element = self.element(head, start, number);
        if number == 0 && element.tag != "svg" {
            return Err(error!("drawing-not-svg", tag = element.tag).at(self.source.place(start)));
        }
        self.sheet = (element.tag == "style" && !empty).then(String::new);
        if element.tag == "script" {
            self.tell(start, features::script());
        }
        let asks = element.attributes().any(|(key, _)| key == "requiredExtensions");
        let feature = features::of_element(element.tag, asks);
        self.prepass.suspects.extend(feature.map(|finding| (number, finding.at(self.source.place(start)))));
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
            tail: None,
            parent,
            previous,
            end: number + 1,
            id: None,
            bad_id: None,
            label: None,
            gone: false,
            visible: None,
            points: 0,
        }
    }

    /// Takes all attributes of the element that has just opened.
    fn attributes(&mut self, number: usize, head: &'a str) -> Result<(), Diagnostic> {
        let name = head.find(|c: char| c.is_whitespace()).unwrap_or(head.len());
        let base = self.source.offset_of(head).unwrap_or(0);
        let mut labels = [None, None, None];
        for (count, attribute) in Attributes::new(head, name).enumerate() {
            if count >= self.source.limits.attributes {
                return Err(self.crowded(base));
            }
            let attribute = attribute.map_err(|error| self.broken(base + position(&error), &error.to_string()))?;
            let Cow::Borrowed(raw) = attribute.value else { continue };
            let at = self.source.offset_of(raw).unwrap_or(base);
            // The reader lets this pass too, but the SVG library refuses it far less clearly.
            if let Some(bracket) = raw.find('<') {
                return Err(self.broken(at + bracket, words!("less-than-in-attribute")));
            }
            let value = self.prepass.outline.entities.normalise(raw).map_err(|fault| self.entity(fault, at))?;
            match attribute.key.0 {
                "id" => self.id(number, value, at, raw.len()),
                "inkscape:label" => labels[0] = Some(value),
                "data-name" => labels[1] = Some(value),
                "serif:id" => labels[2] = Some(value),
                "style" => self.style(number, value, at)?,
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
        // Of two elements with one id the first rules; the second gets an id of ours, so that both can be told apart.
        if id.trim().is_empty() || outline.by_id.contains_key(&id) {
            element.bad_id = Some(at..at + length);
        } else {
            element.id = Some(id.clone());
            outline.by_id.insert(id, number);
        }
    }

    fn style(&mut self, number: usize, style: Cow<'a, str>, at: usize) -> Result<(), Diagnostic> {
        if simplecss::DeclarationTokenizer::from(&*style).nth(self.source.limits.attributes).is_some() {
            return Err(self.crowded(at));
        }
        match style {
            Cow::Borrowed(style) => {
                for declaration in simplecss::DeclarationTokenizer::from(style) {
                    let at = self.source.offset_of(declaration.value).unwrap_or(at);
                    self.property(number, declaration.name, Cow::Borrowed(declaration.value), at, declaration.value.len());
                }
            }
            // With entities in it, places inside the value are lost; its start has to do.
            Cow::Owned(style) => {
                for declaration in simplecss::DeclarationTokenizer::from(style.as_str()) {
                    let key = known_key(declaration.name);
                    self.property(number, key, Cow::Owned(declaration.value.to_owned()), at, 0);
                }
            }
        }
        Ok(())
    }

    /// The finding for an element with too many attributes or styles.
    fn crowded(&self, at: usize) -> Diagnostic {
        error!("drawing-too-complex/attributes", most = self.source.limits.attributes).at(self.source.place(at))
    }

    /// Takes a property, from an attribute or the style: hiding, linking, numbers.
    fn property(&mut self, number: usize, key: &'a str, value: Cow<'a, str>, at: usize, length: usize) {
        let Some(element) = self.prepass.outline.elements.get_mut(number) else { return };
        match key {
            "display" => element.gone = value.trim() == "none",
            "visibility" => element.visible = visibility(&value),
            _ => {}
        }
        // The outermost size is judged by `scale`, and other languages' numbers are their own business.
        if element.is_foreign() || element.tag == "svg" && element.parent.is_none() {
            return;
        }
        let tag = element.tag;
        if let Some(finding) = features::of_property(tag, key, &value) {
            let place = self.source.place(at).element(self.prepass.outline.name_of(number));
            self.prepass.suspects.push((number, finding.at(place)));
        }
        let value = Value { element: number, value, at, length };
        if key == "d" && tag == "path" {
            return self.paths.push(value);
        }
        let checked = numbers::check(tag, key, &value.value);
        self.checked(&value, checked);
        self.prepass.outline.links.extend(link(number, key, value.value, at));
    }

    /// Notes what a number that places or sizes something is, for `scale` and `splice`.
    fn checked(&mut self, &Value { element: number, ref value, at, length }: &Value, checked: Checked) {
        if let Some(fault) = checked.fault {
            let inside = value.chars().take(fault.at).map(char::len_utf8).sum::<usize>().min(length);
            let place = self.source.place(at + inside).element(self.prepass.outline.name_of(number));
            self.prepass.suspects.push((number, fault.finding.at(place)));
        }
        if let Some(element) = self.prepass.outline.elements.get_mut(number) {
            element.points = element.points.max(checked.points);
        }
        if checked.largest > FAR {
            self.prepass.far.push((number, checked.largest, at));
        }
        // Only lengths that stand as they are in the file can be rewritten there.
        if let Some(quarters) = numbers::quarters(value).filter(|_| length > 0 && checked.largest > 0.0) {
            self.prepass.quarters.push((at..at + length, quarters));
        }
    }

    /// Checks all path data, so much at a time that even bad values all over fit in memory.
    fn check_paths(&mut self) -> Result<(), Diagnostic> {
        let paths = std::mem::take(&mut self.paths);
        for some in paths.chunks(PATHS) {
            let checked = cores::map(some, |_, path| numbers::check("path", "d", &path.value));
            for (path, checked) in some.iter().zip(checked) {
                self.checked(path, checked);
                self.few_faults(path.at)?;
            }
        }
        self.prepass.suspects.sort_by_key(|(element, _)| *element);
        Ok(())
    }

    /// Refuses a drawing with so many faults that there is no use in telling them.
    fn few_faults(&self, at: usize) -> Result<(), Diagnostic> {
        let most = self.source.limits.faults;
        let few = self.prepass.suspects.len() <= most;
        few.then_some(()).ok_or_else(|| error!("drawing-too-complex/faults", most).at(self.source.place(at)))
    }

    fn tell(&mut self, at: usize, finding: Diagnostic) {
        self.prepass.always.push(finding.at(self.source.place(at)));
    }

    fn end(&mut self, at: usize) -> Result<(), Diagnostic> {
        let count = self.prepass.outline.elements.len();
        if let Some((number, _)) = self.open.pop()
            && let Some(element) = self.prepass.outline.elements.get_mut(number)
        {
            element.end = count;
            element.tail = Some(at);
            let start = element.start;
            self.sheet.take().map_or(Ok(()), |sheet| self.style_sheet(sheet, start))?;
        }
        Ok(())
    }

    fn style_sheet(&mut self, sheet: String, start: usize) -> Result<(), Diagnostic> {
        // The reader of style sheets goes back to their beginning for each of these signs.
        let signs = sheet.matches(['{', '}', ';', ',', '.', '#']).count();
        self.sheets = self.sheets.saturating_add(sheet.len().saturating_mul(signs));
        if self.sheets > self.source.limits.sheets {
            return Err(error!("drawing-too-complex/sheets").at(self.source.place(start)));
        }
        features::of_sheet(&sheet).into_iter().for_each(|finding| self.tell(start, finding));
        self.prepass.outline.sheets.push(Cow::Owned(sheet));
        Ok(())
    }

    fn text(&mut self, text: &BytesText, at: usize) -> Result<(), Diagnostic> {
        if self.open.is_empty() && !text.trim().is_empty() {
            let lead = text.len() - text.trim_start().len();
            return Err(self.broken(at + lead, words!("text-stands-outside-outermost")));
        }
        if let Some(sheet) = &mut self.sheet {
            sheet.push_str(text);
        }
        self.letters(text)
    }

    fn cdata(&mut self, text: &str, at: usize) -> Result<(), Diagnostic> {
        match (&mut self.sheet, self.open.is_empty()) {
            (_, true) => Err(self.broken(at, words!("text-stands-outside-outermost"))),
            (Some(sheet), _) => {
                sheet.push_str(text);
                Ok(())
            }
            (None, _) => self.letters(text),
        }
    }

    /// Letters are drawn as well as lines; the SVG library goes back to the beginning of the text for each of them.
    fn letters(&mut self, text: &str) -> Result<(), Diagnostic> {
        let most = self.source.limits.letters;
        let outline = &mut self.prepass.outline;
        let is_text = |number: &usize| outline.elements.get(*number).is_some_and(|element| element.tag == "text");
        let open = self.open.iter().map(|(number, _)| *number).find(is_text);
        let Some(element) = open.and_then(|number| outline.elements.get_mut(number)) else { return Ok(()) };
        element.points += text.len() as u64 * LETTER;
        let start = element.start;
        let fits = element.points <= most * LETTER;
        fits.then_some(()).ok_or_else(|| error!("drawing-too-complex/letters", most).at(self.source.place(start)))
    }

    fn reference(&mut self, name: &str, at: usize) -> Result<(), Diagnostic> {
        if self.open.is_empty() {
            return Err(self.broken(at, words!("text-stands-outside-outermost")));
        }
        let counted = self.prepass.outline.entities.count(name);
        counted.map_err(|fault| self.entity(fault, at))
    }

    /// What only shows at the end: elements left open, or none at all.
    fn finish(&mut self) -> Result<(), Diagnostic> {
        let unclosed = self.open.last().and_then(|(number, _)| self.prepass.outline.elements.get(*number));
        match unclosed {
            Some(element) => Err(self.broken(element.start, &say!("is-never-closed", tag = element.tag))),
            None if self.prepass.outline.elements.is_empty() => Err(self.broken(0, words!("holds-no-element"))),
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

#[cfg(test)]
mod tests;
