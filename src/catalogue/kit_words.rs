//! The publisher's texts in one language, looked up by where they stand and what they say in the source language.

use super::pseudo::pseudo;
use std::collections::BTreeMap;

/// What a language says for one of the publisher's texts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// The language is the one that the publisher writes in: the text serves as it is.
    AsWritten,
    /// The translation.
    Translated(String),
    /// There is none yet: the text is shown as it is, and marked.
    Untranslated,
}

impl Said {
    /// The words to show; those of the source language where there are no others.
    pub fn or(self, text: &str) -> String {
        match self {
            Self::Translated(translation) => translation,
            Self::AsWritten | Self::Untranslated => text.to_owned(),
        }
    }
}

/// The publisher's texts in one language.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitWords(Source);

/// Where the words come from.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Source {
    /// The language that the publisher writes in.
    Own,
    /// A catalogue: translations by context and source text.
    Catalogue(BTreeMap<(String, String), String>),
    /// A pseudo-language, by its tag.
    Pseudo(String),
}

impl KitWords {
    /// The words of the language that the publisher writes in.
    pub const fn as_written() -> Self {
        Self(Source::Own)
    }

    /// The words of another language: each with its context, source text and translation.
    pub fn translated(texts: impl IntoIterator<Item = (String, String, String)>) -> Self {
        let texts = texts.into_iter().map(|(context, source, text)| ((context, source), text));
        Self(Source::Catalogue(texts.collect()))
    }

    /// The words of a pseudo-language, which are made from the source texts.
    pub fn pseudo(language: &str) -> Self {
        Self(Source::Pseudo(language.to_owned()))
    }

    /// What this language says for a text that stands at a place named by its context, as in `guide.introduction`.
    pub fn say(&self, context: &str, text: &str) -> Said {
        let translation = match &self.0 {
            Source::Own => return Said::AsWritten,
            // A map of pairs can only be asked by a pair that owns its texts; there are few of them.
            Source::Catalogue(texts) => texts.get(&(context.to_owned(), text.to_owned())).cloned(),
            Source::Pseudo(language) => Some(pseudo(language, text)),
        };
        translation.map_or(Said::Untranslated, Said::Translated)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_known_by_its_context_and_its_words() {
        let words = KitWords::translated([("kit.title".into(), "Apron".into(), "Tablier".into())]);
        assert_eq!(words.say("kit.title", "Apron"), Said::Translated("Tablier".into()));
        assert_eq!(words.say("guide.help", "Apron"), Said::Untranslated);
        assert_eq!(KitWords::as_written().say("kit.title", "Apron"), Said::AsWritten);
    }
}
