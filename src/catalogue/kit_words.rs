//! The publisher's texts in one language, looked up by where they stand and what they say in the source language.

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

/// The publisher's texts in one language.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KitWords {
    /// By context and source text; none at all in the language that the publisher writes in.
    texts: Option<BTreeMap<(String, String), String>>,
}

impl KitWords {
    /// The words of the language that the publisher writes in.
    pub const fn as_written() -> Self {
        Self { texts: None }
    }

    /// The words of another language: each with its context, source text and translation.
    pub fn translated(texts: impl IntoIterator<Item = (String, String, String)>) -> Self {
        let texts = texts.into_iter().map(|(context, source, text)| ((context, source), text));
        Self { texts: Some(texts.collect()) }
    }

    /// What this language says for a text that stands at a place named by its context, as in `guide.introduction`.
    pub fn say(&self, context: &str, text: &str) -> Said {
        let Some(texts) = &self.texts else { return Said::AsWritten };
        // A map of pairs can only be asked by a pair that owns its texts; there are few of them.
        match texts.get(&(context.to_owned(), text.to_owned())) {
            Some(translation) => Said::Translated(translation.clone()),
            None => Said::Untranslated,
        }
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
