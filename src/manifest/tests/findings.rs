//! Every code provoked once or more; `¦` in a manifest stands right before the character that the finding must point at.

use super::*;
use crate::diagnostic::Severity;

/// The text without its marks, and line and column (from 1) of each.
fn unmarked(text: &str) -> (String, Vec<(u32, u32)>) {
    let (mut plain, mut marks, mut at) = (String::new(), Vec::new(), (1, 1));
    for c in text.chars() {
        match c {
            '¦' => marks.push(at),
            '\n' => at = (at.0 + 1, 1),
            _ => at.1 += 1,
        }
        plain.extend((c != '¦').then_some(c));
    }
    (plain, marks)
}

/// Asserts codes and places of all findings, in the order of the file.
pub(super) fn expect(marked: &str, codes: &[&str]) {
    let (text, marks) = unmarked(marked);
    let (kit, findings) = read(&text);
    let place = |f: &crate::diagnostic::Diagnostic| f.place.clone().map(|p| (p.line.unwrap_or(0), p.column.unwrap_or(0)));
    let mut found: Vec<_> = findings.iter().map(|f| (place(f).unwrap(), f.code)).collect();
    found.sort();
    let expected: Vec<_> = marks.iter().copied().zip(codes.iter().copied()).collect();
    assert_eq!(marks.len(), codes.len(), "a mark for every code: {marked}");
    assert_eq!(found, expected, "{marked}\n{}", words(&findings));
    // What only adds a key, or says it twice, leaves enough for later checks to go on.
    assert!(kit.is_none() || codes.iter().all(|code| ["key-unknown", "key-twice"].contains(code)), "{marked}");
    for finding in findings.iter() {
        let first = finding.message.chars().next().unwrap();
        assert!(!first.is_uppercase() && !finding.message.ends_with('.') && !finding.hints.is_empty(), "{finding:?}");
        assert_eq!(finding.severity, Severity::Error);
    }
}

/// Asserts one finding for every text.
pub(super) fn expect_each(code: &str, texts: &[String]) {
    texts.iter().for_each(|text| expect(text, &[code]));
}

fn title(value: &str) -> String {
    instead("title: Ropewalk tote", &format!("title: {value}"))
}

fn name(value: &str) -> String {
    instead("name: ropewalk-tote", &format!("name: {value}"))
}

fn date(value: &str) -> String {
    instead("date: 2026-11-20", &format!("date: {value}"))
}

fn file(value: &str) -> String {
    instead("file: tote.svg", &format!("file: {value}"))
}

fn papers(value: &str) -> String {
    instead("papers: [a4]", &format!("papers: {value}"))
}

fn control(value: &str) -> String {
    with(&format!("control-measurements:\n  - {value}\n"))
}

#[test]
fn yaml_itself() {
    expect_each("key-twice", &[with("¦title: again\n"), with("guide: {help: a, ¦help: b}\n")]);
    expect_each("yaml-documents", &[with("¦---\nname: b\n")]);
    expect_each("yaml-empty", &["¦# nothing\n".into(), "¦".into(), "¦~".into()]);
    expect_each("yaml-depth", &[with(&format!("guide: {}¦{}\n", "[".repeat(31), "[".repeat(20)))]);
    let (_, findings) = read(&title(&"x".repeat(1_000_001)));
    assert_eq!(told(&findings), ["yaml-size -:-"]);
}

#[test]
fn tags_anchors_and_merge_keys() {
    expect_each("yaml-tag", &[title("¦!loud tote"), title("¦!!str 36")]);
    expect_each("yaml-alias", &[title("¦&t tote"), with("guide:\n  ¦<<: {help: a}\n"), with("guide: ¦&g {help: *g}\n")]);
    expect_each("yaml-syntax", &[with("border: ¦*nowhere\n")]);
}

#[test]
fn broken_yaml() {
    expect_each("yaml-syntax", &[with("guide:\n¦\thelp: a\n"), with("? ¦[a, b]\n: c\n"), title("¦@x"), title("a¦: b")]);
}

#[test]
fn keys() {
    let unknown = [
        with("¦titel: x\n"),
        file("tote.svg\n  ¦unit-per-inch: 72"),
        papers("\n  - {paper: a4, ¦boarder: 1 mm}"),
        with("margin-sets: {own: {top: 1 mm, right: 1 mm, bottom: 1 mm, left: 1 mm, ¦foot: 1 mm}}\n"),
        with("guide:\n  chapters:\n    - title: a\n      text: b\n      ¦txt: c\n"),
    ];
    expect_each("key-unknown", &unknown);
    expect(&with("¦zzz: 1\nguide:\n  ¦qqq: 2\n"), &["key-unknown", "key-unknown"]);
    let missing = [
        format!("¦{}", instead("title: Ropewalk tote\n", "")),
        with("sizes:\n  - ¦name: 36\n"),
        instead("drawing:\n  file: tote.svg", "¦drawing:\n  units-per-inch: 72"),
        with("margins: ¦{top: 1 mm, right: 1 mm, left: 1 mm}\n"),
    ];
    expect_each("key-missing", &missing);
}

#[test]
fn kinds_of_values() {
    let kinds = [
        title("¦[a]"),
        title("¦~"),
        title("¦null"),
        instead("title: Ropewalk tote", "¦title:"),
        instead("drawing:\n  file: tote.svg", "drawing: ¦tote.svg"),
        with("sizes: ¦36\n"),
        with("sizes: [{name: ¦~, layer: a}]\n"),
        with("margins: ¦[1, 2]\n"),
        with("¦mark-colour: #000000\n"),
        papers("¦{}"),
        file("t.svg\n  units-per-inch: ¦72 px"),
        file("t.svg\n  units-per-inch: ¦.nan"),
        file("t.svg\n  units-per-inch: ¦\"72\""),
        papers("[a4, ¦~]"),
        papers("[a4, ¦[a3]]"),
        "¦- a\n- b\n".into(),
        "¦text".into(),
    ];
    expect_each("value-type", &kinds);
    expect_each("value-range", &["0.5", "10001", "-72"].map(|n| file(&format!("t.svg\n  units-per-inch: ¦{n}"))));
    expect_each("list-length", &[with("languages: ¦[]\n"), papers(&format!("¦[{}]", "a4, ".repeat(41)))]);
    expect_each("text-empty", &[title("¦\"  \""), title("¦''"), with("guide:\n  help: ¦''\n")]);
    let controls = [title("¦\"a\\eb\""), title("|\n  ¦a\n  b"), with("guide:\n  help: ¦\"a\\0b\"\n"), title("¦\"a\\Lb\"")];
    expect_each("text-control", &controls);
}

#[test]
fn names_editions_and_dates() {
    let names = ["Ropewalk Tote", "a--b", "-a", "a-", "a_b", "com1", "nul", "lpt0", "ä"];
    expect_each("name-form", &names.map(|text| name(&format!("¦{text}"))));
    let editions = ["1.0", "1", "v1.0.0", "01.0.0", "first", "1.0.0-aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"];
    expect_each("edition-form", &editions.map(|text| instead("1.0.0", &format!("¦{text}"))));
    let dates = ["20.11.2026", "2026-02-30", "1979-12-31", "2108-01-01", "20261120", "2026-11-20T10:00", "-002026-11-20"];
    expect_each("date-form", &dates.map(|text| date(&format!("¦{text}"))));
}

#[test]
fn colours_and_languages() {
    expect_each(
        "colour-form",
        &["red", "'#12'", "'#12345g'", "000000", "'#é12'"].map(|c| with(&format!("mark-colour: ¦{c}\n"))),
    );
    expect_each("language-form", &[with("source-language: ¦english\n"), with("languages: [en, ¦pt_BR]\n")]);
    expect_each("language-twice", &[with("languages: [en, fr, ¦EN]\n")]);
}

#[test]
fn files() {
    let paths = [
        "../../tote.svg",
        "a/../../../t.svg",
        "/tote.svg",
        "C:/t.svg",
        "c:t.svg",
        "https://x.example/t.svg",
        "'a\\t.svg'",
        "a/",
        "..",
    ];
    expect_each("path-outside", &paths.map(|path| file(&format!("¦{path}"))));
    expect_each("path-outside", &[with("logo: ¦/l.svg\n"), with("fonts: [a.ttf, ¦/b.ttf]\n"), with("shared: ¦../../b.yaml\n")]);
    expect_each("drawing-form", &[file("¦tote.pdf"), file("¦tote.svgz")]);
    for path in ["./t.svg", "a/b/t.svg", "../t.svg", "a/../../t.svg", "ä ö/t.SVG"] {
        assert!(!good(&file(path)).drawing.file.contains("./a"), "{path}");
    }
}

#[test]
fn lengths() {
    expect_each("length-unit", &[with("border: ¦3\n"), with("border: ¦'3'\n"), papers("[{paper: a4, border: ¦.5}]")]);
    expect_each("length-unit-unknown", &[with("border: ¦3 ell\n")]);
    expect_each("length-form", &["1,5 mm", "wide", "mm", "nan mm", "1e400 mm"].map(|text| with(&format!("border: ¦{text}\n"))));
    expect_each("border-negative", &[with("border: ¦-1 mm\n")]);
    let margins = "margins:\n  top: 1 mm\n  right: ¦-2 mm\n  bottom: 1 mm\n  left: 1 mm\n";
    let set = "margin-sets: {own: {top: ¦-1 mm, right: 1 mm, bottom: 1 mm, left: 1 mm}}\n";
    expect_each("margin-negative", &[with(margins), with(set)]);
    let shares = ["95", "0.95", "'1'", "49.9 %", "100.1%", "-99 %", "nan %", "'%'", "95,5 %", "1e999 %"];
    expect_each("margins-share-form", &shares.map(|share| with(&format!("margins: ¦{share}\n"))));
    expect_each("margins-share-form", &[papers("[{paper: a4, margins: ¦95}, {paper: a3, margins: 95 %}]")]);
    let wide = [
        "{paper: a0, margins: ¦95 %}",
        "{paper: roll, width: 70 cm, margins: ¦95 %}",
        "{paper: a4, press: wide, margins: ¦95 %}",
    ];
    expect_each("margins-share", &wide.map(|paper| papers(&format!("[{paper}]"))));
    expect_each("margin-set-unknown", &[with("margins: ¦studio\n"), papers("[{paper: a4, margins: ¦studio}]")]);
}

#[test]
fn paper_names_and_sizes() {
    expect_each("paper-unknown", &[papers("[a4, ¦leter]"), papers("[a4, ¦12]"), papers("[{paper: ¦big}]")]);
    expect_each("paper-twice", &[papers("[a4, ¦a4]"), papers("[a4, {paper: ¦a4, border: 1 mm}]")]);
    let sizes = [
        "{paper: a4, width: ¦20 cm}",
        "{paper: big, width: ¦2 m, height: 3 m}",
        "{paper: big, width: 1 m, height: ¦21 m}",
        "{paper: roll, width: ¦17 m}",
    ];
    expect_each("paper-size", &sizes.map(|size| papers(&format!("[{size}]"))));
    expect_each("name-form", &[papers("[{paper: ¦Big, width: 20 cm, height: 9 cm}]")]);
    expect_each("key-missing", &[papers("[{paper: ¦big, height: 9 cm}]")]);
    expect_each("length-range", &[papers("[{paper: big, width: ¦0 mm}]")]);
    expect_each("paper-press", &[papers("[{paper: big, width: 70 cm, press: ¦home}]")]);
    expect_each("value-unknown", &[papers("[{paper: a4, press: ¦shop}]")]);
}

#[test]
fn tiles() {
    let empty = [
        papers("[¦a4]\nborder: 90 mm"),
        papers("[¦{paper: slip, width: 38 mm, height: 9 cm}]"),
        papers("[¦{paper: roll, width: 29.9 mm}]"),
    ];
    expect_each("tile-empty", &empty);
    // 20 mm are enough, whatever the arithmetic of floats makes of them.
    good(&papers("[{paper: roll, width: 30 mm}, {paper: slip, width: 38.8 mm, height: 48.8 mm}]"));
}

#[test]
fn placements() {
    let placed = |placement: &str| papers(&format!("[{{paper: a4, placement: {placement}}}]"));
    expect_each("length-range", &[placed("{from: [¦20.1 m, 0 mm]}"), placed("{from: [0 mm, ¦-20.1 m]}")]);
    expect_each("length-unit", &[placed("{from: [0 mm, ¦-3]}")]);
    expect_each("list-length", &[placed("{from: ¦[0 mm]}"), placed("{from: ¦[0 mm, 0 mm, 0 mm]}")]);
    expect_each("key-missing", &[placed("¦{}"), placed("¦{lying: true}")]);
    expect_each("key-unknown", &[placed("{from: [0 mm, 0 mm], ¦turned: true}")]);
    expect_each("value-type", &[placed("¦a1"), placed("{from: [0 mm, 0 mm], lying: ¦no}"), placed("{from: ¦0 mm}")]);
    expect(&placed("{from: [¦3, ¦9 km]}"), &["length-unit", "length-unit-unknown"]);
}

#[test]
fn layouts_joins_and_size_files() {
    expect_each("value-unknown", &["both", "Shared", "true"].map(|word| with(&format!("layouts: ¦{word}\n"))));
    expect_each("length-range", &["-0.1 mm", "5.01 mm", "1 in"].map(|text| with(&format!("join-error: ¦{text}\n"))));
    for edge in ["0 mm", "5 mm"] {
        good(&with(&format!("join-error: {edge}\n")));
    }
    let words = ["yes", "no", "on", "off", "tRUE", "1", "maybe", "\"true\"", "[true]", "~"];
    expect_each("value-type", &words.map(|word| with(&format!("size-files: ¦{word}\n"))));
}

#[test]
fn pieces_of_a_roll_sizes_at_first_and_projection() {
    let roll = |text: &str| instead("[a4]", &format!("[{{paper: roll-914, longest: {text}}}]"));
    expect_each("length-range", &["¦199 mm", "¦5081 mm", "¦201 in"].map(&roll));
    for edge in ["200 mm", "5.08 m"] {
        good(&roll(edge));
    }
    expect(&instead("[a4]", "[{paper: a0, longest: ¦3 m}]"), &["paper-size"]);
    let sizes = |first, second| {
        with(&format!("sizes: ¦[{{name: a, layer: a, shown: {first}}}, {{name: b, layer: b, shown: {second}}}]\n"))
    };
    expect(&sizes(false, false), &["sizes-hidden"]);
    expect_each("value-type", &["yes", "1", "\"true\""].map(|word| with(&format!("projection: ¦{word}\n"))));
    let kit = good(&sizes(false, true).replace('¦', ""));
    assert_eq!(kit.sizes.iter().map(|size| size.shown).collect::<Vec<_>>(), [false, true]);
    assert!(!kit.projection && good(&with("projection: true\n")).projection);
}

#[test]
fn lines_and_fills() {
    expect_each("value-unknown", &["dashed", "Distinct", "true"].map(|word| with(&format!("size-lines: ¦{word}\n"))));
    expect_each("value-unknown", &["none", "along"].map(|word| with(&format!("size-names: ¦{word}\n"))));
    expect_each("value-unknown", &["empty", "outline"].map(|word| with(&format!("fills: ¦{word}\n"))));
    let sizes = |count: usize| (0..count).map(|size| format!("  - {{name: s{size}, layer: l{size}}}\n")).collect::<String>();
    good(&with(&format!("sizes:\n{}size-lines: distinct\n", sizes(20))));
    good(&with(&format!("sizes:\n{}size-lines: as-drawn\n", sizes(21))));
    expect(&with(&format!("sizes:\n{}size-lines: ¦distinct\n", sizes(21))), &["size-lines-many"]);
}

#[test]
fn texts_that_are_too_long() {
    let (x, size) = (|count| "ß".repeat(count), |name: &str| with(&format!("sizes: [{{name: {name}, layer: a}}]\n")));
    let publisher = |text: &str| instead("publisher: Ploverfield Paper", &format!("publisher: {text}"));
    let copyright = |text: &str| instead("copyright: © 2026 Ploverfield Paper", &format!("copyright: {text}"));
    let named = |name: &str| control(&format!("{{name: {name}, length: 9 cm, element: e}}"));
    let titled = |name: &str| papers(&format!("[{{paper: a4, title: {name}}}]"));
    type Place<'a> = &'a dyn Fn(&str) -> String;
    let limits: [(usize, Place); 6] =
        [(60, &title), (80, &publisher), (160, &copyright), (20, &size), (60, &named), (40, &titled)];
    for (most, text) in limits {
        // White space around a text does not count, and a letter of two bytes is one character.
        good(&text(&format!("\"  {}  \"", x(most))));
        expect(&text(&format!("¦{}", x(most + 1))), &["text-long"]);
    }
    expect(&size(&format!("¦{}", "1".repeat(21))), &["text-long"]);
    expect(&name(&format!("¦{}", "a".repeat(61))), &["text-long"]);
}

#[test]
fn warnings_leave_a_kit() {
    let wide = instead("[a4]", "[a0, a4, roll-914]");
    let cases = [
        (with("layouts: shared\n"), "sharing-alone 10:10"),
        (format!("{wide}layouts: shared\n"), "sharing-alone 10:10"),
        (with("size-files: true\n"), "size-files-none 10:13"),
        (with("sizes: []\nsize-files: true\n"), "size-files-none 11:13"),
        (with("size-lines: distinct\n"), "size-lines-none 10:13"),
    ];
    for (text, expected) in cases {
        let (kit, findings) = read(&text);
        assert!(kit.is_some() && told(&findings) == [expected], "{text}\n{:?}", told(&findings));
        assert!(findings.iter().all(|f| f.severity == Severity::Warning && !f.hints.is_empty()));
    }
    // A list of papers that was only half read says nothing of how many could share.
    expect(
        "name: tote\ntitle: T\npublisher: P\nedition: 1.0.0\ndate: 2026-11-20\ncopyright: C\ndrawing: {file: t.svg}\n\
            papers: [a4, ¦lettre]\nlayouts: shared\n",
        &["paper-unknown"],
    );
}

#[test]
fn layers() {
    let layers = [
        with("sizes:\n  - {name: a, layer: x}\n  - {name: b, layer: ¦x}\n"),
        with("base-layers: [x]\nnever-printed: [y, ¦x]\n"),
        with("sizes: [{name: a, layer: x}]\nbase-layers: [¦x]\n"),
        with("base-layers: [x, ¦x]\n"),
    ];
    expect_each("layer-twice", &layers);
    expect_each("size-twice", &[with("sizes: [{name: a, layer: x}, {name: ¦a, layer: y}]\n")]);
    expect_each("list-length", &[with(&format!("sizes: ¦[{}]\n", "{name: a, layer: a}, ".repeat(61)))]);
}

#[test]
fn controls() {
    let forms = [
        "¦{name: a, length: 9 cm}",
        "¦{name: a, length: 9 cm, element: e, from: [1 mm, 1 mm], to: [2 mm, 1 mm]}",
        "¦{name: a, length: 9 cm, from: [1 mm, 1 mm]}",
        "¦{name: a, length: 9 cm, measure: width, from: [1 mm, 1 mm], to: [2 mm, 1 mm]}",
        "{name: a, length: 9 cm, from: [1 mm, 1 mm], to: ¦[1 mm, 1 mm]}",
    ];
    expect_each("control-form", &forms.map(control));
    expect_each("list-length", &[control("{name: a, length: 9 cm, from: ¦[1 mm], to: [1 mm, 1 mm]}")]);
    expect_each("value-unknown", &[control("{name: a, length: 9 cm, element: e, measure: ¦weight}")]);
    let ranges = ["{name: a, length: ¦0 mm, element: e}", "{name: a, length: 1 m, element: e, tolerance: ¦-1 mm}"];
    expect_each("length-range", &ranges.map(control));
    let unclear = [
        "¦{name: a, element: e}",
        "¦{name: a, element: e, length: 1 m, equals: f}",
        "{name: a, element: e, length: 1 m, plus: ¦1 mm}",
        "{name: a, element: e, equals: f, tolerance: ¦1 mm}",
        "{name: a, element: e, length: 1 m, within: ¦1 mm}",
        "{name: a, element: e, length: 1 m, way: ¦long}",
        "{name: a, element: e, length: 1 m, measure: ¦width, between: [n, m]}",
        "¦{name: a, length: 9 cm, between: [n, m], from: [1 mm, 1 mm], to: [2 mm, 1 mm]}",
        "{name: a, element: e, equals: {element: f, way: ¦long}}",
        "{name: a, element: e, equals: [f, {element: g, way: ¦long}]}",
    ];
    expect_each("control-form", &unclear.map(control));
    let sizes = [
        "{name: a, element: e, length: 1 m, size: ¦all}",
        "{name: a, element: e, lengths: {\"36\": ¦1 m}}",
        "¦{name: a, element: e-<size>, length: 1 m}",
        "¦{name: a, element: e, equals: [f, {element: g, between: [n-<size>, m]}]}",
    ];
    expect_each("control-size", &sizes.map(control));
    let twins = "{name: a, length: 1 m, element: e}\n  - {name: ¦a, length: 1 m, element: f}";
    let sized = "{name: a, lengths: {s: 1 m, m: 1 m}, element: e}\n  - {name: ¦a, lengths: {s: 1 m, m: 1 m}, element: f}\nsizes: [{name: s, layer: s}, {name: m, layer: m}]";
    expect_each("control-twice", &[control(twins), control(sized)]);
}

#[test]
fn all_findings_in_one_run() {
    let text = "name: ¦Tote\ntitle: ¦''\nedition: ¦1\ndate: ¦soon\npublisher: P\ncopyright: C\n¦boarder: 3 mm\nborder: ¦3\n\
                drawing: {file: ¦/t.svg, ¦units: 3}\npapers: [a4, ¦leter, {paper: ¦big}, {paper: a3, border: ¦[1]}]\n\
                sizes: [{name: 1, layer: x}, ¦{name: 2}, {name: ¦1, layer: ¦x}]\n";
    let codes = [
        "name-form",
        "text-empty",
        "edition-form",
        "date-form",
        "key-unknown",
        "length-unit",
        "path-outside",
        "key-unknown",
        "paper-unknown",
        "paper-unknown",
        "value-type",
        "key-missing",
        "size-twice",
        "layer-twice",
    ];
    expect(text, &codes);
}

#[test]
fn too_many_findings_are_cut_short() {
    let keys: String = (0..500).map(|n| format!("k{n}: 1\n")).collect();
    let (kit, findings) = read(&with(&keys));
    assert!(kit.is_none());
    assert_eq!(findings.iter().count(), 101);
    assert_eq!(told(&findings).last().map(String::as_str), Some("findings-many 1:1"));
}
