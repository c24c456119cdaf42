//! Words with markup but without blocks: a translation is read as nothing else.

use super::scan::events;
use pulldown_cmark::{Event, Tag, TagEnd};

/// Reads words as those of one block, whatever they begin with; `None` if they are too long, or nest too deeply.
pub(super) fn read(words: &str) -> Option<Vec<Event<'static>>> {
    let words = words.trim();
    // Behind the sign of a heading nothing can begin a block. A forced line break has no place there: such words stand alone.
    let broken = words.contains("\\\n");
    let source = if broken { words.to_owned() } else { format!("# {}", guarded(words)) };
    let read = events(&source).ok()?;
    let (first, rest) = read.split_first()?;
    let (last, inside) = rest.split_last()?;
    let whole = match (&first.0, &last.0) {
        (Event::Start(Tag::Paragraph), Event::End(TagEnd::Paragraph)) => broken,
        (Event::Start(Tag::Heading { .. }), Event::End(TagEnd::Heading(_))) => !broken,
        _ => false,
    };
    // A definition of a link is a block too, but leaves no event: then there is no first and last one.
    let plain = whole && inside.iter().all(|(event, _)| !is_block(event));
    plain.then(|| inside.iter().map(|(event, _)| event.clone().into_static()).collect())
}

/// Words on one line, number signs at their end kept from counting as the heading's.
fn guarded(words: &str) -> String {
    let line = words.split_ascii_whitespace().collect::<Vec<_>>().join(" ");
    match line.strip_suffix('#').filter(|before| !before.ends_with('\\')) {
        Some(before) => format!("{before}\\#"),
        None => line,
    }
}

/// Whether words stand as one paragraph if nothing guards them.
pub(super) fn is_paragraph(words: &str) -> bool {
    let Ok(events) = events(words) else { return false };
    let paragraphs = events.iter().filter(|(event, _)| matches!(event, Event::Start(Tag::Paragraph))).count();
    let others = events.iter().any(|(event, _)| is_block(event) && !matches!(event, Event::Start(Tag::Paragraph)));
    paragraphs == 1 && !others
}

/// Whether an event belongs to a block, or to HTML that stands like one.
fn is_block(event: &Event<'_>) -> bool {
    let words = matches!(event, Event::Start(Tag::Emphasis | Tag::Strong | Tag::Link { .. } | Tag::Image { .. }));
    (matches!(event, Event::Start(_)) && !words) || matches!(event, Event::Rule | Event::Html(_))
}

/// The words without their markup; of pictures their text alternatives.
pub(super) fn plain(events: &[Event<'_>]) -> String {
    let words = events.iter().map(|event| match event {
        Event::Text(text) | Event::Code(text) => text.as_ref(),
        Event::SoftBreak | Event::HardBreak => " ",
        _ => "",
    });
    words.collect()
}

/// Addresses of pictures, in order.
pub(super) fn pictures(events: &[Event<'_>]) -> Vec<String> {
    let pictures = events.iter().filter_map(|event| match event {
        Event::Start(Tag::Image { dest_url, .. }) => Some(dest_url.to_string()),
        _ => None,
    });
    pictures.collect()
}

/// Addresses of links, in order, as a browser is given them.
pub(super) fn links(events: &[Event<'_>]) -> Vec<String> {
    let links = events.iter().filter_map(|event| match event {
        Event::Start(Tag::Link { link_type, dest_url, .. }) => Some(super::links::address(*link_type, dest_url)),
        _ => None,
    });
    links.collect()
}
