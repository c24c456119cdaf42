//! What a text may not hold: HTML, unsafe or broken links, pictures without words, headings out of order.

use super::blocks::{Block, Part, Run, parts};
use super::links::{address, is_safe};
use super::scan::{DEEPEST, LARGEST, Lines, TooMuch, events};
use crate::catalogue::loose;
use crate::diagnostic::{Diagnostic, Findings, Place};
use pulldown_cmark::{Event, Tag, TagEnd};
use std::collections::BTreeSet;

/// Findings kept of one text: a text full of HTML needs no thousand of them.
const MOST: usize = 20;

/// What a text is held against.
pub struct Checking<'a> {
    /// Places of the guide that links may lead to.
    pub ids: &'a BTreeSet<String>,
    /// Where a line of the text stands in the user's files; lines count from 1.
    pub place: &'a dyn Fn(u32) -> Place,
}

/// All findings about a text, in its order.
pub fn check(text: &str, checking: &Checking<'_>) -> Findings {
    let mut found = Found { checking, findings: Vec::new(), level: 1, html: None };
    match events(text) {
        Err(TooMuch::Large) => {
            found.push(1, error!("markdown-large", most = LARGEST / 1_000_000));
        }
        Err(TooMuch::Deep(line)) => {
            found.push(line, error!("markdown-deep", most = DEEPEST));
        }
        Ok(_) => {
            found.controls(text);
            parts(text).iter().for_each(|part| found.part(part));
        }
    }
    let mut findings = Findings::new();
    findings.extend(found.findings);
    findings
}

/// Findings of one text in the making.
struct Found<'a> {
    checking: &'a Checking<'a>,
    findings: Vec<Diagnostic>,
    /// Level of the last heading.
    level: u8,
    /// Line of the last HTML.
    html: Option<u32>,
}

impl Found<'_> {
    /// Adds a finding at a line of the text, as long as anyone would read it.
    fn push(&mut self, line: u32, finding: Diagnostic) {
        if self.findings.len() < MOST {
            self.findings.push(finding.at((self.checking.place)(line)));
        }
    }

    /// Signs that no page may hold; in the manifest they are refused before.
    fn controls(&mut self, text: &str) {
        let strange = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
        for (line, words) in (1..).zip(text.split('\n')) {
            if let Some(control) = words.chars().find(|c| strange(*c)) {
                self.push(line, error!("text-control/markdown", codepoint = format_args!("{:04X}", control as u32)));
            }
        }
        if let Some((at, sign)) = loose(text) {
            let line = Lines::of(text).at(at);
            self.push(line, error!("text-control/steering-markdown", codepoint = format_args!("{:04X}", sign as u32)));
        }
    }

    /// Looks at one part; blocks without words of their own cannot be wrong.
    fn part(&mut self, part: &Part<'_>) {
        match part {
            Part::Open(Block::Heading(level, line)) => self.heading(*level, *line),
            Part::Html(line) => self.html(*line),
            Part::Words(run) => self.run(run),
            _ => {}
        }
    }

    /// An element has two tags, which are one fault.
    fn html(&mut self, line: u32) {
        if self.html == Some(line) {
            return;
        }
        self.html = Some(line);
        self.push(line, error!("markdown-html"));
    }

    /// Levels go down one by one, so that those who jump from heading to heading miss none (WCAG 2.2, technique G141).
    fn heading(&mut self, level: u8, line: u32) {
        let last = std::mem::replace(&mut self.level, level.clamp(1, 3));
        let finding = match level {
            1 => error!("heading-level/first"),
            2 | 3 if level > last + 1 => error!("heading-level/skips"),
            2 | 3 => return,
            _ => error!("heading-level/deep"),
        };
        self.push(line, finding);
    }

    /// Looks at the words of a block.
    fn run(&mut self, run: &Run<'_>) {
        // Words of the pictures that are open, one within the other.
        let mut alternatives: Vec<String> = Vec::new();
        for event in &run.events {
            match event {
                Event::InlineHtml(_) => self.html(run.line),
                Event::Start(Tag::Link { link_type, dest_url, .. }) => self.link(&address(*link_type, dest_url), run.line),
                Event::Start(Tag::Image { .. }) => alternatives.push(String::new()),
                Event::Text(text) | Event::Code(text) => alternatives.iter_mut().for_each(|words| words.push_str(text)),
                Event::End(TagEnd::Image) if alternatives.pop().is_some_and(|words| words.trim().is_empty()) => {
                    self.push(run.line, error!("alt-missing"));
                }
                _ => {}
            }
        }
    }

    /// A link that is neither safe nor leads anywhere is told of for being unsafe.
    fn link(&mut self, address: &str, line: u32) {
        if !is_safe(address) {
            return self.push(line, error!("link-unsafe", address = shown(address)));
        }
        let Some(id) = address.strip_prefix('#').filter(|id| !self.checking.ids.contains(*id)) else { return };
        let near = crate::diagnostic::nearest(id, self.checking.ids.iter().map(String::as_str));
        let known = || crate::diagnostic::or_list(self.checking.ids.iter().map(|id| format!("#{id}")));
        self.push(
            line,
            error!("link-broken", id = shown(id)).hint(
                near.map_or_else(
                    || say!("choose", choices = known()),
                    |near| say!("write-near", near = format_args!("#{near}")),
                ),
            ),
        );
    }
}

/// The beginning of an address, without signs that would spoil a line.
fn shown(address: &str) -> String {
    let plain: String = address.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    let short: String = plain.chars().take(60).collect();
    if short.len() < plain.len() { short + "…" } else { short }
}
