//! From manifest and drawing to lays: what is recognised, what is told, and what stays the same.

use super::{LayBook, measured, planned, recognised, sought};
use crate::diagnostic::Findings;
use crate::drawing::{Request, read};
use crate::manifest::{Kit, kit, parse};

/// A kit of two sizes with a front on the fold and two pockets.
const MANIFEST: &str = "\
name: bib
title: Bib
publisher: Ploverfield Paper
edition: 1.0.0
date: 2026-11-20
copyright: © 2026 Ploverfield Paper
drawing: {file: bib.svg}
sizes: [{name: S, layer: size S}, {name: L, layer: size L}]
papers: [a4]
cloths:
  - {name: Main cloth, widths: [50 cm, 40 cm]}
guide:
  cutting-list:
    - {piece: Front, from: Main cloth, cut: 1, fold: true}
    - {piece: Side pocket, from: Main cloth, cut: 2, mirrored: true}
";

/// A half front of 100 by 200 mm, open along its fold at the left, and a slanted pocket; both 10 mm larger in size L.
const DRAWING: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="400mm" height="400mm" viewBox="0 0 400 400">
<g fill="none" stroke="#000" inkscape:label="size S"><g inkscape:label="front"><path id="cut-front-S" d="M10,10 H110 V210 H10"/></g>
<path inkscape:label="Cut Side  Pocket_S" d="M150,10 H210 L230,110 H150 Z"/></g>
<g fill="none" stroke="#000" inkscape:label="size L"><g inkscape:label="front"><path id="cut-front-L" d="M10,10 H120 V220 H10"/></g>
<path id="cut-side-pocket-L" d="M150,10 H220 L240,120 H150 Z"/></g>
<g fill="none" stroke="#000" inkscape:label="pattern"><g inkscape:label="front"><path inkscape:label="grain" d="M60,40 V180 M58,45 L60,40 L62,45"/></g>
<path id="grain-side-pocket" d="M180,30 V90"/></g></svg>"##;

fn a_kit(manifest: &str) -> (Kit, Findings) {
    let (kit, findings) = kit(&parse("kit.yaml", manifest).0.unwrap(), None);
    (kit.unwrap_or_else(|| panic!("{findings:?}")), findings)
}

/// The lays of a kit, and the codes with lines of all that is told.
fn laid(manifest: &str, drawing: &str, kept: Option<&LayBook>) -> (Option<LayBook>, Vec<String>) {
    let (kit, _) = a_kit(manifest);
    let request = Request { sought: sought(&kit), ..Request::of(&kit) };
    let (drawing, mut findings) = read(drawing.as_bytes(), &request, &());
    let drawing = drawing.unwrap();
    let (cuts, more) = recognised(&kit, &drawing.traced);
    findings.extend(more);
    let (seams, more) = measured(&kit, &drawing.traced);
    findings.extend(more);
    let told = findings.iter().map(|finding| {
        let place = finding.place.clone().unwrap();
        format!("{} {}:{}", finding.code, place.file, place.line.unwrap_or(0))
    });
    let told: Vec<String> = told.collect();
    ((!findings.has_errors()).then(|| planned(&kit, &cuts, seams, kept).unwrap()), told)
}

#[track_caller]
fn tells(manifest: &str, drawing: &str, expected: &[&str]) {
    let (book, told) = laid(manifest, drawing, None);
    assert_eq!(told, expected);
    assert!(book.is_none() || told.iter().all(|it| it.starts_with("cloth-narrow")));
}

/// What is told of a manifest alone.
fn refused(manifest: &str) -> Vec<&'static str> {
    kit(&parse("kit.yaml", manifest).0.unwrap(), None).1.iter().map(|finding| finding.code).collect()
}

#[test]
fn pieces_are_recognised_by_their_names_and_laid() {
    let (book, told) = laid(MANIFEST, DRAWING, None);
    assert!(told.is_empty(), "{told:?}");
    let book = book.unwrap();
    let [cloth] = book.cloths.as_slice() else { panic!("one cloth") };
    assert_eq!(cloth.sizes.iter().map(|size| size.size.as_str()).collect::<Vec<_>>(), ["S", "L"]);
    let small = &cloth.sizes[0];
    // Twice 100 by 200 mm, and two trapezia of (60 + 80) / 2 by 100 mm.
    assert_eq!(small.area_mm2, 40_000.0 + 14_000.0);
    assert_eq!(small.pieces[0].outline_mm, 800.0);
    assert_eq!(small.widths.iter().map(|width| width.width_mm).collect::<Vec<_>>(), [400.0, 500.0]);
    // 480 mm of usable cloth hold the front (200 mm) and both pockets (80 mm each, 3 mm between them) side by side.
    let lay = small.widths[1].lay.as_ref().unwrap();
    assert_eq!((lay.length_mm, lay.bound_mm, lay.shortest), (200.0, 200.0, true));
    assert_eq!(lay.places.iter().map(|place| place.mirrored).collect::<Vec<_>>(), [false, false, true]);
    assert_eq!((lay.buy_mm, lay.buy_eighths_of_yard), (200.0, 2));
}

#[test]
fn folded_cloth_has_halves_on_its_fold_and_one_of_each_pair() {
    let (book, _) = laid(&MANIFEST.replace("widths: [50 cm, 40 cm]", "widths: [42 cm], lay: folded"), DRAWING, None);
    let book = book.unwrap();
    let width = &book.cloths[0].sizes[0].widths[0];
    assert_eq!(width.usable_mm, 200.0);
    let lay = width.lay.as_ref().unwrap();
    // 100 mm of half front on the fold, and the pocket (80 mm) beside it.
    assert_eq!((lay.length_mm, lay.places.len()), (200.0, 2));
    assert!(lay.places[0].on_fold && !lay.places[0].turned && lay.places[0].across_mm == 0.0);
    // Cut once, a piece that is not its own mirror image comes from one of the layers alone.
    let once = MANIFEST.replace("cut: 2, mirrored: true", "cut: 1").replace("widths: [50 cm, 40 cm]", "lay: folded");
    let book = laid(&once, DRAWING, None).0.unwrap();
    assert!(book.cloths[0].sizes[0].widths[0].lay.as_ref().unwrap().places[1].single);
}

#[test]
fn cloth_with_a_nap_turns_nothing() {
    let many =
        MANIFEST.replace("cut: 2, mirrored: true", "cut: 12").replace("widths: [50 cm, 40 cm]", "widths: [30 cm], nap: true");
    let book = laid(&many, DRAWING, None).0.unwrap();
    let places = |book: &LayBook| book.cloths[0].sizes[0].widths[0].lay.clone().unwrap().places;
    assert!(places(&book).iter().all(|place| !place.turned));
}

#[test]
fn a_kept_lay_stays_as_long_as_its_pieces_do() {
    let book = laid(MANIFEST, DRAWING, None).0.unwrap();
    let mut kept = book.clone();
    // A lay that is as good: a pocket further along.
    let lay = kept.cloths[0].sizes[0].widths[0].lay.as_mut().unwrap();
    lay.places[1].along_mm += 20.0;
    let places = lay.places.clone();
    let later = MANIFEST.replace("1.0.0", "1.1.0");
    let again = laid(&later, DRAWING, Some(&kept)).0.unwrap();
    let found = again.cloths[0].sizes[0].widths[0].lay.clone().unwrap();
    assert_eq!(found.places, places);
    // A piece that has changed is laid anew.
    let changed = DRAWING.replace("H110 V210 H10", "H110 V211 H10");
    let fresh = laid(&later, &changed, Some(&kept)).0.unwrap();
    assert_ne!(fresh.cloths[0].sizes[0].widths[0].lay.clone().unwrap().places, places);
    assert_eq!(fresh, laid(&later, &changed, None).0.unwrap());
    // What is kept of an edition gives the same edition once more.
    assert_eq!(book, laid(MANIFEST, DRAWING, Some(&book)).0.unwrap());
}

#[test]
fn what_is_not_in_the_drawing_is_told_once_for_all_sizes() {
    let nameless = DRAWING.replace("cut-front-", "x-").replace("inkscape:label=\"front\"", "inkscape:label=\"y\"");
    tells(MANIFEST, &nameless, &["piece-unfound kit.yaml:14", "piece-unfound kit.yaml:14"]);
    let double = DRAWING.replace(
        "id=\"grain-side-pocket\" d=\"M180,30 V90\"",
        "id=\"grain-side-pocket\" d=\"M180,30 V90\"/><path inkscape:label=\"grain side pocket\" d=\"M190,30 V90\"",
    );
    tells(MANIFEST, &double, &["piece-unfound kit.yaml:15"]);
    let told = MANIFEST.replace("widths: [50 cm, 40 cm]", "pieces: [{piece: Front, outline: outer <size>}]");
    tells(&told, DRAWING, &["piece-unfound kit.yaml:11"]);
    let text =
        DRAWING.replace("<path id=\"grain-side-pocket\" d=\"M180,30 V90\"/>", "<text id=\"grain-side-pocket\">grain</text>");
    tells(MANIFEST, &text, &["piece-unfound kit.yaml:15"]);
}

#[test]
fn badly_drawn_pieces_are_told_at_their_place() {
    tells(MANIFEST, &DRAWING.replace("L230,110 H150 Z", "L230,110 H150"), &["piece-open bib.svg:3"]);
    tells(MANIFEST, &DRAWING.replace("H110 V210 H10", "H110"), &["piece-open bib.svg:2"]);
    tells(MANIFEST, &DRAWING.replace("H210 L230,110 H150 Z", "H230 L150,110 H200 V5 Z"), &["piece-crossing bib.svg:3"]);
    tells(MANIFEST, &DRAWING.replace("d=\"M180,30 V90\"", "d=\"M180,30 Q190,50 180,90\""), &["piece-grain kit.yaml:15"]);
    // A closed half whose sides are both straight: nothing tells which of them is the fold.
    tells(MANIFEST, &DRAWING.replace("H110 V210 H10\"", "H110 V210 H10 Z\""), &["piece-fold bib.svg:2"]);
    let over = DRAWING.replace("<path id=\"grain-side", "<path id=\"fold-front\" d=\"M40,10 V200\"/><path id=\"grain-side");
    tells(MANIFEST, &over, &["piece-fold bib.svg:2"]);
    // 12,001 corners on a circle.
    let corner = |i: u32| {
        let turn = f64::from(i) / 12_001.0 * std::f64::consts::TAU;
        format!("L{:.4},{:.4}", 190.0 + 40.0 * turn.cos(), 60.0 + 40.0 * turn.sin())
    };
    let round: String = (1..=12_001).map(corner).collect();
    let corners = DRAWING.replace("M150,10 H210 L230,110 H150 Z", &format!("M230,60{round}Z"));
    tells(MANIFEST, &corners, &["piece-corners bib.svg:3"]);
}

#[test]
fn a_closed_half_with_one_straight_side_is_folded_there() {
    let curved = DRAWING
        .replace("H110 V210 H10\"", "H110 Q130,110 110,210 H10 Z\"")
        .replace("H120 V220 H10\"", "H120 Q140,110 120,220 H10 Z\"");
    let book = laid(MANIFEST, &curved, None).0.unwrap();
    // A parabola of 200 mm chord and 10 mm rise encloses two thirds of its box: 2 (20000 + 1333).
    assert!((book.cloths[0].sizes[0].pieces[0].area_mm2 - 42_667.0).abs() < 20.0);
}

#[test]
fn cloth_that_is_too_narrow_is_told() {
    let narrow = |widths: &str| MANIFEST.replace("[50 cm, 40 cm]", widths);
    tells(&narrow("[15 cm]"), DRAWING, &["cloth-narrow kit.yaml:11"]);
    tells(&narrow("[15 cm, 60 cm]"), DRAWING, &["cloth-narrow kit.yaml:11"]);
    let book = laid(&narrow("[15 cm, 60 cm]"), DRAWING, None).0.unwrap();
    assert!(book.cloths[0].sizes[0].widths[0].lay.is_none() && book.cloths[0].sizes[0].widths[1].lay.is_some());
}

#[test]
fn cloths_that_cannot_be_are_refused() {
    let cloth = |said: &str| MANIFEST.replace("{name: Main cloth, widths: [50 cm, 40 cm]}", said);
    let cases = [
        ("{name: Main cloth, shrinkage: 5}", "cloth-shrinkage"),
        ("{name: Main cloth, shrinkage: 50 %}", "cloth-shrinkage"),
        ("{name: Main cloth, weight: 240}", "cloth-weight"),
        ("{name: Main cloth, weight: 0 g/m²}", "cloth-weight"),
        ("{name: Main cloth, widths: [2 cm]}", "length-range"),
        ("{name: Main cloth, round-up: 0 cm}", "length-range"),
        ("{name: Main cloth, pieces: [{piece: Front, cut: 2}]}", "cloth-piece"),
        ("{name: Main cloth, pieces: [{piece: Belt}, {piece: Belt}]}", "cloth-piece"),
        ("{name: Main cloth, pieces: [{piece: Belt, cut: 3, mirrored: true}]}", "cut-form"),
        ("{name: Main cloth}\n  - {name: Main cloth}", "cloth-twice"),
        ("{name: Main cloth}\n  - {name: Lining}", "cloth-empty"),
        ("{name: Main cloth, pieces: [{piece: Belt, cut: 200}]}", "cloth-crowded"),
    ];
    for (said, code) in cases {
        assert_eq!(refused(&cloth(said)), [code], "{said}");
    }
    let twice = MANIFEST.replace("    - {piece: Side", "    - {piece: Front, from: Main cloth, cut: 1}\n    - {piece: Side");
    assert_eq!(refused(&twice), ["cloth-piece"]);
}

/// The manifest with a seam along the bottoms of the fronts and, on the base layer, the pocket's grain.
fn sewn(seam: &str) -> String {
    MANIFEST.replace("guide:\n", &format!("seams:\n  - {seam}\nguide:\n"))
}

#[test]
fn seams_are_measured_size_by_size() {
    let manifest = sewn("{name: Edge, along: [cut-front-<size>, grain-side-pocket], times: 2, share: 50 %, extra: 3 mm}");
    let (book, told) = laid(&manifest, DRAWING, None);
    assert!(told.is_empty(), "{told:?}");
    // 100 + 200 + 100 mm (110 + 210 + 110 in size L) and 60 mm of grainline, twice; half of that and 3 mm, up to the next centimetre.
    let seams = &book.unwrap().seams;
    let lengths = seams[0].sizes.iter().map(|size| (size.size.as_str(), size.along_mm, size.length_mm));
    assert_eq!(lengths.collect::<Vec<_>>(), [("S", 920.0, 470.0), ("L", 980.0, 500.0)]);
}

#[test]
fn lines_of_seams_that_are_not_there_are_told_once() {
    tells(&sewn("{name: Edge, along: [cut-front-<size>, hem-<size>]}"), DRAWING, &["seam-unfound kit.yaml:13"]);
    // By its label and by an id; words have no length of their own.
    let told = |seam: &str, drawing: &str| laid(&sewn(seam), drawing, None).1.contains(&"seam-unfound kit.yaml:13".to_owned());
    let twice = DRAWING.replace("label=\"grain\"", "label=\"grain-side-pocket\"");
    assert!(told("{name: Edge, along: [grain-side-pocket]}", &twice));
    assert!(!told("{name: Edge, along: [grain-side-pocket]}", DRAWING));
    let text = DRAWING.replace("</svg>", "<g inkscape:label=\"pattern\"><text id=\"word\">hem</text></g></svg>");
    assert!(told("{name: Edge, along: [word]}", &text));
}

#[test]
fn what_is_said_of_seams_is_checked() {
    assert_eq!(refused(&sewn("{name: Edge, along: [a], share: 5}")), ["seam-share"]);
    assert_eq!(refused(&sewn("{name: Edge, along: [a], share: 5 %}")), ["seam-share"]);
    assert_eq!(refused(&sewn("{name: Edge, along: [a]}\n  - {name: Edge, along: [b]}")), ["seam-twice"]);
    assert!(parse("kit.yaml", &sewn("{name: Edge, along: []}")).1.has_errors());
}

#[test]
fn no_width_takes_more_than_a_narrower_one_and_no_size_more_than_a_larger_one() {
    let many = MANIFEST.replace("cut: 2, mirrored: true", "cut: 14, mirrored: true");
    let book = laid(&many.replace("[50 cm, 40 cm]", "[50 cm, 46 cm, 40 cm, 36 cm]"), DRAWING, None).0.unwrap();
    let length = |size: usize, width: usize| book.cloths[0].sizes[size].widths[width].lay.as_ref().unwrap().length_mm;
    for size in 0..2 {
        assert!((1..4).all(|width| length(size, width) <= length(size, width - 1)), "{book:?}");
    }
    assert!((0..4).all(|width| length(0, width) <= length(1, width)), "{book:?}");
}
