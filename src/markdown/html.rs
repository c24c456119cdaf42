//! HTML of a text: every tag is written here, and every letter of the publisher's is escaped.

use super::blocks::{Block, Part, Run, parts};
use super::fit::fits;
use super::inline;
use super::links::{address, is_safe};
use crate::catalogue::Said;
use pulldown_cmark::{Alignment, Event, Tag, TagEnd};
use std::collections::BTreeSet;

/// What a text needs to become HTML.
pub struct Rendering<'a> {
    /// What the language says for a unit.
    pub say: &'a dyn Fn(&str) -> Said,
    /// The markup of a picture by its address as written, with a text alternative: trusted. `None` leaves the picture out.
    pub picture: &'a dyn Fn(&str, &str) -> Option<String>,
    /// Places of the page; links to others become plain words.
    pub ids: &'a BTreeSet<String>,
    /// Level of HTML's headings that the text's second level becomes.
    pub heading: u8,
    /// Attributes of a block that is not translated, beside its class `untranslated`, with a blank before them: trusted.
    pub foreign: &'a str,
    /// Markup that marks such a block: trusted.
    pub mark: &'a str,
}

/// The HTML of a text; nothing of one that is refused as a whole. HTML in the text is left out.
pub fn html(text: &str, rendering: &Rendering<'_>) -> String {
    let mut writer = Writer { rendering, out: String::new(), in_head: false };
    let parts = parts(text);
    let mut rest = parts.iter();
    while let Some(part) = rest.next() {
        match part {
            // Its words decide what a block looks like.
            Part::Open(block @ (Block::Paragraph | Block::Heading(..) | Block::Cell(_))) => {
                let run = rest.as_slice().first().and_then(|next| if let Part::Words(run) = next { Some(run) } else { None });
                rest.by_ref().take(usize::from(run.is_some())).for_each(drop);
                writer.block(*block, run);
                rest.next();
            }
            Part::Open(block) => writer.open(*block),
            Part::Close(block) => writer.close(*block),
            Part::Words(run) => writer.loose(run),
            Part::Code(code) => writer.out.extend(["<pre dir=\"ltr\"><code>", &escaped(code), "</code></pre>\n"]),
            Part::Rule => writer.out.push_str("<hr>\n"),
            Part::Html(_) => {}
        }
    }
    writer.out
}

/// Text as HTML, safe in elements and in attributes.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// The words that are shown: a translation, or the publisher's own.
enum Shown<'a> {
    /// In the language of the page.
    Fine(Vec<Event<'a>>),
    /// In the publisher's, to be marked.
    Untranslated(Vec<Event<'a>>),
}

/// Writes the parts of one text.
struct Writer<'a> {
    rendering: &'a Rendering<'a>,
    /// What was written so far.
    out: String,
    /// Whether cells are those of a table's head.
    in_head: bool,
}

impl Writer<'_> {
    /// Opens a block that holds other blocks.
    fn open(&mut self, block: Block) {
        match block {
            Block::Quote => self.out.push_str("<blockquote>\n"),
            Block::List(None) => self.out.push_str("<ul>\n"),
            Block::List(Some(1)) => self.out.push_str("<ol>\n"),
            Block::List(Some(first)) => self.out.push_str(&format!("<ol start=\"{first}\">\n")),
            Block::Item => self.out.push_str("<li>"),
            Block::Table => self.out.push_str("<table class=\"own\">\n"),
            Block::TableHead => {
                self.in_head = true;
                self.out.push_str("<thead>\n<tr>");
            }
            Block::Row => self.out.push_str("<tr>"),
            Block::Paragraph | Block::Heading(..) | Block::Cell(_) => {}
        }
    }

    /// Closes it; blocks of words close themselves.
    fn close(&mut self, block: Block) {
        self.out.push_str(match block {
            Block::Quote => "</blockquote>\n",
            Block::List(None) => "</ul>\n",
            Block::List(Some(_)) => "</ol>\n",
            Block::Item => "</li>\n",
            Block::Table => "</tbody>\n</table>\n",
            Block::TableHead => {
                self.in_head = false;
                "</tr>\n</thead>\n<tbody>\n"
            }
            Block::Row => "</tr>\n",
            Block::Paragraph | Block::Heading(..) | Block::Cell(_) => "",
        });
    }

    /// A block that holds words and no other blocks.
    fn block(&mut self, block: Block, run: Option<&Run<'_>>) {
        if let Some(run) = run.filter(|run| run.picture && block == Block::Paragraph) {
            return self.figure(run);
        }
        let (name, class) = match block {
            Block::Heading(level, _) => (format!("h{}", self.level(level)), ""),
            Block::Cell(alignment) => (if self.in_head { "th" } else { "td" }.to_owned(), aligned(alignment)),
            _ => ("p".to_owned(), ""),
        };
        let scope = if name == "th" { " scope=\"col\"" } else { "" };
        let shown = run.map(|run| self.shown(run));
        let own = self.attributes(class, matches!(shown, Some(Shown::Untranslated(_))));
        self.out.extend(["<", &name, scope, &own, ">"]);
        match shown {
            Some(Shown::Fine(events)) => self.words(&events),
            Some(Shown::Untranslated(events)) => {
                self.words(&events);
                self.out.extend([" ", self.rendering.mark]);
            }
            None => {}
        }
        self.out.extend(["</", &name, ">", if name.starts_with('t') { "" } else { "\n" }]);
    }

    /// HTML's level for a heading of the text.
    fn level(&self, level: u8) -> u8 {
        (self.rendering.heading + level.saturating_sub(2)).min(6)
    }

    /// The class of an element, and what tells that it is not translated.
    fn attributes(&self, class: &str, untranslated: bool) -> String {
        let (more, foreign) = if untranslated { ("untranslated", self.rendering.foreign) } else { ("", "") };
        let classes: Vec<&str> = [class, more].into_iter().filter(|class| !class.is_empty()).collect();
        if classes.is_empty() { String::new() } else { format!(" class=\"{}\"{foreign}", classes.join(" ")) }
    }

    /// Words that share their item with other blocks.
    fn loose(&mut self, run: &Run<'_>) {
        if run.picture {
            return self.figure(run);
        }
        match self.shown(run) {
            Shown::Fine(events) => self.words(&events),
            Shown::Untranslated(events) => {
                let own = self.attributes("", true);
                self.out.extend(["<span", &own, ">"]);
                self.words(&events);
                self.out.extend(["</span> ", self.rendering.mark]);
            }
        }
    }

    /// A picture that stands alone.
    fn figure(&mut self, run: &Run<'_>) {
        let source = inline::plain(&run.events);
        let (alternative, mark) = match self.shown(run) {
            Shown::Fine(events) => (inline::plain(&events), String::new()),
            Shown::Untranslated(_) => (source, format!("<figcaption>{}</figcaption>", self.rendering.mark)),
        };
        let path = inline::pictures(&run.events).into_iter().next().unwrap_or_default();
        let Some(markup) = (self.rendering.picture)(&path, &alternative) else { return };
        let own = self.attributes("picture", !mark.is_empty());
        self.out.extend(["<figure", &own, ">", &markup, &mark, "</figure>\n"]);
    }

    /// What is shown for a run. A translation that does not fit is none.
    fn shown<'r>(&self, run: &Run<'r>) -> Shown<'r> {
        let written = || run.events.clone();
        match (self.rendering.say)(&run.unit) {
            Said::AsWritten => Shown::Fine(written()),
            Said::Translated(words) if fits(&run.unit, &words).is_ok() => match inline::read(&words) {
                Some(events) => Shown::Fine(events),
                None => Shown::Untranslated(written()),
            },
            Said::Translated(_) | Said::Untranslated => Shown::Untranslated(written()),
        }
    }

    /// Words with their markup. What is not named here, HTML above all, is left out.
    fn words(&mut self, events: &[Event<'_>]) {
        let mut links = Vec::new();
        let mut rest = events.iter();
        while let Some(event) = rest.next() {
            match event {
                Event::Text(text) => self.out.push_str(&escaped(text)),
                Event::Code(code) => self.out.extend(["<code>", &escaped(code), "</code>"]),
                Event::SoftBreak => self.out.push('\n'),
                Event::HardBreak => self.out.push_str("<br>\n"),
                Event::Start(Tag::Emphasis) => self.out.push_str("<em>"),
                Event::End(TagEnd::Emphasis) => self.out.push_str("</em>"),
                Event::Start(Tag::Strong) => self.out.push_str("<strong>"),
                Event::End(TagEnd::Strong) => self.out.push_str("</strong>"),
                Event::Start(Tag::Link { link_type, dest_url, .. }) => links.push(self.link(&address(*link_type, dest_url))),
                Event::End(TagEnd::Link) => self.out.push_str(if links.pop().unwrap_or_default() { "</a>" } else { "" }),
                Event::Start(Tag::Image { dest_url, .. }) => {
                    let alternative = alternative(&mut rest);
                    self.out.push_str(&(self.rendering.picture)(dest_url, &alternative).unwrap_or_default());
                }
                _ => {}
            }
        }
    }

    /// Opens a link, if it is safe and leads somewhere.
    fn link(&mut self, address: &str) -> bool {
        // A place that the page lacks may be there in the guide for other papers: the words stay.
        let there = address.strip_prefix('#').is_none_or(|id| self.rendering.ids.contains(id));
        let good = there && is_safe(address);
        if good {
            self.out.extend(["<a href=\"", &escaped(address), "\">"]);
        }
        good
    }
}

/// The class of a cell's alignment. The page may be read from right to left, so that an end is not always at the right.
fn aligned(alignment: Alignment) -> &'static str {
    match alignment {
        Alignment::Right => "end",
        Alignment::Center => "middle",
        Alignment::Left | Alignment::None => "",
    }
}

/// The words within a picture's brackets, up to its end.
fn alternative<'e>(rest: &mut std::slice::Iter<'e, Event<'e>>) -> String {
    let mut depth = 1_usize;
    let mut inside = Vec::new();
    for event in rest {
        match event {
            Event::Start(Tag::Image { .. }) => depth += 1,
            Event::End(TagEnd::Image) => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            break;
        }
        inside.push(event.clone());
    }
    inline::plain(&inside)
}
