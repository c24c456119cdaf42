//! How far the twenty lines differ, measured on strips that resvg renders at 300 dpi in grey.
//!
//! The measure: a stretch of 20 mm of one line is laid on the other wherever it fits best, at any phase, and with the other
//! stretched or shrunk by up to 15 %, since no eye tells 3 mm from 3.3 mm; then the share of ink that still differs is taken. 0 is
//! the same line, 2 has no ink in common. The bounds are our own: at a third of the ink, crops of the strips were told apart by eye.

use crate::inking::patterns::{MOST_SIZES, pattern};
use kurbo::Stroke;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

/// Dots a millimetre.
const DOTS: f64 = 300.0 / 25.4;
/// Length of a stretch that must tell, in mm.
const STRETCH: f64 = 20.0;
/// Factors that no eye tells from 1.
const FACTORS: [f64; 5] = [0.87, 0.93, 1.0, 1.07, 1.15];
/// Any two lines, and lines of neighbouring sizes.
const APART: f64 = 0.3;
const NEIGHBOURS_APART: f64 = 0.75;

/// A line as a column of ink a dot, each 0 (paper) and up (black dots).
type Strip = Vec<f64>;

/// Renders a level strip of a line, of whatever scale along the line, and adds up the ink across it.
fn strip(stroke: &Stroke, factor: f64) -> Strip {
    let (length, height) = (STRETCH + 16.0, 3.0);
    let dashes: Vec<String> = stroke.dash_pattern.iter().map(|dash| (dash * factor).to_string()).collect();
    let dashes = if dashes.is_empty() { "none".into() } else { dashes.join(" ") };
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{length}' height='{height}'>\
         <path d='M0 1.5H{length}' stroke='#000' stroke-width='{}' stroke-dasharray='{dashes}'/></svg>",
        stroke.width
    );
    let tree = Tree::from_str(&svg, &Options::default()).unwrap();
    let (width, height) = ((length * DOTS) as u32, (height * DOTS) as u32);
    let mut picture = Pixmap::new(width, height).unwrap();
    resvg::render(&tree, Transform::from_scale(DOTS as f32, DOTS as f32), &mut picture.as_mut());
    let ink = |x: u32, y: u32| picture.pixel(x, y).map_or(0.0, |dot| f64::from(dot.alpha()) / 255.0);
    (0..width).map(|x| (0..height).map(|y| ink(x, y)).sum()).collect()
}

/// The share of ink that differs where a stretch of `one` fits best on `other`.
fn best_fit(one: &Strip, others: &[Strip]) -> f64 {
    let stretch = (STRETCH * DOTS) as usize;
    let starts = (0..one.len() - stretch).step_by(12);
    let differs = |a: &[f64], b: &[f64]| {
        let (apart, all) = a.iter().zip(b).fold((0.0, 0.0), |(apart, all), (a, b)| (apart + (a - b).abs(), all + a + b));
        2.0 * apart / all
    };
    let all = starts.flat_map(|start| {
        let a = &one[start..start + stretch];
        others.iter().flat_map(move |other| other.windows(stretch).step_by(2).map(move |b| differs(a, b)))
    });
    all.fold(f64::MAX, f64::min)
}

/// All strips of a line: as it is, and at every factor.
fn strips(stroke: &Stroke) -> (Strip, Vec<Strip>) {
    (strip(stroke, 1.0), FACTORS.map(|factor| strip(stroke, factor)).to_vec())
}

fn difference(one: &(Strip, Vec<Strip>), other: &(Strip, Vec<Strip>)) -> f64 {
    best_fit(&one.0, &other.1).min(best_fit(&other.0, &one.1))
}

#[test]
fn any_two_of_the_twenty_lines_differ_in_grey() {
    let all: Vec<_> = (0..MOST_SIZES).map(|size| strips(&pattern(size))).collect();
    let pairs = (0..MOST_SIZES).flat_map(|one| (0..one).map(move |other| (other, one)));
    let measured: Vec<(usize, usize, f64)> =
        pairs.map(|(one, other)| (one, other, difference(&all[one], &all[other]))).collect();
    for (one, other, difference) in &measured {
        let least = if other - one == 1 { NEIGHBOURS_APART } else { APART };
        assert!(
            *difference >= least,
            "the lines of sizes {one} and {other} differ in {difference:.3} of their ink, not {least}"
        );
    }
    let closest = measured.iter().min_by(|a, b| a.2.total_cmp(&b.2)).unwrap();
    println!("closest of {} pairs: {closest:?}", measured.len());
}

#[test]
fn lines_that_eyes_merge_fail_the_measure() {
    let line = |width: f64, dashes: &[f64]| strips(&Stroke::new(width).with_dashes(0.0, dashes.iter().copied()));
    let dashed = line(0.35, &[5.0, 3.0]);
    let alike = [
        ("the same", line(0.35, &[5.0, 3.0])),
        ("a little longer", line(0.35, &[5.5, 3.3])),
        ("a little heavier", line(0.4, &[5.0, 3.0])),
        ("the same rhythm, written twice", line(0.35, &[5.0, 3.0, 5.0, 3.0])),
        ("a gap a little narrower", line(0.35, &[5.0, 2.5])),
    ];
    for (what, other) in alike {
        let found = difference(&dashed, &other);
        assert!(found < APART, "{what} differs by {found:.3}");
    }
    assert!(difference(&dashed, &dashed) < 0.01);
}

#[test]
fn lines_are_black_enough_and_gaps_short() {
    // 2 dots at 300 dpi are the thinnest line to rely on (0.17 mm); scissors need a line that goes on.
    for size in 0..MOST_SIZES {
        let stroke = pattern(size);
        assert!(stroke.width >= 2.0 * 25.4 / 300.0);
        assert!(stroke.dash_pattern.iter().all(|length| (0.5..=6.0).contains(length)));
        assert!(stroke.dash_pattern.iter().skip(1).step_by(2).all(|gap| *gap <= 3.0));
        assert!(stroke.dash_pattern.iter().sum::<f64>() <= 12.0);
    }
}
