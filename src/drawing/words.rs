//! The words in a drawing's text elements: what they say and where they stand, and the same drawing with others in their place.
//!
//! One unit is what stands between two tags of a `text` or of a `tspan` in it. Numbers alone, with or without a unit, say the
//! same in every language and are left out.

use super::outline::{Element, Outline};
use super::prepass::{Prepass, prepass};
use super::request::Request;
use super::source::Source;
use super::{layers, style};
use crate::diagnostic::{Findings, Place};
use quick_xml::Reader;
use quick_xml::events::Event;
use std::collections::BTreeMap;
use std::ops::Range;

/// Units of length, and the signs between numbers, that need no translation.
const UNITS: [&str; 9] = ["mm", "cm", "m", "in", "ft", "yd", "pt", "x", "g"];

/// Words of a drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// What they say, without blanks around them and with single ones between.
    pub text: String,
    /// Line of the file, from 1.
    pub line: u32,
    /// Visible name or id of the text element, else of the nearest group around it that has one.
    pub element: String,
    /// Where their text element begins, as the drawing that is read has it.
    pub origin: Place,
}

/// The words of a drawing that would be printed and can be translated, in the order of the file. A drawing that cannot be read
/// has none: what is wrong with it is told where it is read.
pub fn words(bytes: &[u8], request: &Request) -> Vec<Word> {
    let mut unheard = Findings::new();
    let Ok(source) = Source::new(request, bytes) else { return Vec::new() };
    let Some(mut prepass) = prepass(&source, &mut unheard) else { return Vec::new() };
    unheard.take(style::apply(&source, &mut prepass.outline));
    let layers = layers::layers(&source, &prepass.outline, request, &mut unheard);
    let outline = &prepass.outline;
    // What is stored for clones is painted elsewhere, and taken to be printed.
    let stored = |element: usize| outline.ancestors(element).any(|e| outline.elements.get(e).is_some_and(|e| e.is_store()));
    let runs = runs(&source, &prepass).into_iter();
    let printed = runs.filter(|run| layers.printed(run.element).is_some() || stored(run.element));
    let word = |run: Run| {
        let start = outline.elements.get(run.element).map_or(0, |element| element.start);
        let origin = source.place(start).element(outline.name_of(run.element));
        let line = source.place(run.range.start).line.unwrap_or(1);
        Word { text: run.text, line, element: name(outline, run.element), origin }
    };
    printed.filter(|run| has_words(&run.text)).map(word).collect()
}

/// The same drawing with other words, where there are any; all else stays as it is, byte for byte.
pub fn with_words(bytes: &[u8], request: &Request, say: &dyn Fn(&str) -> Option<String>) -> Vec<u8> {
    let mut unheard = Findings::new();
    let Ok(source) = Source::new(request, bytes) else { return bytes.to_vec() };
    let Some(prepass) = prepass(&source, &mut unheard) else { return bytes.to_vec() };
    let mark = bytes.len() - source.text.len();
    let mut changed = bytes.get(..mark).unwrap_or_default().to_vec();
    let mut done = 0;
    for run in runs(&source, &prepass).into_iter().filter(|run| has_words(&run.text)) {
        let Some(words) = say(&run.text) else { continue };
        changed.extend(source.text.get(done..run.range.start).unwrap_or_default().bytes());
        changed.extend(quick_xml::escape::escape(&words).bytes());
        done = run.range.end;
    }
    changed.extend(source.text.get(done..).unwrap_or_default().bytes());
    changed
}

/// Which place of one file stands for which of another, for all elements: two files that differ in their words alone have the
/// same elements in the same order.
pub fn same_elements(request: &Request, from: &[u8], to: &[u8]) -> BTreeMap<Place, Place> {
    let places = |bytes: &[u8]| {
        let source = Source::new(request, bytes).ok()?;
        let outline = prepass(&source, &mut Findings::new())?.outline;
        let place = |(number, element): (usize, &Element)| source.place(element.start).element(outline.name_of(number));
        Some(outline.elements.iter().enumerate().map(place).collect::<Vec<Place>>())
    };
    places(from).unwrap_or_default().into_iter().zip(places(to).unwrap_or_default()).collect()
}

/// Whether there is anything to translate: a letter, unless it belongs to a unit beside a number.
fn has_words(text: &str) -> bool {
    let numbers = text.contains(|c: char| c.is_numeric());
    let mut words = text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    words.any(|word| !(numbers && UNITS.contains(&word)))
}

fn name(outline: &Outline, element: usize) -> String {
    let named = outline.ancestors(element).find_map(|e| outline.elements.get(e)?.visible_name().map(|name| name.into_owned()));
    named.unwrap_or_else(|| outline.name_of(element))
}

/// What stands between two tags inside a text element.
struct Run {
    /// The `text` element.
    element: usize,
    /// Where it stands in the source, without the blanks around it.
    range: Range<usize>,
    /// With entities put in, and blanks as they are painted.
    text: String,
}

/// All runs of a drawing.
fn runs(source: &Source, prepass: &Prepass) -> Vec<Run> {
    let mut walker = Walker { source, outline: &prepass.outline, open: Vec::new(), next: 0, held: None, runs: Vec::new() };
    let mut reader = Reader::from_str(source.text);
    loop {
        let start = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
        let Ok(event) = reader.read_event() else { break };
        let end = usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX);
        match event {
            Event::Eof => break,
            Event::Text(_) | Event::GeneralRef(_) => walker.hold(start..end, None),
            Event::CData(text) => walker.hold(start..end, Some(&text)),
            other => walker.tag(&other),
        }
    }
    walker.runs
}

struct Walker<'a> {
    source: &'a Source<'a>,
    outline: &'a Outline<'a>,
    /// Elements that are open, each with the `text` element that it belongs to.
    open: Vec<Option<usize>>,
    /// Number of the next element; they are counted as the outline counts them.
    next: usize,
    /// The run that is being read: its text element, where it stands, and what it says.
    held: Option<(usize, Range<usize>, String)>,
    runs: Vec<Run>,
}

impl Walker<'_> {
    fn tag(&mut self, event: &Event) {
        self.release();
        match event {
            Event::Start(_) => {
                let text = self.text_around();
                self.open.push(text);
                self.next += 1;
            }
            Event::Empty(_) => self.next += 1,
            Event::End(_) => drop(self.open.pop()),
            _ => {}
        }
    }

    /// The text element that the next element belongs to.
    fn text_around(&self) -> Option<usize> {
        match self.outline.elements.get(self.next)?.tag {
            "text" => Some(self.next),
            "tspan" | "textPath" | "a" => self.open.last().copied().flatten(),
            _ => None,
        }
    }

    fn hold(&mut self, range: Range<usize>, literal: Option<&str>) {
        let Some(element) = self.open.last().copied().flatten() else { return };
        let raw = self.source.text.get(range.clone()).unwrap_or_default();
        let said = literal.map_or_else(|| self.outline.entities.value(raw).unwrap_or_default().into_owned(), str::to_owned);
        let (_, whole, text) = self.held.get_or_insert_with(|| (element, range.clone(), String::new()));
        whole.end = range.end;
        text.push_str(&said);
    }

    fn release(&mut self) {
        let Some((element, range, said)) = self.held.take() else { return };
        let raw = self.source.text.get(range.clone()).unwrap_or_default();
        let text = said.split_ascii_whitespace().collect::<Vec<_>>().join(" ");
        if !text.is_empty() {
            let before = raw.len() - raw.trim_start().len();
            let range = range.start + before..range.start + before + raw.trim().len();
            self.runs.push(Run { element, range, text });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRAWING: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="90mm" height="90mm">
 <title>No words</title>
 <g inkscape:label="front">
  <text x="1" y="5">cut 2
    on the  fold</text>
  <text x="1" y="9" id="t_x20_1">A &amp; B<tspan x="1" dy="4"> grain</tspan><tspan> 38 </tspan></text>
  <text>100 mm</text><text>4 in × 38</text><text>in</text><path id="front_x20_" d="M0 0h9"/>
 </g>
 <g id="hidden"><text>never</text></g>
 <text><![CDATA[a < b]]></text>
</svg>"##;

    fn request() -> Request {
        Request { never_printed: vec!["hidden".into()], ..Request::plain("a.svg") }
    }

    #[test]
    fn words_are_listed_with_line_and_name_but_numbers_are_not() {
        let list: Vec<_> = words(DRAWING.as_bytes(), &request()).into_iter().map(|w| (w.text, w.line, w.element)).collect();
        let list: Vec<(&str, u32, &str)> =
            list.iter().map(|(text, line, name)| (text.as_str(), *line, name.as_str())).collect();
        let wanted = [
            ("cut 2 on the fold", 4, "front"),
            ("A & B", 6, "t 1"),
            ("grain", 6, "t 1"),
            ("in", 7, "front"),
            ("a < b", 10, "<text>"),
        ];
        assert_eq!(list, wanted);
    }

    #[test]
    fn only_the_words_change() {
        assert_eq!(with_words(DRAWING.as_bytes(), &request(), &|_| None), DRAWING.as_bytes());
        let marked = format!("\u{feff}{DRAWING}");
        let say = |text: &str| match text {
            "grain" => Some("droit <fil> & \"co\"".to_owned()),
            "cut 2 on the fold" => Some("2 x".to_owned()),
            "38" => Some("never asked".to_owned()),
            _ => None,
        };
        let wanted =
            marked.replace("cut 2\n    on the  fold", "2 x").replace("> grain<", "> droit &lt;fil&gt; &amp; &quot;co&quot;<");
        assert_eq!(String::from_utf8(with_words(marked.as_bytes(), &request(), &say)).unwrap(), wanted);
    }

    #[test]
    fn broken_drawings_have_no_words_and_stay_as_they_are() {
        for bytes in [&b"<svg><text>a"[..], b"\xff\xfe", b"", b"<svg><text>&no;</text></svg>"] {
            assert!(words(bytes, &Request::plain("a.svg")).is_empty());
            assert_eq!(with_words(bytes, &request(), &|_| Some("x".into())), bytes);
        }
        for end in 0..DRAWING.len() {
            let _ = words(&DRAWING.as_bytes()[..end], &request());
        }
    }
}
