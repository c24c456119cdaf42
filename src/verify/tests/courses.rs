//! Control measurements along lines: measured on both papers, and each way of faking or moving a line noticed.

use super::super::Verdict;
use super::sample::{HOME, Sample, WIDE, codes, hem};
use serde_json::json;

#[track_caller]
fn gives(sample: &Sample, expected: &[&str]) {
    let verdict = sample.verdict();
    let messages: Vec<_> = verdict.findings.iter().map(|finding| &finding.message).collect();
    // That the papers then differ is told as well, by codes of their own.
    let found: Vec<&str> =
        codes(&verdict).into_iter().filter(|code| code.starts_with("control-") || *code == "promises-bad").collect();
    assert_eq!(found, expected, "{messages:#?}");
}

fn figure(verdict: &Verdict, file: &str, what: &str) -> f64 {
    verdict.figures.iter().find(|figure| figure.file == file && figure.what == what).unwrap().measured.to_mm()
}

/// A path of the drawing, as it stands in the sample.
const CURVE: &str = "120 20 m 146.6666667 33.3333333 173.3333333 33.3333333 200 20 c S";

#[test]
fn lengths_along_lines_are_those_of_geometry_on_both_papers() {
    let verdict = Sample::good().verdict();
    let expected = [
        ("hem", hem(40.0, 5.0)),
        ("middle of the hem", hem(20.0, 1.25)),
        ("halves of the hem", 0.0),
        ("width of the hem", 40.0),
        ("pocket", 60.0),
    ];
    for file in [HOME, WIDE] {
        for (what, mm) in expected {
            let found = figure(&verdict, file, what);
            assert!((found - mm).abs() < 0.001, "{file} {what}: {found} for {mm}");
        }
    }
    // Put together from two sheets, it belongs to no page; the wide sheet shows all of it.
    let page = |file: &str| verdict.figures.iter().find(|figure| figure.file == file && figure.what == "hem").unwrap().page;
    assert_eq!((page(HOME), page(WIDE)), (None, Some(1)));
}

#[test]
fn a_line_of_another_length_is_found() {
    let good = Sample::good();
    for file in [HOME, WIDE] {
        gives(&good.clone().swap(file, "146.6666667 33.3333333", "146.6666667 33.9"), &["control-moved", "control-off"]);
        gives(&good.clone().swap(file, "140 170 40 20 re", "140 170 40.2 20 re"), &["control-off"]);
        // A line that is cut short at one end, and one with a kink between the promised points.
        gives(&good.clone().swap(file, "200 20 c S", "199.5 20 c S"), &["control-off"]);
        let kinked = "140 170 m 150 170 l 150 170.4 l 150 170 l 180 170 l 180 190 l 140 190 l h S";
        gives(&good.clone().swap(file, "140 170 40 20 re S", kinked), &["control-off"]);
    }
    // One sheet that stands 0.1 mm off along the line; the other way it leaves a gap.
    gives(&good.clone().swap(HOME, "1 0 0 1 -70 10 cm", "1 0 0 1 -70.1 10 cm"), &["control-off"]);
    // Drawn 0.1 mm lower on one sheet, lines across the join are as long as before, but broken.
    let lower = good.swap(HOME, "1 0 0 1 -70 10 cm", "1 0 0 1 -70 10.1 cm").verdict();
    assert!(codes(&lower).contains(&"control-moved"), "{:?}", codes(&lower));
}

#[test]
fn a_line_that_is_gone_or_elsewhere_is_found() {
    let good = Sample::good();
    for file in [HOME, WIDE] {
        gives(&good.clone().swap(file, CURVE, ""), &["control-missing"]);
        gives(&good.clone().swap(file, CURVE, &format!("1 G {CURVE} 0 G")), &["control-missing"]);
        gives(&good.clone().swap(file, CURVE, &format!("q 1 0 0 1 0 2 cm {CURVE} Q")), &["control-missing"]);
        gives(&good.clone().swap(file, CURVE, &format!("q 1 0 0 1 0 0.2 cm {CURVE} Q")), &["control-moved"]);
        // The right ends with a straight line between them, or the right length on the wrong side.
        gives(&good.clone().swap(file, CURVE, "120 20 m 200 20 l S"), &["control-missing"]);
        let mirrored = "120 20 m 146.6666667 6.6666667 173.3333333 6.6666667 200 20 c S";
        gives(&good.clone().swap(file, CURVE, mirrored), &["control-missing"]);
        // An outline that is left open by a millimetre.
        gives(
            &good.clone().swap(file, "140 170 40 20 re S", "140 170 m 180 170 l 180 190 l 140 190 l 140 172 l S"),
            &["control-missing"],
        );
    }
    // Hidden on the second sheet alone.
    gives(
        &good.swap(HOME, "q 10 10 80 100 re W n 1 0 0 1 -70 10 cm", "q 10 40 80 70 re W n 1 0 0 1 -70 10 cm"),
        &["control-missing"],
    );
}

#[test]
fn a_file_of_one_size_is_measured_for_what_its_buyers_get() {
    let mut sample = Sample::good();
    sample.promises["papers"][0]["one_of_many_sizes"] = json!(true);
    let verdict = sample.verdict();
    assert_eq!(codes(&verdict), Vec::<&str>::new());
    let of = |what: &str| verdict.figures.iter().any(|figure| figure.file == HOME && figure.what == what);
    // Older packages do not say whose a measurement is.
    assert!(of("hem") && of("pocket") && !of("body length"));
    sample.promises["controls"][2]["sizes"] = json!(["two"]);
    let other = sample.verdict();
    assert!(!other.figures.iter().any(|figure| figure.file == HOME && figure.what == "hem"));
    assert!(other.figures.iter().any(|figure| figure.file == WIDE && figure.what == "hem"));
}

#[test]
fn promises_that_say_too_little_are_told() {
    let good = Sample::good();
    gives(&good.clone().promise("/controls/2/parts/0/points_mm", json!([[60, 10], [100, 10]])), &["promises-bad"]);
    gives(&good.clone().promise("/controls/2/parts", json!([])), &["promises-bad"]);
    gives(&good.promise("/controls/2/parts/0/measure", json!("guessed")), &["promises-bad"]);
}
