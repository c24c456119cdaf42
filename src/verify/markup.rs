//! HTML and SVG files load nothing, and run nothing but the one script that a guide may have: a guide opened years later,
//! offline, must be all there.

use super::archive::Files;
use super::verdict::{Check, Verdict};
use crate::diagnostic::Place;
pub(super) use tags::{Tag, tags};

mod script;
mod tags;

/// Elements that run code or bring in another document (HTML Standard, 4.2, 4.8 and 4.12; SVG 2 uses the same names).
const ELEMENTS: [&str; 9] = ["script", "iframe", "frame", "frameset", "object", "embed", "applet", "base", "portal"];
/// Attributes whose value a browser loads or sends something to (HTML Standard, index of attributes).
const LOADING: [&str; 11] =
    ["src", "href", "xlink:href", "srcset", "imagesrcset", "data", "poster", "action", "formaction", "background", "ping"];
/// Findings kept of one file: a file full of scripts needs no thousand of them.
const MAX_FINDINGS: usize = 20;

/// Checks all HTML and SVG files.
pub(super) fn check(files: &Files, verdict: &mut Verdict) {
    let is_markup = |name: &str| [".html", ".htm", ".xhtml", ".svg"].iter().any(|end| name.to_lowercase().ends_with(end));
    for (name, bytes) in files.iter().filter(|(name, _)| is_markup(name)) {
        let text = String::from_utf8_lossy(bytes);
        let faults = faults(&text);
        if faults.is_empty() {
            verdict.judge(Check::Markup, Ok(()));
        }
        for (at, why) in faults.into_iter().take(MAX_FINDINGS) {
            let place = Place { line: Some(line(&text, at)), ..verdict.place(name) };
            verdict.judge(Check::Markup, Err(error!("html-active", why).at(place)));
        }
    }
}

/// The line of a byte, from 1.
fn line(text: &str, at: usize) -> u32 {
    let breaks = text.bytes().take(at).filter(|byte| *byte == b'\n').count();
    u32::try_from(breaks).unwrap_or(u32::MAX).saturating_add(1)
}

/// What is wrong, with its byte.
fn faults(text: &str) -> Vec<(usize, String)> {
    let mut faults: Vec<(usize, String)> = tags(text).flat_map(|tag| tag_faults(&tag)).collect();
    // Only ASCII letters change case, so that places stay what they were.
    let lower = text.to_ascii_lowercase();
    // Sought in the whole text too: nothing that tells tags from text is as forgiving as a browser.
    for word in ["<script", "@import", "javascript:"] {
        let what = || if word == "@import" { words!("style-sheet-loads-another") } else { words!("a-script") };
        faults.extend(lower.match_indices(word).map(|(at, _)| (at, say!("file-holds", what = what()))));
    }
    let loads = lower.match_indices("url(").filter(|(at, open)| {
        let inner = lower.get(at + open.len()..).unwrap_or_default();
        is_outside(inner.trim_start_matches([' ', '\t', '\n', '\r', '"', '\'']))
    });
    faults.extend(loads.map(|(at, _)| (at, words!("style-loads-something-from").to_owned())));
    // The one script that may run is no fault of its page.
    let script = script::allowed(text);
    faults.retain(|(at, _)| script.as_ref().is_none_or(|script| !script.contains(at)));
    // A script is found as an element and as a word; once is enough.
    faults.sort();
    faults.dedup_by_key(|fault| fault.0);
    faults
}

fn tag_faults(tag: &Tag<'_>) -> Vec<(usize, String)> {
    let name = tag.name.to_ascii_lowercase();
    let mut faults = Vec::new();
    if ELEMENTS.contains(&name.as_str()) {
        faults.push((tag.at, say!("element-runs-code", name)));
    }
    for (key, value) in &tag.attributes {
        let key = key.to_ascii_lowercase();
        let fault = attribute_fault(&name, &key, value);
        faults.extend(fault.map(|why| (tag.at, say!("key-of-element", key, name, why))));
    }
    faults
}

fn attribute_fault(element: &str, key: &str, value: &str) -> Option<&'static str> {
    let value = plain(value);
    let link = matches!(element, "a" | "area") && matches!(key, "href" | "xlink:href");
    // Every name that begins with `on` is an event or might become one; no other attribute begins so.
    let event = key.starts_with("on") && key.len() > 2;
    // `srcset` lists several addresses with commas; in other attributes a comma makes no address worse.
    let outside = || value.split(',').any(is_outside);
    if event || value.starts_with("javascript:") || value.starts_with("vbscript:") {
        Some(words!("runs-script"))
    } else if key == "http-equiv" && value == "refresh" {
        Some(words!("leads-away-by-itself"))
    } else if LOADING.contains(&key) && !link && outside() {
        Some(words!("loads-from-outside-file"))
    } else {
        None
    }
}

/// Whether an address leads out of the file: it has a scheme other than `data:`, or names a host.
fn is_outside(address: &str) -> bool {
    let schemes = ["http:", "https:", "//", "\\\\", "/\\", "\\/", "ftp:", "file:", "ws:", "wss:", "blob:"];
    schemes.iter().any(|scheme| address.trim_start().starts_with(scheme))
}

/// A value as a browser reads an address: references resolved as far as letters can hide in them, white space dropped.
pub(super) fn plain(value: &str) -> String {
    let mut text = String::new();
    let mut rest = value;
    while let Some((before, after)) = rest.split_once('&') {
        text.push_str(before);
        let (c, left) = reference(after);
        text.push(c);
        rest = left;
    }
    text.push_str(rest);
    text.chars().filter(|c| !c.is_control()).collect::<String>().trim().to_ascii_lowercase()
}

/// The character behind `&`, and what comes after it; a reference that is none stays an `&`.
fn reference(text: &str) -> (char, &str) {
    let known = [
        ("colon;", ':'),
        ("sol;", '/'),
        ("bsol;", '\\'),
        ("tab;", '\t'),
        ("newline;", '\n'),
        ("Tab;", '\t'),
        ("NewLine;", '\n'),
    ];
    if let Some((c, rest)) = known.iter().find_map(|(name, c)| Some((*c, text.strip_prefix(name)?))) {
        return (c, rest);
    }
    number(text).unwrap_or(('&', text))
}

/// `#58;`, `#x3a`: the semicolon may be missing (HTML Standard, 13.2.5.80).
fn number(text: &str) -> Option<(char, &str)> {
    let digits = text.strip_prefix('#')?;
    let (radix, digits) = match digits.strip_prefix(['x', 'X']) {
        Some(rest) => (16, rest),
        None => (10, digits),
    };
    let end = digits.find(|c: char| !c.is_digit(radix)).unwrap_or(digits.len());
    let (number, rest) = digits.split_at_checked(end)?;
    let c = char::from_u32(u32::from_str_radix(number, radix).ok()?)?;
    Some((c, rest.strip_prefix(';').unwrap_or(rest)))
}
