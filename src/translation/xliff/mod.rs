//! XLIFF 2.1, the other open standard of translators' programs (OASIS, XLIFF Version 2.1): the same entries as a PO file, with
//! every field, so that nothing is lost on the way there and back.
//!
//! An entry is a `unit`, its key the unit's name. An entry that counts is a `group` of units, one a plural form. What XLIFF has
//! no place for goes into notes, whose category names it; the header of the PO file is a note of the file.

mod read;
mod write;

pub use read::{looks_like_xliff, read};
pub use write::written;

/// Namespace of the core, the same for 2.0 and 2.1.
const NAMESPACE: &str = "urn:oasis:names:tc:xliff:document:2.0";

/// Categories of notes.
const HEADER: &str = "header";
const COMMENT: &str = "comment";
const NOTE: &str = "note";
const REFERENCE: &str = "reference";
const FLAGS: &str = "flags";
const PREVIOUS_CONTEXT: &str = "previous-context";
const PREVIOUS: &str = "previous";
const PREVIOUS_PLURAL: &str = "previous-plural";
const OBSOLETE: &str = "obsolete";
/// A PO entry without a key, which a unit without a name would not tell from one with an empty key.
const NO_CONTEXT: &str = "no-context";
/// Type of groups that hold the plural forms of one entry.
const PLURAL: &str = "kw:plural";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::po::{Entry, Previous};

    fn entries() -> Vec<Entry> {
        let header =
            Entry { strings: vec!["Language: fr\nX-Odd: é <&>\n".into()], comments: vec!["mine".into()], ..Entry::default() };
        let plain = Entry {
            context: Some("guide.sewing".into()),
            id: "Fold \"twice\" & press\n\tthen <turn> \u{1}".into(),
            strings: vec!["Plier deux fois  ".into()],
            comments: vec!["sure?".into(), String::new()],
            notes: vec!["At most 9 letters.".into()],
            references: vec!["guide/sewing.md:4".into(), "kit.yaml:9".into()],
            flags: vec!["fuzzy".into(), "python-brace-format".into()],
            previous: Previous { context: Some("guide.old".into()), id: Some("Fold".into()), id_plural: None },
            ..Entry::default()
        };
        let plural = Entry {
            context: Some("map.rows".into()),
            id: "{n} row".into(),
            id_plural: Some("{n} rows".into()),
            strings: vec!["{n} rzędem".into(), String::new(), "c".into()],
            ..Entry::default()
        };
        let old = Entry { id: "gone".into(), strings: vec!["parti".into()], obsolete: true, ..Entry::default() };
        vec![header, plain, plural, old]
    }

    #[test]
    fn no_field_is_lost_on_the_way_there_and_back() {
        let text = written(&entries(), "en", "fr", "tansy-apron 1.0.0");
        assert!(looks_like_xliff(&text) && !looks_like_xliff("msgid \"\"\n"));
        let (back, findings) = read("fr.xlf", &text);
        assert!(findings.is_empty(), "{findings:?}");
        let bare = |entry: &Entry| Entry { place: Default::default(), ..entry.clone() };
        assert_eq!(back.iter().map(bare).collect::<Vec<_>>(), entries());
        assert_eq!(written(&back, "en", "fr", "tansy-apron 1.0.0"), text);
    }

    #[test]
    fn what_is_no_xliff_is_told() {
        let told = |text: &str| read("x.xlf", text).1.iter().map(|finding| finding.code).collect::<Vec<_>>();
        assert_eq!(told("<xliff xmlns=\"urn:oasis:names:tc:xliff:document:1.2\" version=\"1.2\"></xliff>"), ["xliff-version"]);
        assert_eq!(told("<xliff version=\"2.1\"><file>"), ["xliff-syntax"]);
        assert_eq!(told("<!DOCTYPE x [<!ENTITY a \"b\">]><xliff version=\"2.1\"/>"), ["xliff-syntax"]);
        assert_eq!(
            told("<xliff version=\"2.1\"><file><unit><segment><source>a &b; c</source></segment></unit></file></xliff>"),
            ["xliff-syntax"]
        );
        assert_eq!(told("words"), ["xliff-version"]);
    }
}
