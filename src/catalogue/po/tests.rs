//! Tests of the PO reader; the format is that of the GNU gettext manual, "The Format of PO Files".

use super::*;

const SAMPLE: &str = "\u{feff}# our own words\n\
msgid \"\"\r\n\
msgstr \"\"\n\
\"Language: de\\n\"\n\
\n\
#. for translators\n\
#: src/x.rs:1\n\
#, fuzzy, python-brace-format\n\
#| msgid \"old\"\n\
msgctxt \"sheets\"\n\
msgid \"{n} sheet\"\n\
msgid_plural \"\"\n\
\"{n} \"\n\
\"sheets\"\n\
msgstr[0] \"{n} Blatt\"\n\
msgstr[1] \"{n} Blätter\"\n\
msgctxt \"next\"\n\
msgid \"no blank line before\"\n\
msgstr \"\"\n\
\n\
#~ msgctxt \"gone\"\n\
#~ msgid \"old text\"\n\
#~ msgstr \"alter Text\"\n";

#[test]
fn everything_of_an_entry_is_read() {
    let (entries, findings) = parse("de.po", SAMPLE);
    assert!(findings.is_empty(), "{findings:?}");
    let [header, sheets, next, gone] = &entries[..] else { panic!("four entries, not {entries:?}") };
    assert!(header.is_header() && header.strings == ["Language: de\n"]);
    assert_eq!(sheets.context.as_deref(), Some("sheets"));
    assert_eq!((sheets.id.as_str(), sheets.id_plural.as_deref()), ("{n} sheet", Some("{n} sheets")));
    assert_eq!(sheets.strings, ["{n} Blatt", "{n} Blätter"]);
    assert_eq!(sheets.notes, ["for translators"]);
    assert!(sheets.is_fuzzy() && sheets.flags.contains(&"python-brace-format".into()));
    assert_eq!(sheets.place, Place::at("de.po", 10, 1));
    assert_eq!((next.strings.as_slice(), next.is_fuzzy()), (&[String::new()][..], false));
    assert!(gone.obsolete && gone.strings == ["alter Text"]);
}

#[test]
fn every_fault_is_told_with_its_place() {
    let faulty = "msgid \"a\"\nmsgtsr \"b\"\n\nmsgid \"c\"\nmsgstr \"d\n\n\"alone\"\n\nmsgid \"e\"\nmsgstr[1] \"f\"\n\nmsgstr \"g\"\n\nmsgid \"h\"\nmsgstr \"\\q\"\n";
    let (_, findings) = parse("x.po", faulty);
    let told: Vec<_> =
        findings.iter().map(|f| (f.code, f.place.as_ref().map(ToString::to_string).unwrap_or_default())).collect();
    let expected = [
        ("po-syntax", "x.po:2:1"),
        ("po-entry", "x.po:1:1"),
        ("po-syntax", "x.po:5:8"),
        ("po-syntax", "x.po:7:1"),
        ("po-syntax", "x.po:10:1"),
        ("po-entry", "x.po:9:1"),
        ("po-syntax", "x.po:12:1"),
        ("po-syntax", "x.po:15:9"),
    ];
    assert_eq!(told, expected.map(|(code, place)| (code, place.to_owned())));
}

#[test]
fn a_key_may_stand_once() {
    let (entries, findings) =
        parse("x.po", "msgctxt \"k\"\nmsgid \"a\"\nmsgstr \"\"\n\nmsgctxt \"k\"\nmsgid \"a\"\nmsgstr \"\"\n");
    assert_eq!(entries.len(), 1);
    assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), ["po-duplicate"]);
}

proptest::proptest! {
    // No text may make the reader panic, and what it keeps stands in the file.
    #[test]
    fn any_text_is_read_or_refused(text in "(msg(id|str|ctxt|id_plural|str\\[[0-9]{1,20}\\])|#[~.,|]?|\"|\\\\|[a-zä ]|\n){0,60}") {
        let (entries, _) = parse("x.po", &text);
        proptest::prop_assert!(entries.len() <= text.matches("msgstr").count());
    }
}

#[test]
fn what_is_written_is_read_back_whole() {
    let (entries, _) = parse("de.po", SAMPLE);
    let text = written(&entries);
    let (again, findings) = parse("de.po", &text);
    assert!(findings.is_empty(), "{findings:?}");
    let bare =
        |entries: &[Entry]| entries.iter().map(|entry| Entry { place: Place::default(), ..entry.clone() }).collect::<Vec<_>>();
    assert_eq!(bare(&entries), bare(&again));
    assert_eq!(written(&again), text);
    let sheets = &again[1];
    assert_eq!((sheets.references.as_slice(), sheets.previous.id.as_deref()), (&["src/x.rs:1".to_owned()][..], Some("old")));
    assert_eq!(again[0].comments, ["our own words"]);
}

proptest::proptest! {
    // Whatever stands in an entry survives the way to the file and back.
    #[test]
    fn any_entry_survives(context in "[a-z.]{1,9}", id in "[^\\x00]{1,40}", text in "[^\\x00]{0,40}", note in "[a-zé{}]{1,20}", obsolete: bool) {
        let notes = if obsolete { vec![] } else { vec![note] };
        let entry = Entry { context: Some(context), id: id.clone(), strings: vec![text], notes, obsolete, ..Entry::default() };
        let (read, findings) = parse("x.po", &written(std::slice::from_ref(&entry)));
        proptest::prop_assert!(findings.is_empty(), "{:?}", findings);
        let [read] = &read[..] else { panic!("one entry, not {read:?}") };
        proptest::prop_assert_eq!(Entry { place: Place::default(), ..read.clone() }, entry);
    }
}
