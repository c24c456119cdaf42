//! Which plural form a number takes in a language.
//!
//! Only the rules of two languages' shapes are needed today. Languages with more forms get their own variant here, with the
//! categories of CLDR in the order of the PO file's `msgstr[0]`, `msgstr[1]` and so on.

/// How a language tells its plural forms apart; forms are counted as in `msgstr[0]`, `msgstr[1]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PluralRule {
    /// No difference, as in Japanese: `other`.
    Never,
    /// 1 against the rest, as in English and German: `one`, `other`.
    One,
    /// 0 and 1 against the rest, as in French: `one`, `other`.
    ZeroOrOne,
}

impl PluralRule {
    /// The rule of a language, by its tag or the tag's first part; `None` if it is not known yet.
    pub fn of(language: &str) -> Option<Self> {
        match language.split('-').next()? {
            "ja" => Some(Self::Never),
            "en" | "de" | "es" | "nl" => Some(Self::One),
            "fr" => Some(Self::ZeroOrOne),
            _ => None,
        }
    }

    /// How many forms a text with a number has.
    pub const fn forms(self) -> usize {
        match self {
            Self::Never => 1,
            Self::One | Self::ZeroOrOne => 2,
        }
    }

    /// The form for a number.
    pub const fn form(self, n: usize) -> usize {
        match self {
            Self::Never => 0,
            Self::One => (n != 1) as usize,
            Self::ZeroOrOne => (n > 1) as usize,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_are_those_of_the_plural_table_of_gettext() {
        // GNU gettext, plural-table.c: ja `nplurals=1; plural=0`, en, de, es, nl `(n != 1)`, fr `(n > 1)`.
        for (language, forms) in [("ja", [0, 0, 0]), ("en", [1, 0, 1]), ("de", [1, 0, 1]), ("fr", [0, 0, 1])] {
            let rule = PluralRule::of(language).unwrap();
            assert_eq!([0, 1, 2].map(|n| rule.form(n)), forms, "{language}");
            assert!(forms.iter().all(|form| *form < rule.forms()), "{language}");
        }
        assert_eq!(PluralRule::of("en-GB"), Some(PluralRule::One));
        assert_eq!(PluralRule::of("ar"), None);
    }
}
