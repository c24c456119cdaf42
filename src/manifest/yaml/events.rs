//! From YAML events to a tree; refuses on the way what a manifest may not use.

use super::{Key, MAX_DEPTH, Node, Outcome, Spot, Value};
use crate::diagnostic::{Diagnostic, Findings};
use saphyr_parser::{Event, Marker, Parser, ScalarStyle, ScanError};
use std::collections::{BTreeMap, BTreeSet};

/// So many keys that stand twice are told of; a file with more is no manifest.
const MAX_TWINS: usize = 50;

/// A list or mapping whose end was not read yet.
enum Frame {
    List(Spot, Vec<Node>),
    Map(OpenMap),
}

/// A mapping whose end was not read yet.
struct OpenMap {
    spot: Spot,
    entries: Vec<(Key, Node)>,
    seen: BTreeMap<String, Spot>,
    key: Option<Key>,
}

/// Whether to read on after an event.
type Step = Result<(), Diagnostic>;

/// Builds the tree with a stack of its own, so that no input can make the program's stack overflow.
pub struct Reader<'a> {
    file: &'a str,
    findings: &'a mut Findings,
    stack: Vec<Frame>,
    root: Option<Node>,
    documents: usize,
    twins: usize,
    told: BTreeSet<&'static str>,
}

impl<'a> Reader<'a> {
    /// A reader for one file.
    pub fn new(file: &'a str, findings: &'a mut Findings) -> Self {
        Self { file, findings, stack: Vec::new(), root: None, documents: 0, twins: 0, told: BTreeSet::new() }
    }

    /// Reads to the end, or to what cannot be read over.
    pub fn read(mut self, text: &str) -> Outcome {
        for event in Parser::new_from_str(text) {
            let step = match event {
                Ok((event, span)) => self.event(event, spot(&span.start)),
                Err(error) => Err(self.syntax(&error, text)),
            };
            // After an error the parser's place in the text is not to be trusted, so this is the last finding of the pass.
            if let Err(finding) = step {
                self.findings.push(finding);
                self.told.insert("stopped");
                break;
            }
        }
        Outcome { whole: self.told.is_empty(), root: self.root }
    }

    fn event(&mut self, event: Event<'_>, at: Spot) -> Step {
        match event {
            Event::DocumentStart(_) => self.document(at)?,
            Event::Alias(_) => {
                self.alias(at);
                // Something must stand here, or the next key would be taken for this one's value.
                self.value(Node { spot: at, value: Value::Refused });
            }
            Event::Scalar(text, style, anchor, tag) => {
                self.extras(anchor, tag.is_some(), at);
                self.scalar(&text, style, at);
            }
            Event::SequenceStart(anchor, tag) => {
                self.extras(anchor, tag.is_some(), at);
                self.open(Frame::List(at, Vec::new()), at)?;
            }
            Event::MappingStart(anchor, tag) => {
                self.extras(anchor, tag.is_some(), at);
                let map = OpenMap { spot: at, entries: Vec::new(), seen: BTreeMap::new(), key: None };
                self.open(Frame::Map(map), at)?;
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(),
            _ => {}
        }
        Ok(())
    }

    fn document(&mut self, at: Spot) -> Step {
        self.documents += 1;
        if self.documents == 1 {
            return Ok(());
        }
        Err(error!("yaml-documents").at(at.place(self.file)))
    }

    /// Refuses anchors and tags: nothing in a manifest needs them, and they hide what a value is.
    fn extras(&mut self, anchor: usize, tag: bool, at: Spot) {
        if anchor > 0 {
            self.alias(at);
        }
        if tag && self.told.insert("yaml-tag") {
            self.findings.push(error!("yaml-tag").at(at.place(self.file)));
        }
    }

    /// Tells of the first anchor, alias or merge key only: a file that has one tends to have many.
    fn alias(&mut self, at: Spot) {
        if self.told.insert("yaml-alias") {
            self.findings.push(error!("yaml-alias").at(at.place(self.file)));
        }
    }

    fn scalar(&mut self, text: &str, style: ScalarStyle, at: Spot) {
        let plain = style == ScalarStyle::Plain;
        if plain && text == "<<" && matches!(self.stack.last(), Some(Frame::Map(map)) if map.key.is_none()) {
            self.alias(at);
        }
        // The nulls of the YAML 1.2 core schema (section 10.3.2).
        let null = plain && matches!(text, "" | "~" | "null" | "Null" | "NULL");
        let value = if null { Value::Null { written: !text.is_empty() } } else { Value::Scalar(text.to_owned()) };
        self.value(Node { spot: at, value });
    }

    fn open(&mut self, frame: Frame, at: Spot) -> Step {
        if self.stack.len() >= MAX_DEPTH {
            return Err(error!("yaml-depth", most = MAX_DEPTH).at(at.place(self.file)));
        }
        self.stack.push(frame);
        Ok(())
    }

    fn close(&mut self) {
        match self.stack.pop() {
            Some(Frame::List(spot, items)) => self.value(Node { spot, value: Value::List(items) }),
            Some(Frame::Map(map)) => self.value(Node { spot: map.spot, value: Value::Map(map.entries) }),
            None => {}
        }
    }

    /// Puts a complete value where it belongs: into a list, behind its key, or as a key.
    fn value(&mut self, node: Node) {
        match self.stack.last_mut() {
            None => self.root = Some(node),
            Some(Frame::List(_, items)) => items.push(node),
            Some(Frame::Map(map)) => match map.key.take() {
                Some(key) => map.entry(key, node),
                None => self.key(node),
            },
        }
    }

    fn key(&mut self, node: Node) {
        let spot = node.spot;
        let text = match node.value {
            Value::Scalar(text) => text,
            Value::Refused => String::new(),
            _ => {
                self.told.insert("key");
                self.findings.push(error!("yaml-syntax/key").at(spot.place(self.file)));
                String::new()
            }
        };
        let Some(Frame::Map(map)) = self.stack.last_mut() else { return };
        // Sought in a tree: a list of keys seen would make a file of 100 000 keys take minutes.
        let first = map.seen.get(&text).copied();
        map.seen.entry(text.clone()).or_insert(spot);
        map.key = Some(Key { text: text.clone(), spot });
        self.twins += usize::from(first.is_some());
        if let Some(first) = first.filter(|_| !text.is_empty() && self.twins <= MAX_TWINS) {
            self.findings.push(error!("key-twice", text, line = first.line).at(spot.place(self.file)));
        }
    }

    fn syntax(&self, error: &ScanError, text: &str) -> Diagnostic {
        let at = spot(error.marker());
        if error.info().contains("recursion limit") {
            return error!("yaml-depth", most = MAX_DEPTH).at(at.place(self.file));
        }
        let info = error.info().to_lowercase();
        match tab_near(text, at) {
            Some(tab) => error!("yaml-syntax/tab", info).at(tab.place(self.file)),
            None => error!("yaml-syntax/broken", info).at(at.place(self.file)).hint(syntax_hint(error.info())),
        }
    }
}

impl OpenMap {
    /// A block below its key, and nothing at all, are best shown at the key.
    fn entry(&mut self, key: Key, mut node: Node) {
        let block = matches!(node.value, Value::List(_) | Value::Map(_)) && node.spot.line != key.spot.line;
        if block || matches!(node.value, Value::Null { written: false }) {
            node.spot = key.spot;
        }
        self.entries.push((key, node));
    }
}

/// The parser counts columns from 0, everyone else from 1.
fn spot(marker: &Marker) -> Spot {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Spot { line: number(marker.line().max(1)), column: number(marker.col() + 1) }
}

/// A tab that indents the line of an error or the one above it.
fn tab_near(text: &str, at: Spot) -> Option<Spot> {
    let tab_in = |number: u32| {
        let line = text.lines().nth(usize::try_from(number).ok()?.checked_sub(1)?)?;
        let column = line.chars().position(|c| c != ' ').filter(|_| line.trim_start_matches(' ').starts_with('\t'))?;
        Some(Spot { line: number, column: u32::try_from(column + 1).ok()? })
    };
    tab_in(at.line).or_else(|| tab_in(at.line.saturating_sub(1)))
}

/// The advice that fits the other common slips: open quotes, colons within texts.
fn syntax_hint(info: &str) -> &'static str {
    if ["quote", "end of stream", "EOF"].iter().any(|word| info.contains(word)) {
        words!("yaml-syntax/close")
    } else {
        words!("yaml-syntax/look")
    }
}
