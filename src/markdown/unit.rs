//! The words of a block as a translator sees them: their Markdown on one line, complete in itself.

use super::scan::Ranged;
use pulldown_cmark::{Event, LinkType, Tag, TagEnd};

/// Signs of quotes and indents that stand before the words of a line.
const LEAD: [char; 3] = [' ', '\t', '>'];

/// The words of a run. A line break becomes a blank, a forced one stays; links by reference carry their address with them.
pub(super) fn of(text: &str, run: &[Ranged<'_>]) -> String {
    let Some((_, first)) = run.first() else { return String::new() };
    // The sign that an escape protects begins behind its backslash.
    // A byte in front of the first event belongs to it then.
    let start = first.start - usize::from(text.get(..first.start).is_some_and(|before| before.ends_with('\\')));
    let mut writer = Writer { text, at: start, out: String::new(), links: Vec::new(), fresh: false };
    run.iter().for_each(|(event, range)| writer.event(event, range));
    writer.out.trim().to_owned()
}

/// The text alternative of a run that is one picture and nothing else.
pub(super) fn alternative(text: &str, run: &[Ranged<'_>]) -> Option<String> {
    let [(Event::Start(Tag::Image { .. }), whole), inside @ .., (Event::End(TagEnd::Image), end)] = run else { return None };
    // Two pictures in a row begin and end like one.
    (whole == end && inside.iter().all(|(_, range)| range.start >= whole.start && range.end <= whole.end))
        .then(|| of(text, inside))
}

/// Writes a unit from the events of its run.
struct Writer<'a> {
    /// The whole text, whose bytes the events name.
    text: &'a str,
    /// Byte up to which the text was taken.
    at: usize,
    /// What was written so far.
    out: String,
    /// For each open link whether it stands by reference, and where it leads.
    links: Vec<Option<String>>,
    /// Whether a line has just begun, so that signs of quotes and indents may follow.
    fresh: bool,
}

impl Writer<'_> {
    /// Takes what stands before an event and, if it ends here, the event itself.
    fn event(&mut self, event: &Event<'_>, range: &std::ops::Range<usize>) {
        match event {
            Event::SoftBreak => self.line_break(range, " "),
            Event::HardBreak => self.line_break(range, "\\\n"),
            Event::Code(code) => self.code(code, range),
            Event::Start(Tag::Link { link_type, dest_url, .. } | Tag::Image { link_type, dest_url, .. }) => {
                let by_reference = matches!(link_type, LinkType::Reference | LinkType::Collapsed | LinkType::Shortcut);
                self.copy(range.start);
                self.links.push(by_reference.then(|| dest_url.to_string()));
                // The brackets stay as they are; what follows them is written anew at the end.
                if by_reference {
                    let image = matches!(event, Event::Start(Tag::Image { .. }));
                    self.out.push_str(if image { "![" } else { "[" });
                    self.at = range.start + if image { 2 } else { 1 };
                }
            }
            Event::End(TagEnd::Link | TagEnd::Image) => match self.links.pop().flatten() {
                Some(address) => {
                    self.out.extend(["](<", &address.replace(['<', '>', '\n'], ""), ">)"]);
                    self.at = range.end;
                }
                None => self.copy(range.end),
            },
            Event::Start(_) => self.copy(range.start),
            _ => self.copy(range.end),
        }
    }

    /// Takes the text up to a byte; what line breaks there are in it lie within addresses and tags.
    fn copy(&mut self, to: usize) {
        let Some(raw) = self.text.get(self.at..to) else { return };
        let raw = if self.fresh { raw.trim_start_matches(LEAD) } else { raw };
        self.fresh = false;
        let mut lines = raw.lines();
        self.out.push_str(lines.next().unwrap_or_default());
        lines.for_each(|line| self.out.extend([" ", line.trim_start_matches(LEAD)]));
        self.at = to;
    }

    /// Ends a line with another sign than its break.
    fn line_break(&mut self, range: &std::ops::Range<usize>, sign: &str) {
        self.copy(range.start);
        self.out.truncate(self.out.trim_end_matches([' ', '\t', '\r']).len());
        self.out.push_str(sign);
        (self.at, self.fresh) = (range.end, true);
    }

    /// Code that goes over a line's end, or hides a column's border, is written anew.
    fn code(&mut self, code: &str, range: &std::ops::Range<usize>) {
        self.copy(range.start);
        let raw = self.text.get(range.clone()).unwrap_or_default();
        if !raw.contains(['\n', '\\']) {
            return self.copy(range.end);
        }
        let ticks = raw.find(|c| c != '`').and_then(|end| raw.get(..end)).unwrap_or("`");
        let pad = if code.starts_with('`') || code.ends_with('`') { " " } else { "" };
        self.out.extend([ticks, pad, code, pad, ticks]);
        self.at = range.end;
    }
}
