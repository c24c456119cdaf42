//! A text as a flat list of blocks that open and close, with the words between them.

use super::scan::{Lines, Ranged, events};
use super::unit;
use pulldown_cmark::{Alignment, CodeBlockKind, Event, HeadingLevel, Tag, TagEnd};

/// A stretch of a text.
#[derive(Debug)]
pub(super) enum Part<'a> {
    /// A block begins.
    Open(Block),
    /// The block that began last ends.
    Close(Block),
    /// The words of a block.
    Words(Run<'a>),
    /// A block of code, as written.
    Code(String),
    /// A line across the page.
    Rule,
    /// A block of HTML, on this line.
    Html(u32),
}

/// A kind of block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Block {
    /// Running text.
    Paragraph,
    /// With its level in the text, from 1, and its line.
    Heading(u8, u32),
    /// Words that are set off.
    Quote,
    /// Numbered from a number, or not at all.
    List(Option<u64>),
    /// One of a list; it holds words of its own, or other blocks, or both.
    Item,
    /// Its head and its rows.
    Table,
    /// The row of headings.
    TableHead,
    /// Any other row.
    Row,
    /// A cell of either, aligned as its column.
    Cell(Alignment),
}

/// The words of one block.
#[derive(Debug)]
pub(super) struct Run<'a> {
    /// Line of the text, from 1.
    pub(super) line: u32,
    /// What a translator sees.
    pub(super) unit: String,
    /// The words with their markup.
    pub(super) events: Vec<Event<'a>>,
    /// Whether they are one picture and nothing else.
    pub(super) picture: bool,
}

/// The parts of a text; none of one that is refused as a whole.
pub(super) fn parts(text: &str) -> Vec<Part<'_>> {
    let Ok(events) = events(text) else { return Vec::new() };
    let mut reader = Reader {
        text,
        lines: Lines::of(text),
        parts: Vec::new(),
        run: Vec::new(),
        open: Vec::new(),
        columns: Vec::new(),
        column: 0,
    };
    let mut events = events.into_iter();
    while let Some((event, range)) = events.next() {
        match event {
            Event::Start(Tag::CodeBlock(kind)) => reader.code(&kind, &mut events),
            Event::Start(Tag::HtmlBlock) => reader.close_run_with(|reader| Part::Html(reader.lines.at(range.start))),
            Event::Html(_) | Event::End(TagEnd::HtmlBlock) => {}
            Event::Rule => reader.close_run_with(|_| Part::Rule),
            Event::Start(tag) => reader.start(tag, range),
            Event::End(tag) => reader.end(tag, range),
            words => reader.run.push((words, range)),
        }
    }
    reader.close_run();
    reader.parts
}

/// Turns events into parts, one after the other.
struct Reader<'a> {
    /// The whole text, whose bytes the events name.
    text: &'a str,
    lines: Lines,
    parts: Vec<Part<'a>>,
    /// Words since the last border of a block.
    run: Vec<Ranged<'a>>,
    /// Blocks that are open.
    open: Vec<Block>,
    /// How the columns of the table are aligned.
    columns: Vec<Alignment>,
    /// The column of the next cell, from 0.
    column: usize,
}

impl<'a> Reader<'a> {
    /// Opens a block; what begins within words is a part of them.
    fn start(&mut self, tag: Tag<'a>, range: std::ops::Range<usize>) {
        let block = match &tag {
            Tag::Paragraph => Block::Paragraph,
            Tag::Heading { level, .. } => Block::Heading(number(*level), self.lines.at(range.start)),
            Tag::BlockQuote(_) => Block::Quote,
            Tag::List(first) => Block::List(*first),
            Tag::Item => Block::Item,
            Tag::Table(columns) => {
                self.columns.clone_from(columns);
                Block::Table
            }
            Tag::TableHead => self.row(Block::TableHead),
            Tag::TableRow => self.row(Block::Row),
            Tag::TableCell => {
                let alignment = self.columns.get(self.column).copied().unwrap_or(Alignment::None);
                self.column += 1;
                Block::Cell(alignment)
            }
            _ => return self.run.push((Event::Start(tag), range)),
        };
        self.close_run();
        self.open.push(block);
        self.parts.push(Part::Open(block));
    }

    /// Cells are counted anew in each row.
    fn row(&mut self, block: Block) -> Block {
        self.column = 0;
        block
    }

    /// Closes the block that opened last.
    fn end(&mut self, tag: TagEnd, range: std::ops::Range<usize>) {
        match tag {
            TagEnd::Paragraph
            | TagEnd::Heading(_)
            | TagEnd::BlockQuote(_)
            | TagEnd::List(_)
            | TagEnd::Item
            | TagEnd::Table
            | TagEnd::TableHead
            | TagEnd::TableRow
            | TagEnd::TableCell => {
                self.close_run();
                self.parts.extend(self.open.pop().map(Part::Close));
            }
            words => self.run.push((Event::End(words), range)),
        }
    }

    /// Takes a block of code up to its end; the language that it may name is of no use to a sewer.
    fn code(&mut self, _: &CodeBlockKind<'_>, events: &mut impl Iterator<Item = Ranged<'a>>) {
        self.close_run();
        let inside = events.map(|(event, _)| event).take_while(|event| *event != Event::End(TagEnd::CodeBlock));
        let code = inside.map(|event| if let Event::Text(text) = event { text.to_string() } else { String::new() });
        self.parts.push(Part::Code(code.collect()));
    }

    /// Ends the words of a block, and adds a part that has no end of its own.
    fn close_run_with(&mut self, part: impl FnOnce(&Self) -> Part<'a>) {
        self.close_run();
        self.parts.push(part(self));
    }

    /// Ends the words of a block; words of blanks alone are none.
    fn close_run(&mut self) {
        let run = std::mem::take(&mut self.run);
        let Some((_, range)) = run.first() else { return };
        let line = self.lines.at(range.start);
        let picture = unit::alternative(self.text, &run);
        let is_picture = picture.is_some();
        let unit = picture.unwrap_or_else(|| unit::of(self.text, &run));
        // A picture without words is kept: it is shown, and refused for want of them.
        if !unit.is_empty() || is_picture {
            let events = run.into_iter().map(|(event, _)| event).collect();
            self.parts.push(Part::Words(Run { line, unit, events, picture: is_picture }));
        }
    }
}

/// A level as its number, from 1.
fn number(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 => 3,
        HeadingLevel::H4 => 4,
        HeadingLevel::H5 => 5,
        HeadingLevel::H6 => 6,
    }
}
