//! Language tags of the form of BCP 47: language, script, region, variants.

use super::Check;
use crate::diagnostic::Diagnostic;
use crate::manifest::names::is_device;
use crate::manifest::raw::RawManifest;
use crate::manifest::section::Section;
use crate::manifest::yaml::item_path;
use std::collections::BTreeMap;

/// Source language of a manifest that names none.
const DEFAULT: &str = "en";

/// The source language, and all languages with it at the front, each with its index in the manifest.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> (String, Vec<(usize, String)>) {
    let source = check.optional("source-language", &raw.source_language, |text| tag(&text.0));
    let source = source.unwrap_or_else(|| DEFAULT.into());
    let mut languages = check.each("languages", &raw.languages, |check, path, text| check.take(path, tag(&text.0)));
    if matches!(raw.languages, Section::Absent) {
        languages.push((0, source.clone()));
    }
    refuse_twins(check, &languages);
    // A stable sort: all others keep the manifest's order.
    languages.sort_by_key(|(_, language)| *language != source);
    (source, languages)
}

fn refuse_twins(check: &mut Check<'_>, languages: &[(usize, String)]) {
    let mut seen = BTreeMap::new();
    for (index, language) in languages {
        if seen.insert(language, index).is_some() {
            check.refuse(&item_path("languages", *index), error!("language-twice", language));
        }
    }
}

/// A well formed tag in its usual spelling: `en`, `pt-BR`, `zh-Hant-TW` (RFC 5646, sections 2.1 and 2.1.1).
///
/// Extensions, private tags and the old irregular ones are refused: no catalogue has them.
pub fn tag(text: &str) -> Result<String, Diagnostic> {
    let parts: Vec<&str> = text.trim().split('-').collect();
    let read = parse(&parts);
    // A language becomes the name of a file, and three of them are called like a device.
    if let Some(tag) = read.as_ref().filter(|tag| is_device(tag)) {
        return Err(error!("language-form/device", tag));
    }
    read.ok_or_else(|| {
        let dashed = text.trim().replace('_', "-");
        let finding = error!("language-form", text);
        match parse(&dashed.split('-').collect::<Vec<_>>()) {
            Some(meant) => finding.hint(say!("write-word", word = meant)),
            None => finding.hint(words!("language-form/short")),
        }
    })
}

fn parse(parts: &[&str]) -> Option<String> {
    let (language, mut rest) = parts.split_first()?;
    let mut tag = Some(language).filter(|part| is_letters(part, 2..=3))?.to_ascii_lowercase();
    if let Some((script, after)) = rest.split_first().filter(|(part, _)| is_letters(part, 4..=4)) {
        let (first, others) = script.split_at_checked(1)?;
        tag = format!("{tag}-{}{}", first.to_ascii_uppercase(), others.to_ascii_lowercase());
        rest = after;
    }
    if let Some((region, after)) = rest.split_first().filter(|(part, _)| is_letters(part, 2..=2) || is_digits(part)) {
        tag = format!("{tag}-{}", region.to_ascii_uppercase());
        rest = after;
    }
    let variants = rest.iter().map(|part| Some(part.to_ascii_lowercase()).filter(|part| is_variant(part)));
    let variants = variants.collect::<Option<Vec<String>>>().filter(|variants| variants.len() <= 2)?;
    Some(variants.iter().fold(tag, |tag, variant| format!("{tag}-{variant}")))
}

fn is_letters(part: &str, count: std::ops::RangeInclusive<usize>) -> bool {
    count.contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphabetic())
}

/// A region by its three digits.
fn is_digits(part: &str) -> bool {
    part.len() == 3 && part.bytes().all(|b| b.is_ascii_digit())
}

/// Five to eight letters or digits, or four of which the first is a digit.
fn is_variant(part: &str) -> bool {
    let four = part.len() == 4 && part.starts_with(|c: char| c.is_ascii_digit());
    part.bytes().all(|b| b.is_ascii_alphanumeric()) && (four || (5..=8).contains(&part.len()))
}
