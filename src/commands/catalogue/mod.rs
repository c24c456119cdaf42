//! `catalogue`: what a translator works on, from its making to its return.

mod export;
mod merge;
mod status;
mod update;

use super::args;
use super::bundle;
use super::check::refuse;
use super::drawn;
use super::screen::Screen;
use super::texts::{Texts, read_texts};
use crate::diagnostic::{Diagnostic, Findings, or_list};
use crate::manifest::is_device;

/// Does what is asked of the catalogues.
pub(super) fn run(wish: &args::Catalogue, screen: &Screen) -> Result<Findings, Diagnostic> {
    match &wish.what {
        args::CatalogueWork::Update(wish) => update::run(wish, screen),
        args::CatalogueWork::Status(wish) => status::run(wish, screen),
        args::CatalogueWork::Merge(wish) => merge::run(wish, screen),
        args::CatalogueWork::Export(wish) => export::run(wish, screen),
        args::CatalogueWork::Bundle(wish) => {
            let (texts, _) = match texts(&wish.kit, screen) {
                Ok(read) => read,
                Err(findings) => return Ok(findings),
            };
            bundle::run(wish, &language(&texts, wish.language.as_ref())?, screen)
        }
    }
}

/// The kit's texts, unless something stands in the way, which is told.
fn texts(kit: &args::KitFolder, screen: &Screen) -> Result<(Texts, Findings), Findings> {
    let (mut texts, mut findings) = read_texts(kit);
    if let Some(texts) = &mut texts {
        let known = drawn::know(texts, true, &mut findings);
        findings.take(known);
    }
    match texts.filter(|_| !screen.stopped_by(&findings)) {
        Some(texts) => Ok((texts, findings)),
        None => {
            refuse(screen, &findings);
            Err(findings)
        }
    }
}

/// The languages that are meant: the wished ones, or else all that the kit is translated into.
fn languages(texts: &Texts, wished: &[String]) -> Result<Vec<String>, Diagnostic> {
    let kit = &texts.kit;
    let all: Vec<String> = kit.languages.iter().filter(|tag| **tag != kit.source_language).cloned().collect();
    let chosen = if wished.is_empty() { all } else { wished.to_vec() };
    if let Some(bad) = chosen.iter().find(|tag| !is_tag(tag)) {
        return Err(error!("argument-bad/tag", bad));
    }
    if chosen.is_empty() {
        return Err(error!("argument-bad/no-language", source_language = kit.source_language));
    }
    Ok(chosen)
}

/// The one language that is meant.
fn language(texts: &Texts, wished: Option<&String>) -> Result<String, Diagnostic> {
    let all = languages(texts, wished.map(std::slice::from_ref).unwrap_or_default())?;
    match all.as_slice() {
        [only] => Ok(only.clone()),
        _ => Err(error!("argument-bad/languages", choices = or_list(&all))),
    }
}

/// Tags become file names, so they are held to the letters of BCP 47.
fn is_tag(tag: &str) -> bool {
    let parts: Vec<&str> = tag.split('-').collect();
    let first = parts.first().is_some_and(|part| (2..=3).contains(&part.len()) && part.chars().all(|c| c.is_ascii_lowercase()));
    first
        && !is_device(tag)
        && tag.len() <= 35
        && parts.iter().skip(1).all(|part| (1..=8).contains(&part.len()) && part.chars().all(|c| c.is_ascii_alphanumeric()))
}
