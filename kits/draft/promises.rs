//! The lengths that both manifests promise, measured in the very drawings that are written.

use crate::{apron, curve, tote};
use kurbo::{BezPath, Shape};

/// One control measurement of a manifest, in one size: the element, what is measured, and how long it is said to be in mm.
#[derive(Debug)]
struct Promise {
    element: String,
    measure: String,
    length: f64,
}

/// The promises of a manifest about whole elements, one a line, each size by itself. Lengths between notches and pairs are left
/// to the program and to the judge.
fn promises(manifest: &str) -> Vec<Promise> {
    // The manifests keep each promise on one line; reading them as text leaves out a library that an example need not have.
    let whole = |line: &&str| line.contains("element: ") && line.contains("measure: ") && !line.contains("equals: ");
    manifest.lines().filter(whole).flat_map(sizes).collect()
}

fn sizes(line: &str) -> Vec<Promise> {
    let promise = |size: &str, length: &str| Promise {
        element: value(line, "element").replace("<size>", size),
        measure: value(line, "measure"),
        length: millimetres(length),
    };
    let Some((_, lengths)) = line.split_once("lengths: {") else { return vec![promise("", &value(line, "length"))] };
    let pairs = lengths.trim_end_matches('}').split(", ");
    pairs
        .map(|pair| pair.split_once(": ").expect("size and length"))
        .map(|(size, mm)| promise(size.trim_matches('"'), mm))
        .collect()
}

fn value(line: &str, key: &str) -> String {
    let (_, rest) = line.split_once(&format!("{key}: ")).expect(key);
    rest.split([',', '}']).next().unwrap_or_default().trim().into()
}

fn millimetres(text: &str) -> f64 {
    let (number, unit) = text.split_once(' ').expect("number and unit");
    number.parse::<f64>().expect("number") * if unit == "in" { 25.4 } else { 1.0 }
}

/// Path data of an element by its id.
fn path(drawing: &str, id: &str) -> BezPath {
    // The writer puts every element on a line of its own.
    let line = drawing.lines().find(|line| line.contains(&format!("id=\"{id}\""))).expect(id);
    let (_, data) = line.split_once(" d=\"").expect("path data");
    BezPath::from_svg(data.split('"').next().unwrap_or_default()).expect("valid path data")
}

fn measured(path: &BezPath, measure: &str) -> f64 {
    match measure {
        "width" => path.bounding_box().width(),
        "height" => path.bounding_box().height(),
        _ => curve::length(path),
    }
}

#[test]
fn every_promise_is_kept_by_the_drawing() {
    let kits =
        [(include_str!("../ropewalk-tote/kit.yaml"), tote::svg()), (include_str!("../tansy-apron/kit.yaml"), apron::svg())];
    for (manifest, drawing) in kits {
        let promises = promises(manifest);
        // Were the manifests written in another way, nothing would be found and nothing would fail.
        assert!(promises.len() > 4);
        for promise in promises {
            let found = measured(&path(&drawing, &promise.element), &promise.measure);
            assert!((found - promise.length).abs() < 0.02, "{promise:?}: {found:.2}");
        }
    }
}

/// Edges that are sewn to each other: ids of the seam lines on either side, parts of one side joined by `+`.
const PAIRS: [(&str, &str); 9] = [
    ("body-N-neckline", "neck-facing-N-neckline"),
    ("body-N-bib", "neck-facing-N-bib"),
    ("body-N-armhole", "neck-facing-N-armhole+armhole-facing-N-armhole"),
    ("neck-facing-N-join", "armhole-facing-N-join"),
    ("body-N-tab", "armhole-facing-N-tab"),
    ("body-N-bib", "strap-N-front"),
    ("body-N-tab", "strap-N-back"),
    ("pocket-N-opening", "pocket-bar-N-left"),
    ("pocket-N-left", "pocket-N-right"),
];

#[test]
fn seams_that_are_sewn_together_are_equally_long_in_every_size() {
    // Half a millimetre is what cloth takes without a pucker: common practice, no published source.
    let drawing = apron::svg();
    let total = |names: &str, size: &str| -> f64 {
        let ids = names.split('+').map(|name| format!("seam-{}", name.replace("-N-", &format!("-{size}-"))));
        ids.map(|id| curve::length(&path(&drawing, &id))).sum()
    };
    for size in ["34", "36", "38", "40", "42", "44", "46", "48"] {
        for (one, other) in PAIRS {
            let (a, b) = (total(one, size), total(other, size));
            assert!((a - b).abs() < 0.5 && a > 10.0, "size {size}: {one} {a:.2}, {other} {b:.2}");
        }
    }
}
