//! Complete manifests: defaults, every key, and two files made one.

use super::*;
use crate::diagnostic::Place;
use crate::manifest::{
    Between, Colour, ControlTarget, Extent, Fills, FontSource, Format, Inking, Joins, Notch, Pin, Press, Sharing, Side,
    SizeLines, SizeNames, Way,
};
use crate::units::{Length, Margins, Point, Size};

/// Every key of the format.
const FULL: &str = include_str!("full.yaml");

#[test]
fn defaults_are_filled_in() {
    let kit = good(&instead("[a4]", "[a4, a0, roll-914]"));
    assert_eq!((kit.source_language.as_str(), kit.languages.as_slice()), ("en", &["en".to_owned()][..]));
    assert_eq!((kit.mark_colour, kit.base_layers.clone(), kit.drawing.units_per_inch), (Colour::BLACK, None, None));
    let [a4, a0, roll] = kit.papers.as_slice() else { panic!("three papers") };
    assert_eq!((a4.border, a4.paper.press, a4.pin), (Length::mm(3.0), Press::Home, None));
    assert_eq!((a0.margins, a0.border, a0.paper.press), (Margins::even(Length::mm(5.0)), Length::ZERO, Press::Wide));
    assert_eq!(roll.paper.format, Format::Roll(Length::mm(914.4)));
    assert_eq!((kit.sharing, kit.join_error, kit.size_files), (Sharing::Own, Length::mm(0.3), false));
    assert_eq!((kit.joins, kit.blank), (Joins::Butt, None));
    assert_eq!(kit.inking, Inking::default());
}

#[test]
fn every_key_is_read() {
    let kit = good(FULL);
    assert_eq!(kit.languages, ["fr", "en", "ja"]);
    assert_eq!(kit.places.of_path("languages[0]"), Place::at("kit.yaml", 11, 17));
    assert_eq!(kit.mark_colour, Colour { red: 26, green: 43, blue: 60 });
    assert_eq!(kit.drawing.units_per_inch, Some(72.0));
    assert_eq!(kit.base_layers.as_deref(), Some(&["pattern".to_owned(), "words".to_owned()][..]));
    let ids: Vec<_> = kit.papers.iter().map(|setup| (setup.paper.id.as_str(), setup.paper.title.as_str())).collect();
    let expected = [("a4", "A4"), ("a0", "A0"), ("studio-roll", "Studio roll"), ("big", "big"), ("card", "card")];
    assert_eq!(ids, expected);
    let presses: Vec<_> = kit.papers.iter().map(|setup| setup.paper.press).collect();
    assert_eq!(presses, [Press::Home, Press::Wide, Press::Wide, Press::Home, Press::Home]);
    assert_eq!(kit.papers[3].paper.format, Format::Sheet(Size::mm(500.0, 700.0)));
    assert_eq!(kit.papers[3].margins.bottom, Length::mm(14.0));
    assert_eq!(kit.papers[1].margins, Margins::even(Length::mm(2.0)));
    let body = Side { element: "control-body".into(), extent: Extent::Height, between: None };
    assert_eq!(kit.controls[0].target, ControlTarget::Side(body));
    assert_eq!(kit.controls[1].tolerance, Length::mm(0.1));
    assert_eq!(kit.guide.chapters[0].text, "Pin.\n\nSew.");
    let font = |file: &str| FontSource { file: file.into(), sha256: None };
    let pinned = FontSource { sha256: Some("0123456789abcdef".repeat(4)), ..font("OtherFont.ttf") };
    assert_eq!(kit.fonts, [font("fonts/MyFont.ttf"), pinned]);
    assert_eq!(kit.brand_font.as_deref(), Some("fonts/Brand.otf"));
    assert_eq!((kit.sharing, kit.join_error, kit.size_files), (Sharing::Shared, Length::mm(0.5), true));
    assert_eq!((kit.joins, kit.blank), (Joins::Lapped, None));
    let inking = Inking { size_lines: SizeLines::Distinct, size_names: SizeNames::AsDrawn, fills: Fills::Hatched };
    assert_eq!(kit.inking, inking);
    assert_eq!(
        kit.papers[0].pin,
        Some(Pin { origin: Point::new(Length::mm(12.5), Length::mm(-3.0)), lying: true, fixed: false })
    );
}

#[test]
fn names_go_with_distinct_lines_unless_told_otherwise() {
    let names = |text: &str| good(&with(&format!("sizes: [{{name: a, layer: a}}]\n{text}"))).inking.size_names;
    assert_eq!(names("size-lines: as-drawn\n"), SizeNames::AsDrawn);
    assert_eq!(names("size-lines: distinct\n"), SizeNames::AlongLines);
    assert_eq!(names("size-lines: distinct\nsize-names: as-drawn\n"), SizeNames::AsDrawn);
    assert_eq!(names("size-names: along-lines\n"), SizeNames::AlongLines);
}

#[test]
fn a_pinned_sheet_stands_upright_unless_told_otherwise() {
    let kit = good(&instead("[a4]", "[{paper: a4, placement: {from: [0 mm, -1 in]}}]"));
    assert_eq!(
        kit.papers[0].pin,
        Some(Pin { origin: Point::new(Length::ZERO, Length::inches(-1.0)), lying: false, fixed: false })
    );
}

#[test]
fn places_point_at_values() {
    let kit = good(FULL);
    let at = |path: &str| kit.places.of_path(path).to_string();
    assert_eq!(at("papers[1].margins.top"), "kit.yaml:25:34");
    assert_eq!(at("papers"), "kit.yaml:23:1");
    assert_eq!(at("drawing.file"), "kit.yaml:13:9");
    assert_eq!(at("guide.notions"), "kit.yaml:41:1");
    assert_eq!(at("nothing.at[3].all"), "kit.yaml:1:1");
}

#[test]
fn a_shared_file_fills_the_gaps() {
    let main = document(
        "kit.yaml",
        "name: tote\ntitle: T\nshared: ../brand/brand.yaml\nedition: 1.0.0\ndate: 2026-11-20\ndrawing: {file: t.svg}\n",
    );
    assert_eq!(main.shared(), Some("../brand/brand.yaml"));
    let shared = document(
        "../brand/brand.yaml",
        "title: Not this\npublisher: P\ncopyright: C\nlogo: logo.svg\nfonts: [f/a.ttf]\npapers:\n  - a4\n  - a3\n",
    );
    let (found, findings) = kit(&main, Some(&shared));
    assert!(findings.is_empty(), "{findings:?}");
    let found = found.unwrap();
    assert_eq!((found.title.as_str(), found.publisher.as_str(), found.logo.as_deref()), ("T", "P", Some("../brand/logo.svg")));
    assert_eq!(found.fonts, [FontSource { file: "../brand/f/a.ttf".into(), sha256: None }]);
    assert_eq!(found.places.of_path("papers[1]"), Place::at("../brand/brand.yaml", 8, 5));
    assert_eq!(found.places.of_path("title"), Place::at("kit.yaml", 2, 8));
}

#[test]
fn a_shared_file_cannot_make_a_kit_or_reach_far() {
    let main = document("kit.yaml", &with("shared: ../brand.yaml\nlogo: a.svg\n"));
    let shared =
        document("../brand.yaml", "name: x\nfonts: [../f.ttf]\nshared: y.yaml\nedition: 1.0.0\ndrawing: {file: t.svg}\n");
    let (found, findings) = kit(&main, Some(&shared));
    let expected = ["key-misplaced 1:7", "key-misplaced 3:9", "key-misplaced 4:10", "key-misplaced 5:10", "path-outside 2:9"];
    assert_eq!(told(&findings), expected);
    assert!(found.is_none() && findings.iter().all(|f| f.place.as_ref().unwrap().file == "../brand.yaml"));
}

#[test]
fn a_shared_file_may_say_how_sheets_are_laid_out() {
    let main = document("kit.yaml", &with("shared: brand.yaml\nsize-files: false\nsizes: [{name: a, layer: a}]\n"));
    let shared = document("brand.yaml", "layouts: shared\njoin-error: 1 mm\nsize-files: true\nmargins: 95 %\n");
    let (found, findings) = kit(&main, Some(&shared));
    let found = found.unwrap();
    assert_eq!((found.sharing, found.join_error, found.size_files), (Sharing::Shared, Length::mm(1.0), false));
    assert_eq!(told(&findings), ["sharing-alone 1:10"]);
    assert_eq!(found.papers[0].margins.bottom, Length::mm(14.2));
}

#[test]
fn keys_of_an_unread_shared_file_are_not_called_missing() {
    let main = document("kit.yaml", "name: tote\nshared: brand.yaml\n");
    let (found, findings) = kit(&main, None);
    assert!(found.is_none());
    assert_eq!(told(&findings), ["key-missing 1:1", "key-missing 1:1"]);
    assert!(words(&findings).contains("`edition`") && words(&findings).contains("`drawing`"));
}

#[test]
fn all_missing_keys_are_named() {
    let (_, findings) = read("border: 3 mm\n");
    let keys = ["name", "title", "publisher", "edition", "date", "copyright", "drawing", "papers"];
    assert_eq!(findings.iter().count(), keys.len());
    keys.iter().for_each(|key| assert!(words(&findings).contains(&format!("lacks the key `{key}`")), "{key}"));
}

#[test]
fn margin_sets_of_ones_own_may_replace_the_built_in_ones() {
    let sets = "margin-sets:\n  home: {top: 9 mm, right: 9 mm, bottom: 9 mm, left: 9 mm}\n";
    assert_eq!(good(&with(sets)).papers[0].margins, Margins::even(Length::mm(9.0)));
    assert_eq!(good(&with("margins: wide\n")).papers[0].margins, Margins::even(Length::mm(5.0)));
}

#[test]
fn every_example_of_the_manual_makes_a_kit() {
    let manual = include_str!("../../../docs/manifest.md").replace("\r\n", "\n");
    let blocks: Vec<&str> = manual.split("```yaml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(blocks.len() >= 6, "the manual's examples were found");
    for block in blocks {
        let small = match block {
            block if block.starts_with("name:") => String::new(),
            block if block.starts_with("drawing:") || block.starts_with("blank:") => {
                instead("drawing:\n  file: tote.svg\n", "")
            }
            block if block.starts_with("papers:") => instead("papers: [a4]\n", ""),
            _ => SMALL.to_owned(),
        };
        good(&format!("{small}{block}"));
    }
}

#[test]
fn the_manual_names_every_key() {
    let manual = include_str!("../../../docs/manifest.md");
    let schema = schema();
    let definitions = schema["$defs"].as_object().unwrap().values().chain([&schema]);
    let keys = definitions.filter_map(|d| d["properties"].as_object()).flat_map(|keys| keys.keys());
    let sides = ["top", "right", "bottom", "left"];
    for key in keys.filter(|key| !sides.contains(&key.as_str())) {
        let named = [format!("`{key}`"), format!(".{key}`"), format!("`{key}: ")].iter().any(|form| manual.contains(form));
        assert!(named, "{key}");
    }
}

#[test]
fn control_measurements_are_told_size_by_size() {
    let text = with(
        "sizes: [{name: 36, layer: a}, {name: 34, layer: b}]\ncontrol-measurements:\n  \
         - {name: waist, element: waist, lengths: {34: 340 mm, 36: 360 mm}}\n  \
         - {name: loop, element: loop-<size>, measure: outline, size: all, length: 9 cm}\n  \
         - {name: sides, element: side-<size>, between: [n-<size>, [1 mm, 2 mm]], way: long, size: 34, equals: [back, {element: yoke, measure: width}], plus: 2 mm, within: 1 mm}\n  \
         - {name: hems, element: hem, equals: lining}\n",
    );
    let kit = good(&text);
    let told = kit.controls.iter().map(|c| (c.name.as_str(), c.size, c.length.to_mm(), c.tolerance.to_mm(), c.entry.as_str()));
    let entry = |index: usize| format!("control-measurements[{index}]");
    let expected = [
        ("waist, size 36", Some(0), 360.0, 0.05, entry(0)),
        ("waist, size 34", Some(1), 340.0, 0.05, entry(0)),
        ("loop, size 36", Some(0), 90.0, 0.05, entry(1)),
        ("loop, size 34", Some(1), 90.0, 0.05, entry(1)),
        ("sides", Some(1), 2.0, 1.0, entry(2)),
        ("hems", None, 0.0, 0.5, entry(3)),
    ];
    for (found, (name, size, length, within, entry)) in told.zip(&expected) {
        assert_eq!((found.0, found.1, found.4), (*name, *size, entry.as_str()));
        assert!((found.2 - length).abs() < 1e-9 && (found.3 - within).abs() < 1e-9, "{name}");
    }
    assert_eq!(kit.controls.len(), expected.len());
    let whole = |element: &str, extent| Side { element: element.into(), extent, between: None };
    assert_eq!(kit.controls[3].target, ControlTarget::Side(whole("loop-34", Extent::Outline)));
    let notches = [Notch::Element("n-34".into()), Notch::Point(Point::new(Length::mm(1.0), Length::mm(2.0)))];
    let side = Side { between: Some(Between { notches, way: Way::Long }), ..whole("side-34", Extent::Length) };
    let others = vec![whole("back", Extent::Length), whole("yoke", Extent::Width)];
    assert_eq!(kit.controls[4].target, ControlTarget::Pair(side, others));
}
