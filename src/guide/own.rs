//! The publisher's words on the page: Markdown, single lines, and what is shown where a translation is missing.

use super::Illustration;
use super::texts::picture_path;
use crate::catalogue::{Direction, KitWords, Messages, Said};
use crate::markdown::{self, Rendering, escaped};
use std::collections::{BTreeMap, BTreeSet};

/// Writes the publisher's words in one language; all that it gives is HTML.
pub struct Own<'a> {
    words: &'a KitWords,
    pictures: &'a BTreeMap<String, Illustration>,
    ids: BTreeSet<String>,
    /// Attributes of what is not translated.
    foreign: String,
    /// What marks it.
    mark: String,
}

impl<'a> Own<'a> {
    /// In the language of the messages; `source` is the tag of the publisher's language, `ids` are the places of the page.
    pub fn new(
        source: &str,
        messages: &Messages,
        words: &'a KitWords,
        pictures: &'a BTreeMap<String, Illustration>,
        ids: BTreeSet<String>,
    ) -> Self {
        // A language's tag holds letters, digits and hyphens only.
        let foreign = format!(" lang=\"{source}\" dir=\"{}\"", Direction::of(source).html());
        let (tag, direction) = (messages.language(), messages.direction().html());
        let said = escaped(&messages.text("guide.untranslated", &[]));
        let mark = format!("<small class=\"mark\" lang=\"{tag}\" dir=\"{direction}\">{said}</small>");
        Self { words, pictures, ids, foreign, mark }
    }

    /// A text in Markdown that stands in a file, or in the manifest; its second level of headings becomes that level of HTML.
    pub fn text(&self, context: &str, text: &str, file: Option<&str>, heading: u8) -> String {
        let picture = |address: &str, alternative: &str| {
            let illustration = picture_path(file, address).and_then(|path| self.pictures.get(&path))?;
            Some(format!("{}{}{}", illustration.before, escaped(alternative), illustration.after))
        };
        let rendering = Rendering {
            say: &|unit| self.words.say(context, unit),
            picture: &picture,
            ids: &self.ids,
            heading,
            foreign: &self.foreign,
            mark: &self.mark,
        };
        markdown::html(text, &rendering)
    }

    /// A single line without markup.
    pub fn line(&self, context: &str, text: &str) -> String {
        match self.words.say(context, text) {
            Said::AsWritten => escaped(text),
            Said::Translated(words) => escaped(&words),
            Said::Untranslated => {
                format!("<span class=\"untranslated\"{}>{}</span> {}", self.foreign, escaped(text), self.mark)
            }
        }
    }

    /// A single line where no markup can stand: not HTML, and without a mark.
    pub fn plain(&self, context: &str, text: &str) -> String {
        match self.words.say(context, text) {
            Said::Translated(words) => words,
            Said::AsWritten | Said::Untranslated => text.to_owned(),
        }
    }
}
