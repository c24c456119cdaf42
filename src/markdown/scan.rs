//! The parser with its limits: what is too large or too deep for any reader is not parsed at all.

use pulldown_cmark::{Event, Options, Parser};
use std::ops::Range;

/// Most bytes of one text.
pub(super) const LARGEST: usize = 1_000_000;
/// Most levels of quotes, lists and emphasis; our own limit, far above what anyone can follow.
pub(super) const DEEPEST: usize = 32;
/// Most columns that a line is indented by: each level of a list takes two or more.
const WIDEST: usize = 4 * DEEPEST;

/// A part of a text with its bytes.
pub(super) type Ranged<'a> = (Event<'a>, Range<usize>);

/// Why a text is not parsed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TooMuch {
    /// More than [`LARGEST`] bytes.
    Large,
    /// More than [`DEEPEST`] levels, first on this line.
    Deep(u32),
}

/// The events of a text.
///
/// Deep quotes and lists are found before the parser sees them, since it would look at every level again on every line.
pub(super) fn events(text: &str) -> Result<Vec<Ranged<'_>>, TooMuch> {
    if text.len() > LARGEST {
        return Err(TooMuch::Large);
    }
    if let Some((line, _)) = (1..).zip(text.lines()).find(|(_, line)| levels(line) > DEEPEST) {
        return Err(TooMuch::Deep(line));
    }
    let events: Vec<Ranged<'_>> = Parser::new_ext(text, Options::ENABLE_TABLES).into_offset_iter().collect();
    let mut depth = 0_usize;
    for (event, range) in &events {
        // Words nest too: emphasis within emphasis within a link.
        match event {
            Event::Start(_) => depth += 1,
            Event::End(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
        // A table, its row and cell, a list and its item: levels of blocks come in twos and threes.
        if depth > 2 * DEEPEST {
            return Err(TooMuch::Deep(Lines::of(text).at(range.start)));
        }
    }
    Ok(events)
}

/// How many levels of quotes and lists a line can open at most, judged by the signs that it begins with.
fn levels(line: &str) -> usize {
    let start = line.find(|c: char| !is_sign(c)).unwrap_or(line.len());
    let (signs, _) = line.split_at_checked(start).unwrap_or((line, ""));
    // A row of one sign is a rule or an underline.
    let mut marks = line.chars().filter(|c| !c.is_whitespace());
    let first = marks.next();
    if first != Some('>') && marks.all(|c| Some(c) == first) {
        return 0;
    }
    let marks = signs.chars().filter(|c| matches!(c, '>' | '-' | '+' | '*' | '.' | ')')).count();
    // A lead of digits or full stops alone opens one list.
    let apart = signs.split_whitespace().count().max(signs.matches('>').count());
    let columns: usize = signs.chars().map(|c| if c == '\t' { 4 } else { usize::from(c == ' ') }).sum();
    if columns > WIDEST { DEEPEST + 1 } else { marks.min(apart) }
}

/// Signs that can open quotes and lists, or indent them.
fn is_sign(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, ' ' | '\t' | '>' | '-' | '+' | '*' | '.' | ')')
}

/// Lines of a text by their bytes.
pub(super) struct Lines(Vec<usize>);

impl Lines {
    /// Of a text.
    pub(super) fn of(text: &str) -> Self {
        Self(text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect())
    }

    /// The line that a byte stands in, from 1.
    pub(super) fn at(&self, byte: usize) -> u32 {
        u32::try_from(self.0.partition_point(|end| *end < byte)).unwrap_or(u32::MAX).saturating_add(1)
    }
}
