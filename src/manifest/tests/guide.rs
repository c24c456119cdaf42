//! Tests of the key `guide`: tables, chapters and their findings.

use super::findings::{expect, expect_each};
use super::*;
use crate::manifest::{Measure, Worn};
use crate::units::Length;

/// A guide below two sizes.
fn guide(text: &str) -> String {
    with(&format!("sizes: [{{name: S, layer: s}}, {{name: L, layer: l}}]\nguide:\n{text}\n"))
}

#[test]
fn tables_are_read() {
    let kit = good(&guide(
        "  size-table:\n    - {measure: bust, values: [80 cm, 84 cm]}\n    - {measure: bust, of: garment, values: [90 cm, 36 in]}\n    \
         - {name: length of the bib, of: garment, values: [30 cm, 31.5 cm]}\n  \
         fabric-table:\n    - {name: Main cloth, what: linen, width: 150 cm, lengths: [1.6 m, 1.9 m]}\n    - {name: Scrap, lengths: [30 cm]}\n  \
         cutting-list:\n    - {piece: Strap, from: Main cloth, cut: 4, mirrored: true, note: with care}\n    - {piece: 7, cut: 1, fold: true}",
    ));
    let [bust, finished, bib] = kit.guide.size_table.as_slice() else { panic!("three rows") };
    assert_eq!((&bust.measure, bust.of), (&Measure::Known("bust"), Worn::Body));
    assert_eq!((finished.of, finished.values[1]), (Worn::Garment, Length::inches(36.0)));
    assert_eq!(bib.measure, Measure::Own("length of the bib".into()));
    let [main, scrap] = kit.guide.fabric_table.as_slice() else { panic!("two rows") };
    assert_eq!(
        (main.width, main.lengths.as_slice()),
        (Some(Length::mm(1500.0)), &[Length::mm(1600.0), Length::mm(1900.0)][..])
    );
    assert_eq!((scrap.what.as_ref(), scrap.lengths.len()), (None, 1));
    let [strap, other] = kit.guide.cutting_list.as_slice() else { panic!("two rows") };
    assert_eq!((strap.count, strap.mirrored, strap.note.as_deref()), (4, true, Some("with care")));
    assert_eq!((other.piece.as_str(), other.from.as_ref(), other.fold), ("7", None, true));
    // One size has one value, with or without a list of sizes.
    good(&with("guide: {size-table: [{measure: hip, values: [90 cm]}]}\n"));
}

#[test]
fn tables_have_a_value_for_each_size() {
    let row = |values: &str| guide(&format!("  size-table: [{{measure: hip, values: {values}}}]"));
    expect_each("table-length", &["¦[1 m]", "¦[1 m, 2 m, 3 m]"].map(row));
    let cloth = |lengths: &str| guide(&format!("  fabric-table: [{{name: a, lengths: {lengths}}}]"));
    expect_each("table-length", &[cloth("¦[1 m, 2 m, 3 m]")]);
    expect_each("list-length", &[cloth("¦[]"), row("¦[]")]);
    expect_each("length-unit", &[row("[1 m, ¦80]"), cloth("[¦80, 1 m]")]);
    expect_each("length-range", &[row("[1 m, ¦0 mm]"), guide("  fabric-table: [{name: a, width: ¦0 cm, lengths: [1 m]}]")]);
    // A size that was refused leaves no number to hold a row against.
    expect(
        &with("sizes: [{name: S, layer: s}, ¦{name: L}]\nguide: {size-table: [{measure: hip, values: [1 m]}]}\n"),
        &["key-missing"],
    );
}

#[test]
fn measures_cloths_and_cuts() {
    let row = |row: &str| guide(&format!("  size-table: [{row}]"));
    let unknown = ["{measure: ¦bost, values: [1 m, 1 m]}", "{measure: ¦Bust, values: [1 m, 1 m]}"];
    expect_each("measure-unknown", &unknown.map(row));
    assert!(words(&read(&row("{measure: bost, values: [1 m, 1 m]}")).1).contains("`bust`"));
    expect_each("measure-form", &["¦{values: [1 m, 1 m]}", "¦{measure: hip, name: a, values: [1 m, 1 m]}"].map(row));
    expect(&row("{measure: hip, values: [1 m, 1 m]}, ¦{measure: hip, of: body, values: [1 m, 1 m]}"), &["measure-twice"]);
    expect_each("value-unknown", &[row("{measure: hip, of: ¦both, values: [1 m, 1 m]}")]);
    let cloth = "  fabric-table: [{name: Main, lengths: [1 m]}]\n  cutting-list: ";
    expect(&guide(&format!("{cloth}[{{piece: a, from: ¦Mian, cut: 1}}]")), &["fabric-unknown"]);
    good(&guide("  cutting-list: [{piece: a, from: anything, cut: 1}]"));
    expect(&guide("  cutting-list: [{piece: a, cut: ¦3, mirrored: true}]"), &["cut-form"]);
    expect(&guide("  cutting-list: [{piece: a, cut: ¦0}]"), &["value-range"]);
}

#[test]
fn chapters_have_names_of_their_own() {
    let chapters = |list: &str| guide(&format!("  chapters: [{list}]"));
    let kit = good(&chapters("{title: Cut, text: a}, {file: guide/sewing.md}, {title: End, text: b}"));
    let contexts: Vec<_> = kit.guide.chapters.iter().map(|chapter| chapter.context.as_str()).collect();
    assert_eq!(contexts, ["guide.chapter-1", "guide.sewing", "guide.chapter-3"]);
    assert_eq!(kit.guide.chapters[1].id(), "sewing");
    expect_each("chapter-form", &["¦{title: a}", "¦{text: a}", "¦{}", "¦{title: a, text: b, file: c.md}"].map(chapters));
    let names = ["¦a.txt", "¦a b.md", "¦.md", "¦a.b.md", "¦Help.md", "¦guide/chapter-1.md", "¦map-a4.md"];
    expect_each("chapter-file", &names.map(|name| chapters(&format!("{{file: {name}}}"))));
    expect(&chapters("{file: a/x.md}, {file: ¦b/X.md}"), &["chapter-twice"]);
    expect(&chapters("{file: ¦../../x.md}"), &["path-outside"]);
}

#[test]
fn a_shared_file_names_chapters_from_its_own_folder() {
    let main = document("kit.yaml", &with("shared: ../brand/shared.yaml\n"));
    let shared = document("shared.yaml", "guide: {chapters: [{file: care.md}]}\n");
    let (kit, findings) = kit(&main, Some(&shared));
    assert!(findings.is_empty(), "{:?}", told(&findings));
    assert_eq!(kit.unwrap().guide.chapters[0].file.as_deref(), Some("../brand/care.md"));
}
