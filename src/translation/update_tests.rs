//! Tests of updating: nothing that a translator wrote may be lost.

use super::super::texts::Kind;
use super::*;
use crate::catalogue::po;
use proptest::prelude::*;

fn text(context: &str, text: &str) -> KitText {
    KitText {
        context: context.into(),
        text: text.into(),
        plural: None,
        places: vec![crate::diagnostic::Place::at("kit.yaml", 3, 1)],
        note: None,
        kind: Kind::Line,
        room: None,
        flags: vec![],
    }
}

fn header() -> Header {
    Header { kit: "tote".into(), edition: "1.0.0".into(), language: "fr".into() }
}

fn updated(wanted: &[KitText], old: &[Entry]) -> Update {
    update(wanted, old, &header(), jiff::civil::date(2026, 11, 20))
}

/// The catalogue with a translation of each text.
fn done(wanted: &[KitText]) -> Vec<Entry> {
    let mut entries = updated(wanted, &[]).entries;
    for entry in entries.iter_mut().filter(|entry| !entry.is_header()) {
        entry.strings = vec![format!("fr {}", entry.id)];
    }
    entries
}

#[test]
fn a_new_catalogue_has_every_text_and_no_translation() {
    let update = updated(&[text("kit.title", "Tote"), text("guide.help", "Write to us.")], &[]);
    assert_eq!(update.tally, Tally { added: 2, ..Tally::default() });
    assert!(update.entries[0].is_header() && update.entries[1].strings == [""]);
    assert_eq!(update.entries[2].references, ["kit.yaml:3"]);
}

#[test]
fn changed_texts_keep_their_translation_with_a_mark_and_the_earlier_words() {
    let old =
        done(&[text("guide.sewing", "Fold the strap twice."), text("guide.sewing", "Press."), text("guide.help", "Write.")]);
    let update = updated(&[text("guide.sewing", "Fold the straps twice."), text("guide.help", "Write.")], &old);
    assert_eq!(update.tally, Tally { kept: 1, changed: 1, dropped: 1, added: 0 });
    let [_, fold, help, press] = &update.entries[..] else { panic!("{:?}", update.entries) };
    assert!(fold.is_fuzzy() && fold.strings == ["fr Fold the strap twice."]);
    assert_eq!(fold.previous.id.as_deref(), Some("Fold the strap twice."));
    assert!(!help.is_fuzzy() && press.obsolete && press.strings == ["fr Press."]);
    // What comes back is taken off the shelf, as good as it was.
    let again = updated(&[text("guide.sewing", "Press."), text("guide.sewing", "Fold the straps twice.")], &update.entries);
    assert_eq!(again.tally, Tally { kept: 2, dropped: 1, ..Tally::default() });
    assert!(!again.entries[1].is_fuzzy() && again.entries[2].is_fuzzy());
}

#[test]
fn a_text_that_moves_to_another_part_is_offered_there() {
    let old = done(&[text("guide.chapter-1", "Snip every notch.")]);
    let update = updated(&[text("guide.cutting", "Snip every notch.")], &old);
    let moved = &update.entries[1];
    assert!(moved.is_fuzzy() && moved.previous.context.as_deref() == Some("guide.chapter-1"));
}

proptest! {
    // However a kit changes, and changes back, each translation is still in the file, in use or put aside.
    #[test]
    fn no_translation_is_ever_lost(first in prop::collection::btree_set("[a-c]{1,3}", 1..8), second in prop::collection::btree_set("[a-c]{1,3}", 1..8)) {
        let texts = |set: &std::collections::BTreeSet<String>| set.iter().map(|it| text("x", it)).collect::<Vec<_>>();
        let old = done(&texts(&first));
        let there = updated(&texts(&second), &old);
        let strings: Vec<&String> = there.entries.iter().flat_map(|entry| &entry.strings).collect();
        for entry in old.iter().filter(|entry| !entry.is_header()) {
            prop_assert!(entry.strings.iter().all(|string| strings.contains(&string)), "{:?}", entry);
        }
        let back = updated(&texts(&first), &there.entries);
        for text in &first {
            let entry = back.entries.iter().find(|entry| &entry.id == text && !entry.obsolete).unwrap();
            prop_assert!(!entry.strings[0].is_empty());
        }
        // An update of what is up to date changes nothing.
        let once = po::written(&there.entries);
        let (read, _) = po::parse("x.po", &once);
        prop_assert_eq!(po::written(&updated(&texts(&second), &read).entries), once);
    }
}
