//! Tests of the publisher's words on the page: tables, languages, what is not translated, and pictures.

use super::tests::{files, kit, layout, map, maps, plain};
use super::*;
use crate::catalogue::KitWords;
use crate::manifest::{Chapter, CutRow, FabricRow, GuideTexts, Measure, MeasureRow, Worn};
use crate::units::Length;

fn lengths(cm: &[f64]) -> Vec<Length> {
    cm.iter().map(|cm| Length::mm(cm * 10.0)).collect()
}

/// Tables and texts of a kit of three sizes.
fn texts() -> GuideTexts {
    let row = |measure, of, cm: &[f64]| MeasureRow { measure, of, values: lengths(cm) };
    GuideTexts {
        introduction: Some("An *apron*.".into()),
        size_table: vec![
            row(Measure::Known("bust"), Worn::Body, &[80.0, 84.0, 88.5]),
            row(Measure::Own("bib".into()), Worn::Garment, &[30.0, 31.0, 32.0]),
        ],
        fabric_table: vec![
            FabricRow {
                name: "Main".into(),
                what: Some("linen <fine>".into()),
                width: Some(Length::mm(1500.0)),
                lengths: lengths(&[160.0, 160.0, 190.0]),
            },
            FabricRow { name: "Scrap".into(), what: None, width: None, lengths: lengths(&[30.0]) },
        ],
        cutting_list: vec![CutRow {
            piece: "Strap".into(),
            from: Some("Main".into()),
            count: 4,
            fold: true,
            mirrored: true,
            note: Some("with care".into()),
        }],
        chapters: vec![Chapter {
            title: "Sew".into(),
            text: "\n## Straps\n\n![the strap](s.svg)\n\nSee [the map](#map), [the table](#measures).\n".into(),
            file: Some("guide/sewing.md".into()),
            context: "guide.sewing".into(),
        }],
        licence: Some("For you.".into()),
        changes: Some("All.".into()),
        ..GuideTexts::default()
    }
}

fn guide(language: &str, words: &KitWords) -> String {
    let kit = kit(&["S", "M", "L"], texts());
    let layouts = [layout("a4", 2, 2, &[("S", &[0]), ("M", &[0, 1]), ("L", &[0, 1, 2])])];
    let shown =
        [("guide/s.svg".to_owned(), Illustration { before: "<svg aria-label=\"".into(), after: "\"></svg>".into() })].into();
    let map = [map(&layouts[0])];
    let pictures = Pictures { shown: Some(&shown), ..maps(&map) };
    html(&kit, &layouts, &pictures, &files(&layouts), &Messages::builtin(language).unwrap(), words).unwrap()
}

#[test]
fn parts_stand_in_the_order_of_the_work() {
    let guide = guide("en", &KitWords::as_written());
    let ids: Vec<_> = guide.split("<section id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let expected = [
        "package",
        "check",
        "print",
        "sizes",
        "map",
        "join",
        "measures",
        "materials",
        "cutting-list",
        "sewing",
        "safety",
        "glossary",
        "licence",
        "changes",
        "about",
    ];
    assert_eq!(ids, expected);
    let known = crate::guide::ids(&kit(&["S"], texts()));
    assert!(known.contains("sewing") && known.contains("licence") && !known.contains("help") && !known.contains("chapter-1"));
}

#[test]
fn tables_show_centimetres_and_inches() {
    let text = plain(&guide("en", &KitWords::as_written())).replace('\u{a0}', " ");
    for words in [
        "80 cm (31 ½ in)",
        "88.5 cm (34 ⅞ in)",
        "30 cm (11 ¾ in)",
        "linen <fine>",
        "S to M: 160 cm (63 in)",
        "L: 190 cm (74 ¾ in)",
        "on the fold",
        "half of them mirrored",
        "with care",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn a_chapter_shows_its_pictures_and_links_to_the_guide() {
    let page = guide("en", &KitWords::as_written());
    assert!(page.contains("<h3>Straps</h3>"));
    assert!(page.contains("<figure class=\"picture\"><svg aria-label=\"the strap\"></svg></figure>"));
    assert!(page.contains("<a href=\"#map\">the map</a>, <a href=\"#measures\">the table</a>"));
}

#[test]
fn what_is_not_translated_is_marked() {
    let said = |context: &str, text: &str, words: &str| (context.to_owned(), text.to_owned(), words.to_owned());
    let words = KitWords::translated([
        said("kit.title", "Tansy apron", "Tablier Tansy"),
        said("guide.introduction", "An *apron*.", "Un *tablier*."),
        said("guide.fabric-table", "Main", "Tissu principal"),
        said("guide.sewing", "Sew", "Coudre"),
        said("guide.sewing", "the strap", "la bretelle"),
    ]);
    let page = guide("fr", &words);
    assert!(page.contains("<h1>Tablier Tansy</h1>") && page.contains("<p>Un <em>tablier</em>.</p>"));
    assert_eq!(page.matches("Tissu principal").count(), 2, "a cloth has one name in both tables");
    assert!(page.contains("aria-label=\"la bretelle\"") && page.contains("> Coudre</h2>"));
    let mark = "<small class=\"mark\" lang=\"fr\" dir=\"ltr\">pas encore traduit</small>";
    assert!(page.contains(&format!("<h3 class=\"untranslated\" lang=\"en\" dir=\"ltr\">Straps {mark}</h3>")), "{page}");
    assert!(page.contains(&format!("<span class=\"untranslated\" lang=\"en\" dir=\"ltr\">Strap</span> {mark}")));
    assert!(!guide("en", &KitWords::as_written()).contains("class=\"untranslated\""));
}

#[test]
fn a_script_is_there_only_if_there_is_a_choice() {
    let page = guide("en", &KitWords::as_written());
    let policy = format!("script-src '{}'", script_hash(script::script()));
    assert!(page.contains(&policy) && page.matches("<script>").count() == 1 && page.contains("id=\"picker\""));
    let layouts = [layout("a4", 1, 2, &[("", &[0])])];
    let alone = tests::guide_of(&kit(&[], GuideTexts::default()), &layouts);
    assert!(
        !alone.contains("<script") && !alone.contains("script-src") && !alone.contains("picker-"),
        "one paper and one size leave nothing to pick"
    );
}
