//! The publisher's Markdown: taken apart for translators, held against what a guide may hold, turned into HTML.
//!
//! It is CommonMark with tables and without HTML. A text is a list of blocks; the words of each paragraph, heading, list item
//! and table cell are one *unit*, which is what translators see. A translation takes the place of the unit's words and nothing
//! else: the blocks around it stay the publisher's.

mod blocks;
mod check;
mod fit;
mod html;
mod inline;
mod links;
mod scan;
mod unit;

#[cfg(test)]
mod tests;

pub use check::{Checking, check};
pub use fit::fits;
pub use html::{Rendering, escaped, html};

use blocks::{Part, parts};

/// Words for a translator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Inline Markdown of one paragraph, heading, list item or table cell, a line break within it as a blank; of a paragraph
    /// that is one picture the text alternative alone.
    pub text: String,
    /// Line of the text that it begins in, from 1.
    pub line: u32,
}

/// A picture that a text shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureLink {
    /// Its address as written, references of HTML resolved.
    pub path: String,
    /// Line of the text, from 1.
    pub line: u32,
}

/// The words of a text in order; none if the text is refused as a whole (see [`check`]).
pub fn units(text: &str) -> Vec<Unit> {
    let words = parts(text).into_iter().filter_map(|part| match part {
        Part::Words(run) => Some(Unit { text: run.unit, line: run.line }),
        _ => None,
    });
    words.collect()
}

/// The headings of a text in order, those of its highest level alone.
pub fn headings(text: &str) -> Vec<Unit> {
    let mut found: Vec<(u8, Unit)> = Vec::new();
    let mut level = None;
    for part in parts(text) {
        match (part, level) {
            (Part::Open(blocks::Block::Heading(is, _)), _) => level = Some(is),
            (Part::Close(_), _) => level = None,
            (Part::Words(run), Some(is)) => found.push((is, Unit { text: run.unit, line: run.line })),
            _ => {}
        }
    }
    let highest = found.iter().map(|(level, _)| *level).min();
    found.into_iter().filter(|(level, _)| Some(*level) == highest).map(|(_, unit)| unit).collect()
}

/// The pictures of a text in order, one that is shown twice twice.
pub fn pictures(text: &str) -> Vec<PictureLink> {
    let runs = parts(text).into_iter().filter_map(|part| match part {
        Part::Words(run) => Some(run),
        _ => None,
    });
    let links = runs.flat_map(|run| {
        let line = run.line;
        inline::pictures(&run.events).into_iter().map(move |path| PictureLink { path, line }).collect::<Vec<_>>()
    });
    links.collect()
}

/// The text without any markup, blocks parted by line breaks, for places that know no markup.
pub fn plain(text: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut item = false;
    for part in parts(text) {
        match part {
            Part::Open(blocks::Block::Item) => item = true,
            Part::Words(run) => {
                let lead = if std::mem::take(&mut item) { "- " } else { "" };
                lines.push(format!("{lead}{}", inline::plain(&run.events)));
            }
            Part::Code(code) => lines.extend(code.lines().map(str::to_owned)),
            _ => {}
        }
    }
    lines.join("\n")
}
