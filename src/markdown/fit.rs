//! Whether a translation can take the place of the words it translates.

use super::inline::{self, is_paragraph};
use super::links::is_safe;
use pulldown_cmark::Event;

/// Says why a translation of a unit cannot be used: it would bring in HTML, blocks, other pictures or unsafe links.
///
/// The reason is a clause without a subject, as in `holds HTML`.
pub fn fits(unit: &str, translation: &str) -> Result<(), String> {
    if translation.trim().is_empty() {
        return Err(words!("is-empty").into());
    }
    if let Some(control) = translation.chars().find(|c| c.is_control() && !matches!(c, '\n' | '\t')) {
        return Err(say!("has-control-character", control = format_args!("{:04X}", control as u32)));
    }
    // Words of a heading may begin like a list, as in `1. Cut`; then those of its translation may as well.
    if is_paragraph(unit) && !is_paragraph(translation) {
        return Err(words!("is-not-one-paragraph").into());
    }
    let (Some(source), Some(words)) = (inline::read(unit), inline::read(translation)) else {
        return Err(words!("is-no-line").into());
    };
    if words.iter().any(|event| matches!(event, Event::InlineHtml(_) | Event::Html(_))) {
        return Err(words!("holds-html").into());
    }
    let sorted = |mut list: Vec<String>| {
        list.sort();
        list
    };
    if sorted(inline::pictures(&source)) != sorted(inline::pictures(&words)) {
        return Err(words!("does-not-show-pictures").into());
    }
    let known = inline::links(&source);
    match inline::links(&words).iter().find(|link| !is_safe(link) || (link.starts_with('#') && !known.contains(link))) {
        Some(link) => Err(say!("has-link", link)),
        None => Ok(()),
    }
}
