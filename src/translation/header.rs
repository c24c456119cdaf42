//! The header of a PO file: for which kit and edition it is, and in which language.

use crate::catalogue::PluralRule;
use crate::catalogue::po::Entry;
use crate::manifest::Kit;

/// What a header says of its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Header {
    /// Name of the kit, as in `tansy-apron`.
    pub kit: String,
    /// Its edition.
    pub edition: String,
    /// Tag of the language that is translated into.
    pub language: String,
}

/// The field that names kit and edition.
const PROJECT: &str = "Project-Id-Version";
/// The field that names the language.
const LANGUAGE: &str = "Language";
/// Fields that a translator's program fills in and that are kept; `gettext` wants all of them to be there.
const TRANSLATORS: [&str; 3] = ["PO-Revision-Date", "Last-Translator", "Language-Team"];

impl Header {
    /// The header for a kit in a language.
    pub fn of(kit: &Kit, language: &str) -> Self {
        Self { kit: kit.name.clone(), edition: kit.edition.to_string(), language: language.to_owned() }
    }

    /// What the header of a file says; fields that are not there are empty.
    pub fn read(entries: &[Entry]) -> Self {
        let header = entries.iter().find(|entry| entry.is_header());
        let value = |name: &str| header.and_then(|header| field(header, name)).unwrap_or_default();
        let project = value(PROJECT);
        let (kit, edition) = project.rsplit_once(' ').unwrap_or((&project, ""));
        Self { kit: kit.to_owned(), edition: edition.to_owned(), language: value(LANGUAGE) }
    }

    /// The header as an entry. What a translator and a translator's program wrote into the old one is kept.
    pub fn written(&self, old: Option<&Entry>, day: jiff::civil::Date) -> Entry {
        let stamp = format!("{day} 00:00+0000");
        let kept = |name: &str| old.and_then(|old| field(old, name)).unwrap_or_default();
        let mut lines = vec![
            (PROJECT.to_owned(), format!("{} {}", self.kit, self.edition)),
            ("Report-Msgid-Bugs-To".to_owned(), String::new()),
            ("POT-Creation-Date".to_owned(), stamp),
        ];
        lines.extend(TRANSLATORS.map(|name| (name.to_owned(), kept(name))));
        lines.push((LANGUAGE.to_owned(), self.language.clone()));
        lines.push(("MIME-Version".to_owned(), "1.0".to_owned()));
        lines.push(("Content-Type".to_owned(), "text/plain; charset=UTF-8".to_owned()));
        lines.push(("Content-Transfer-Encoding".to_owned(), "8bit".to_owned()));
        lines.extend(PluralRule::of(&self.language).map(|rule| ("Plural-Forms".to_owned(), rule.gettext().to_owned())));
        let known: Vec<String> = lines.iter().map(|(name, _)| name.clone()).collect();
        lines.extend(old.map(fields).unwrap_or_default().into_iter().filter(|(name, _)| !known.contains(name)));
        let text: String = lines.iter().map(|(name, value)| format!("{name}: {value}\n")).collect();
        Entry { strings: vec![text], comments: old.map(|old| old.comments.clone()).unwrap_or_default(), ..Entry::default() }
    }
}

fn fields(header: &Entry) -> Vec<(String, String)> {
    let lines = header.strings.iter().flat_map(|text| text.lines()).filter_map(|line| line.split_once(':'));
    lines.map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned())).collect()
}

fn field(header: &Entry, name: &str) -> Option<String> {
    fields(header).into_iter().find(|(field, _)| field.eq_ignore_ascii_case(name)).map(|(_, value)| value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_is_read_as_it_was_written_and_keeps_what_others_wrote() {
        let header = Header { kit: "tansy-apron".into(), edition: "1.0.0".into(), language: "fr".into() };
        let theirs = "Last-Translator: N. N.\nX-Generator: an editor\nLanguage: de\n";
        let old = Entry { strings: vec![theirs.into()], comments: vec!["mine".into()], ..Entry::default() };
        let written = header.written(Some(&old), jiff::civil::date(2026, 11, 20));
        assert_eq!(Header::read(std::slice::from_ref(&written)), header);
        assert_eq!(field(&written, "last-translator").as_deref(), Some("N. N."));
        assert_eq!(field(&written, "X-Generator").as_deref(), Some("an editor"));
        assert_eq!(field(&written, "Plural-Forms").as_deref(), Some("nplurals=2; plural=(n > 1);"));
        assert_eq!(written.comments, ["mine"]);
        assert!(written.is_header());
    }
}
