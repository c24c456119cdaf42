//! Promises that make no sense, each told in its own words; and what papers say of themselves.

use super::sample::{Sample, codes};
use serde_json::{Value, json};

/// What is said of the promises, one of which is another.
fn told(pointer: &str, value: Value) -> Vec<String> {
    let verdict = Sample::good().promise(pointer, value).verdict();
    verdict.findings.iter().filter(|it| it.code == "promises-bad").map(|it| it.message.clone()).collect()
}

#[test]
fn each_fault_is_told_in_its_own_words() {
    let many = |value: Value| Value::Array(vec![value; 10_001]);
    let line = |count: usize| json!(vec![json!([60, 10]); count]);
    let cases = [
        ("/papers/0/tile_mm", json!([10, 10, 80.01, 100]), "does not show the part"),
        ("/papers/0/tile_mm", json!([20.1, 10, 80, 100]), "the tile does not lie on the page"),
        ("/papers/0/tile_mm", json!([-0.1, 10, 80, 100]), "the tile does not lie on the page"),
        ("/papers/0/tile_mm", json!([10, 20.1, 80, 100]), "the tile does not lie on the page"),
        ("/papers/0/tile_mm", json!([10, 10, 0, 100]), "the tile does not lie on the page"),
        ("/papers/0/tile_mm", json!([10, 10, 80, 0]), "the tile does not lie on the page"),
        ("/papers/0/sheets/1/area_mm", json!([80.01, 0, 80, 100]), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/area_mm", json!([80, 0.01, 80, 100]), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/area_mm", json!([80, 0, 80.01, 100]), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/area_mm", json!([80, 0, 80, 99.9]), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/row", json!(1), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/column", json!(2), "sheet `A2` does not show"),
        ("/papers/0/sheets/1/page", json!(2), "do not run from 1 without a gap"),
        ("/papers/0/check_page", json!(4), "`rule 60 mm` is promised on page 1"),
        ("/papers/0/sheets", json!([]), "no sheet is promised"),
        ("/papers/0/sizes/0/size", json!("two"), "size `two` is not one of the kit"),
        ("/papers/0/sizes/0/pages", json!([2, 4]), "to need page 4"),
        ("/papers/0/scale_marks/1/page", json!(9), "`square 40 mm` is promised on page 9"),
        ("/papers", json!([]), "no paper is promised"),
        ("/papers/0/sizes", many(json!({"size": "one", "pages": [2]})), "more than 10000"),
        ("/controls/2/parts/0/points_mm", line(2), "has not the points"),
        ("/controls/2/parts/0/points_mm", line(101), "has not the points"),
        ("/controls/2/parts", many(json!({"measure": "straight", "points_mm": [[0, 0], [9, 0]]})), "more than 10000"),
        ("/controls/0/to_mm", Value::Null, "has not two ends"),
        ("/controls/0/parts", json!([{"measure": "straight", "points_mm": [[0, 0], [9, 0]]}]), "has not two ends"),
        ("/format", json!(2), "format 2 is not known"),
    ];
    for (pointer, value, part) in cases {
        let told = if pointer == "/controls/0/parts" { with_parts(value) } else { told(pointer, value) };
        assert!(told.iter().any(|message| message.contains(part)), "{pointer}: {part} is not in {told:?}");
    }
}

/// The first control has two ends, and parts as well.
fn with_parts(parts: Value) -> Vec<String> {
    let mut sample = Sample::good();
    sample.promises["controls"][0]["parts"] = parts;
    sample.verdict().findings.iter().map(|it| it.message.clone()).collect()
}

#[test]
fn what_is_off_by_less_than_numbers_are_printed_is_fine() {
    for (pointer, value) in [
        ("/papers/0/tile_mm", json!([10, 10, 80.0004, 100])),
        ("/papers/0/sheets/1/area_mm", json!([80.0005, -0.0005, 80, 100.0005])),
        ("/controls/2/parts/0/points_mm/1", json!([80, 13.75])),
    ] {
        assert_eq!(told(pointer, value), Vec::<String>::new(), "{pointer}");
    }
}

#[test]
fn parts_are_added_and_taken_away() {
    let mut sample = Sample::good();
    let part =
        |measure: &str, minus: bool, points: [[f64; 2]; 2]| json!({"measure": measure, "minus": minus, "points_mm": points});
    // The straight line of 120 mm, less the width between the bow's feet, 40 mm, and the height of nothing.
    sample.promises["controls"][0] = json!({"name": "rest", "promised_mm": 80, "tolerance_mm": 0.05, "parts": [
        part("straight", false, [[20.0, 30.0], [140.0, 30.0]]),
        part("width", true, [[40.0, 80.0], [80.0, 80.0]]),
        part("height", false, [[40.0, 80.0], [80.0, 80.0]]),
    ]});
    assert_eq!(codes(&sample.verdict()), Vec::<&str>::new());
    sample.promises["controls"][0]["parts"][1]["minus"] = json!(false);
    assert_eq!(codes(&sample.verdict()), ["control-off"]);
}
