//! The package built by hand once more, with right and down in each other's place and the drawing's corner elsewhere: its sheets lie
//! above each other, so that what takes one direction for the other, or a corner for nought, gives itself away.

use super::sample::{GUIDE, HOME, Sample, WIDE, codes, gives, guide, hem};
use serde_json::{Value, json};

/// How far the drawing's corner lies from that of the first sheet, in mm.
const CORNER: [f64; 2] = [7.0, 3.0];

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// A point, or a rectangle, of the page: its numbers by pairs in the other order.
fn turn(value: &mut Value) {
    value.as_array_mut().unwrap().chunks_mut(2).for_each(|pair| pair.reverse());
}

/// The same of the drawing.
fn place(value: &mut Value) {
    turn(value);
    for (index, by) in CORNER.into_iter().enumerate() {
        value[index] = json!(number(&value[index]) + by);
    }
}

fn list<'a>(value: &'a mut Value, key: &str) -> impl Iterator<Item = &'a mut Value> {
    value.get_mut(key).and_then(Value::as_array_mut).into_iter().flatten()
}

fn swap(value: &mut Value, one: &str, other: &str) {
    let kept = value[one].take();
    value[one] = value[other].take();
    value[other] = kept;
}

fn promises(mut promises: Value) -> Value {
    for paper in list(&mut promises, "papers") {
        swap(paper, "width_mm", "height_mm");
        place(&mut paper["origin_mm"]);
        turn(&mut paper["tile_mm"]);
        for sheet in list(paper, "sheets") {
            swap(sheet, "row", "column");
            place(&mut sheet["area_mm"]);
        }
        for mark in list(paper, "scale_marks") {
            turn(&mut mark["from_mm"]);
            turn(&mut mark["to_mm"]);
        }
    }
    for control in list(&mut promises, "controls") {
        for end in ["from_mm", "to_mm"].into_iter().filter(|end| control[*end].is_array()).collect::<Vec<_>>() {
            place(&mut control[end]);
        }
        for part in list(control, "parts") {
            list(part, "points_mm").for_each(place);
            if part["measure"] == "width" {
                part["measure"] = json!("height");
            }
        }
    }
    promises
}

fn turned() -> Sample {
    let mut sample = Sample::good();
    sample.promises = promises(sample.promises);
    let boxes = |width: &str, height: &str| format!("[0 0 {width} {height}]");
    let home = boxes("283.464567", "340.157480");
    sample = sample.swap(HOME, &home, &boxes("340.157480", "283.464567"));
    sample = sample.swap(HOME, "0 340.15748031496065 cm", "0 283.4645669291339 cm 0 1 1 0 0 0 cm");
    // Words keep upright; those beside the join's marks go where the marks are.
    for (from, to) in [("230 200", "140 53"), ("230 188", "152 53"), ("34 200", "140 249"), ("34 188", "152 249")] {
        sample = sample.swap(HOME, &format!("{from} Tm"), &format!("{to} Tm"));
    }
    let wide = boxes("255.1181102", "170.0787402");
    sample = sample.swap(WIDE, &wide, &boxes("170.0787402", "255.1181102"));
    sample = sample.swap(WIDE, "0 170.07874015748032 cm", "0 255.1181102362205 cm 0 1 1 0 0 0 cm");
    let svg = String::from_utf8(sample.files["sample-1.0.0-wide-big.svg"].clone()).unwrap();
    let svg = svg.replace(
        "width=\"180mm\" height=\"120mm\" viewBox=\"0 0 180 120\"",
        "width=\"120mm\" height=\"180mm\" viewBox=\"0 0 120 180\"",
    );
    let svg = svg.replace("id=\"drawing\"", "id=\"drawing\" transform=\"matrix(0 1 1 0 0 0)\"");
    let guide = guide("").replace("x=\"80\" y=\"0\"", "x=\"0\" y=\"80\"");
    sample.file("sample-1.0.0-wide-big.svg", svg.as_bytes()).file(GUIDE, guide.as_bytes())
}

#[test]
fn a_turned_package_is_as_good_and_measures_the_same() {
    let verdict = turned().verdict();
    assert_eq!(codes(&verdict), Vec::<&str>::new(), "{:#?}", verdict.findings);
    let (same, good) = (&verdict.figures, Sample::good().verdict());
    assert_eq!(same.len(), good.figures.len());
    for (what, mm) in [("hem", hem(40.0, 5.0)), ("width of the hem", 40.0), ("pocket", 60.0), ("body length", 120.0)] {
        let of = same.iter().filter(|figure| figure.what == what);
        let measured: Vec<f64> = of.map(|figure| figure.measured.to_mm()).collect();
        assert!(measured.len() == 2 && measured.iter().all(|found| (found - mm).abs() < 0.001), "{what}: {measured:?}");
    }
}

#[test]
fn sheets_above_each_other_are_held_together_by_their_marks() {
    gives(&turned().swap(HOME, "90 51 m 88.5 51 l", "90 51.1 m 88.5 51.1 l"), &["join-off"]);
    gives(&turned().swap(HOME, "90 51 m 88.5 51 l", "90.1 51 m 88.5 51 l"), &["join-off"]);
    gives(&turned().swap(HOME, "90 51 m 88.5 51 l", "90.005 51.005 m 88.5 51.005 l"), &[]);
    gives(&turned().swap(HOME, "90 51 m 88.5 51 l S", ""), &["join-off"]);
    gives(&turned().swap(HOME, "152 249 Tm (1) Tj", "152 249 Tm (2) Tj"), &["join-off"]);
    gives(&turned().swap(HOME, "140 249 Tm (A1) Tj", "140 249 Tm (A2) Tj"), &["join-off"]);
    // The number stands beside another mark, or outside the tile.
    gives(&turned().swap(HOME, "152 249 Tm", "300 249 Tm"), &["join-off"]);
    gives(&turned().swap(HOME, "152 249 Tm", "152 262 Tm"), &["join-off"]);
    // A line of the frame that crosses the edge without ending on it, one along it, and one in the corner are no marks.
    for line in ["80 40 m 95 40 l S", "89.8 20 m 89.8 45 l S", "90 10.2 m 85 10.2 l S", "90 109.8 m 85 109.8 l S"] {
        let both = turned().swap(HOME, "(A1) Tj /T 6 Tf", &format!("(A1) Tj ET q 2.834645669291339 0 0 -2.834645669291339 0 283.4645669291339 cm 0 1 1 0 0 0 cm /Artifact BMC 0.2 w {line} EMC Q BT /T 6 Tf"));
        gives(&both, &[]);
    }
}

#[test]
fn what_is_off_is_found_in_both_directions() {
    let good = turned();
    gives(&good.clone().swap(HOME, "80 30 l", "80.05 30 l"), &["scale-off"]);
    gives(&good.clone().swap(HOME, "280 60 l", "280.2 60 l"), &["control-off", "ink-moved"]);
    gives(&good.clone().swap(HOME, "40 60 m 280 60 l S", "40 60.4 m 280 60.4 l S"), &["control-moved", "ink-moved"]);
    gives(&good.clone().swap(HOME, "1 0 0 1 -70 10 cm", "1 0 0 1 -69.9 10 cm"), &["control-moved", "control-off", "ink-moved"]);
    gives(&good.clone().swap(WIDE, "140 170 40 20 re", "140 170 40.2 20 re"), &["control-off", "ink-moved"]);
    gives(&good.clone().swap(HOME, "64 102 4 5 re f", "60 102 4 5 re f"), &["map-off"]);
    gives(&good.clone().swap(HOME, "64 102 4 5 re S", "64 102 4 5 re S 68 102 4 5 re S"), &["map-off"]);
    gives(&good.clone().file(GUIDE, guide("").as_bytes()), &["guide-off"]);
    let short = "q 10 10 79.5 100 re W n 1 0 0 1 10 10 cm";
    gives(&good.swap(HOME, "q 10 10 80 100 re W n 1 0 0 1 10 10 cm", short), &["control-missing", "ink-missing"]);
}
