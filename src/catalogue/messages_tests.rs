//! Tests of the look-up by key, in English and in small translations made here.

use super::*;

/// A translation with one good, one fuzzy, one stale and one wrong entry.
const GERMAN: &str = r#"msgid ""
msgstr "Language: de\n"

msgctxt "sheet.count"
msgid "sheet {n} of {total}"
msgstr "Blatt {n} von {total}"

msgctxt "sheet.sizes"
msgid "size {sizes}"
msgid_plural "sizes {sizes}"
msgstr[0] "Größe {sizes}"
msgstr[1] "Größen {sizes}"

#, fuzzy
msgctxt "sheet.label"
msgid "sheet {label}"
msgstr "Blatt?"

msgctxt "sheet.trim"
msgid "cut here"
msgstr "hier schneiden"

msgctxt "sheet.edition"
msgid "edition {edition}"
msgstr "Ausgabe {auflage}"
"#;

#[test]
fn english_is_read_without_a_finding() {
    let (entries, findings) = po::parse("en.po", BUILTIN[0].1);
    assert!(findings.is_empty(), "{findings:?}");
    assert!(entries.len() > 100);
    let keys: BTreeSet<_> = entries.iter().map(|entry| &entry.context).collect();
    assert_eq!(keys.len(), entries.len(), "no key twice");
    assert_eq!(builtin_languages(), ["en", "ar", "de", "fr", "ja", "pl"]);
    assert!(Messages::builtin("en").is_some() && Messages::builtin("no").is_none());
}

#[test]
fn every_built_in_language_says_everything() {
    let english = Messages::source();
    for (language, text) in BUILTIN.iter().filter(|(language, _)| *language != SOURCE) {
        let (messages, findings) = Messages::translated(language, &format!("{language}.po"), text);
        assert!(findings.is_empty(), "{language}: {:?}", findings.iter().map(|f| &f.message).collect::<Vec<_>>());
        let messages = messages.unwrap();
        assert!(messages.keys().eq(english.keys()), "{language}");
        // The rule that translators' programs use is the one that is used here.
        let rule = PluralRule::of(language).unwrap();
        assert!(text.contains(&format!("nplurals={};", rule.forms())), "{language}");
        // No hole is lost, save where one form is for a single number, as in a word for two.
        for (key, own) in &messages.texts {
            let wanted = english.texts.get(key).unwrap().forms.iter().flat_map(|form| holes(form)).collect::<BTreeSet<_>>();
            let last = own.forms.last().unwrap();
            assert!(holes(last).is_superset(&wanted), "{language} {key}: `{last}` lacks one of {wanted:?}");
        }
    }
}

#[test]
fn arabic_holds_what_is_written_from_left_to_right_together() {
    let arabic = Messages::builtin("ar").unwrap();
    assert_eq!(arabic.direction(), Direction::RightToLeft);
    assert_eq!(arabic.text("sheet.label", &[("label", "B3")]), "الورقة \u{2068}B3\u{2069}");
    assert_eq!(arabic.count("map.rows", 2, &[]), "صفان");
    assert_eq!(arabic.count("map.rows", 11, &[]), "11 صفًّا");
}

#[test]
fn numbers_choose_the_form() {
    let english = Messages::builtin("en").unwrap();
    assert_eq!(english.text("sheet.count", &[("n", "3"), ("total", "14")]), "sheet 3 of 14");
    assert_eq!(english.count("sheet.sizes", 1, &[("sizes", "36")]), "size 36");
    assert_eq!(english.count("sheet.sizes", 2, &[("sizes", "36 and 38")]), "sizes 36 and 38");
    assert_eq!(english.count("map.rows", 0, &[]), "0 rows");
}

#[test]
fn a_translation_stands_in_for_english_where_it_is_finished() {
    let (german, findings) = Messages::translated("de", "de.po", GERMAN);
    let german = german.unwrap();
    assert_eq!(german.text("sheet.count", &[("n", "3"), ("total", "14")]), "Blatt 3 von 14");
    assert_eq!(german.count("sheet.sizes", 1, &[("sizes", "36")]), "Größe 36");
    assert_eq!(german.count("sheet.sizes", 0, &[("sizes", "–")]), "Größen –");
    // Fuzzy, stale and faulty entries stay English.
    assert_eq!(german.text("sheet.label", &[("label", "A1")]), "sheet A1");
    assert_eq!(german.text("sheet.trim", &[]), "trim along the chain line");
    assert_eq!(german.text("sheet.edition", &[("edition", "1.0.0")]), "edition 1.0.0");
    let told: Vec<_> = findings.iter().filter_map(|finding| Some((finding.code, finding.place.as_ref()?.line?))).collect();
    assert_eq!(told, [("translation-missing", 15), ("translation-stale", 19), ("placeholder-unknown", 23)]);
    assert!(findings.iter().any(|finding| finding.message == "`sheet.paper` is not in the translation"));
}

#[test]
fn french_counts_nought_as_one() {
    let french = GERMAN.replace("Größe {sizes}", "taille {sizes}").replace("Größen {sizes}", "tailles {sizes}");
    let french = Messages::translated("fr", "fr.po", &french).0.unwrap();
    let shown = [0, 1, 2].map(|n| french.count("sheet.sizes", n, &[("sizes", "M")]));
    assert_eq!(shown, ["taille M", "taille M", "tailles M"]);
}

#[test]
fn a_broken_file_or_an_unknown_language_gives_no_texts() {
    assert!(Messages::translated("de", "de.po", "msgid \"\nmsgstr").0.is_none());
    let (none, findings) = Messages::translated("tlh", "tlh.po", GERMAN);
    assert!(none.is_none() && findings.iter().any(|finding| finding.code == "language-unknown"));
}
