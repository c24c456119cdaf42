//! Which plural form a number takes in a language: the rules of CLDR for whole numbers, in the order of the PO file.

/// How a language tells its plural forms apart; forms are counted as in `msgstr[0]`, `msgstr[1]`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PluralRule {
    /// No difference, as in Japanese: `other`.
    Never,
    /// 1 against the rest, as in English and German: `one`, `other`.
    One,
    /// 0 and 1 against the rest, as in French: `one`, `other`.
    ZeroOrOne,
    /// Polish: `one`, `few` (2 to 4, 22 to 24 …), `many`; fractions, which CLDR calls `other`, are never counted here.
    Polish,
    /// Arabic: `zero`, `one`, `two`, `few` (3 to 10, 103 to 110 …), `many` (11 to 99, 111 to 199 …), `other` (100 to 102 …).
    Arabic,
}

impl PluralRule {
    /// The rule of a language, by its tag or the tag's first part; `None` if it is not known yet.
    pub fn of(language: &str) -> Option<Self> {
        match language.split('-').next()? {
            "ja" => Some(Self::Never),
            "en" | "de" | "es" | "nl" => Some(Self::One),
            "fr" => Some(Self::ZeroOrOne),
            "pl" => Some(Self::Polish),
            "ar" => Some(Self::Arabic),
            _ => None,
        }
    }

    /// How many forms a text with a number has.
    pub const fn forms(self) -> usize {
        match self {
            Self::Never => 1,
            Self::One | Self::ZeroOrOne => 2,
            Self::Polish => 3,
            Self::Arabic => 6,
        }
    }

    /// The rule as the header of a PO file tells it (`Plural-Forms`; gettext, plural-table.c, and for Arabic CLDR).
    pub const fn gettext(self) -> &'static str {
        match self {
            Self::Never => "nplurals=1; plural=0;",
            Self::One => "nplurals=2; plural=(n != 1);",
            Self::ZeroOrOne => "nplurals=2; plural=(n > 1);",
            Self::Polish => "nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);",
            Self::Arabic => {
                "nplurals=6; plural=(n==0 ? 0 : n==1 ? 1 : n==2 ? 2 : n%100>=3 && n%100<=10 ? 3 : n%100>=11 && n%100<=99 ? 4 : 5);"
            }
        }
    }

    /// The form for a number.
    pub const fn form(self, n: usize) -> usize {
        match self {
            Self::Never => 0,
            Self::One => (n != 1) as usize,
            Self::ZeroOrOne => (n > 1) as usize,
            Self::Polish => match (n, n % 10, n % 100) {
                (1, ..) => 0,
                (_, 2..=4, 0..=11 | 15..=99) => 1,
                _ => 2,
            },
            Self::Arabic => match (n, n % 100) {
                (0..=2, _) => n,
                (_, 3..=10) => 3,
                (_, 11..=99) => 4,
                _ => 5,
            },
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
        assert_eq!(PluralRule::of("tlh"), None);
    }

    // The samples that CLDR gives with its rules (supplemental/plurals.xml, version 46), whole numbers only.
    #[test]
    fn polish_and_arabic_forms_are_those_of_the_samples_of_cldr() {
        let polish: [&[usize]; 3] = [&[1], &[2, 3, 4, 22, 24, 32, 102, 1002], &[0, 5, 12, 13, 14, 19, 21, 100, 112, 1000]];
        let arabic: [&[usize]; 6] =
            [&[0], &[1], &[2], &[3, 10, 103, 110, 1003], &[11, 26, 99, 111, 1011], &[100, 101, 102, 200, 202, 1000, 10_000]];
        let check = |language: &str, samples: &[&[usize]]| {
            let rule = PluralRule::of(language).unwrap();
            assert_eq!(samples.len(), rule.forms());
            for (form, numbers) in samples.iter().enumerate() {
                numbers.iter().for_each(|n| assert_eq!(rule.form(*n), form, "{language} {n}"));
            }
        };
        check("pl", &polish);
        check("ar", &arabic);
    }
}
