//! What two editions' guides say differently, language by language.

use super::texts::Texts;
use super::{Listed, Opened};
use quick_xml::escape::unescape;

/// Elements that do not end a paragraph (HTML Standard, 3.2.5.2.5, phrasing content).
const WITHIN: [&str; 12] = ["a", "abbr", "b", "bdi", "bdo", "code", "em", "i", "small", "span", "strong", "u"];
/// Elements whose content nobody reads.
const UNREAD: [&str; 3] = ["style", "script", "svg"];

/// The guide of a language that says something else than before.
#[derive(Clone, Debug)]
pub struct GuideChange {
    /// Tag of the language.
    pub language: String,
    /// Paragraphs and cells that are new.
    pub added: Vec<String>,
    /// Paragraphs and cells that are gone.
    pub removed: Vec<String>,
}

/// The guides of both packages.
pub(super) fn guides(old: &Opened, new: &Opened) -> Listed<GuideChange> {
    let (before, now) = (&old.promises, &new.promises);
    let names = Listed::<GuideChange>::names(before.languages.iter(), now.languages.iter());
    let both = now.languages.iter().filter_map(|language| {
        let (before, now) = (of(old, language)?, of(new, language)?);
        let (added, removed) = (now.more_than(&before), before.more_than(&now));
        let change = GuideChange { language: language.clone(), added, removed };
        (!change.added.is_empty() || !change.removed.is_empty()).then_some(change)
    });
    Listed { both: both.collect(), ..names }
}

fn of<'a>(opened: &'a Opened, language: &str) -> Option<Texts<'a>> {
    let bytes = opened.files.get(&opened.promises.guide(language))?;
    Some(Texts::of(&opened.promises.edition, texts(&String::from_utf8_lossy(bytes)).into_iter()))
}

/// The paragraphs of a page, as a reader sees them.
fn texts(page: &str) -> Vec<String> {
    let mut texts = vec![String::new()];
    let mut unread: Option<&str> = None;
    for part in page.split('<') {
        let (tag, text) = part.split_once('>').unwrap_or(("", part));
        let (ends, name) = tag.strip_prefix('/').map_or((false, tag), |name| (true, name));
        let name = name.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or_default();
        if let Some(open) = unread {
            unread = if ends && name == open { None } else { Some(open) };
        } else if UNREAD.contains(&name) {
            unread = Some(name);
        }
        if !WITHIN.contains(&name) {
            texts.push(String::new());
        }
        if let Some(last) = texts.last_mut().filter(|_| unread.is_none()) {
            last.push_str(&unescape(text).unwrap_or(text.into()));
        }
    }
    let plain = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    texts.into_iter().map(plain).filter(|text| !text.is_empty()).collect()
}
