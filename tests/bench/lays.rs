//! How near lays come to the best that is known of published instances; docs/packing.md tells how to run it and what came out.

// A measurement that cannot go on must stop loudly.
#![allow(clippy::expect_used, clippy::disallowed_methods, clippy::print_stdout)]

use kitwright::lays::packing::{Job, Part, lay};
use kitwright::units::Length;
use kurbo::Point;
use rayon::prelude::*;
use serde_json::Value;
use std::path::Path;
use std::time::Instant;

/// Instances, each with the best known part of the cloth that its pieces cover.
const BEST: [(&str, f64); 4] = [("swim", 0.7983), ("shirts", 0.9092), ("trousers", 0.9262), ("albano", 0.8982)];

/// Instances come in units of their own: each is scaled to cloth of this width, in millimetres.
const WIDTH: f64 = 1400.0;

/// Seeds that nothing was tuned on.
const SEEDS: [u64; 5] = [1, 2, 3, 4, 5];

fn main() {
    let folder =
        std::env::var("KITWRIGHT_NESTS").expect("KITWRIGHT_NESTS names the folder of the instances: see docs/packing.md");
    let evaluations = std::env::var("KITWRIGHT_EVALUATIONS").map_or(3_000_000, |text| text.parse().expect("evaluations"));
    for (name, best) in BEST {
        let parts = parts(&Path::new(&folder).join(format!("{name}.json")));
        let rows: Vec<(f64, f64)> = SEEDS.into_par_iter().map(|seed| measured(&parts, evaluations, seed)).collect();
        for (seed, (covered, seconds)) in SEEDS.iter().zip(&rows) {
            println!("{name:9} seed {seed}: {:.2} %, ratio {:.3}, {seconds:.1} s", covered * 100.0, covered / best);
        }
        let ratios = || rows.iter().map(|row| row.0 / best);
        let (least, sum) = (ratios().fold(f64::INFINITY, f64::min), ratios().sum::<f64>());
        println!("{name:9} ratio: mean {:.3}, least {least:.3}", sum / SEEDS.len() as f64);
    }
}

/// The part of the cloth that is covered, and the seconds that it took.
fn measured(parts: &[Part], evaluations: u64, seed: u64) -> (f64, f64) {
    let from = Instant::now();
    let (width, gap) = (Length::mm(WIDTH), Length::ZERO);
    let lay = lay(&Job { parts: parts.to_vec(), width, gap, evaluations, seed, start: None }).expect("a lay");
    (lay.utilisation(width), from.elapsed().as_secs_f64())
}

/// The pieces of an instance file, in the spelling of either of its two formats.
fn parts(path: &Path) -> Vec<Part> {
    let text = std::fs::read_to_string(path).expect("an instance file");
    let instance: Value = serde_json::from_str(&text.to_lowercase()).expect("JSON");
    let height = instance.get("strip_height").or_else(|| instance.pointer("/strip/height")).and_then(Value::as_f64);
    let scale = WIDTH / height.expect("the strip's height");
    let items = instance.get("items").and_then(Value::as_array).expect("items");
    items.iter().flat_map(|item| copies(item, scale)).collect()
}

fn copies(item: &Value, scale: f64) -> Vec<Part> {
    let demand = item.get("demand").and_then(Value::as_u64).expect("a demand");
    let data = item.pointer("/shape/data").and_then(Value::as_array).expect("points");
    let number = |point: &Value, index: usize| point.get(index).and_then(Value::as_f64).expect("a number") * scale;
    let outline = data.iter().map(|point| Point::new(number(point, 0), number(point, 1))).collect();
    vec![Part { outline, may_turn: true, on_fold: false }; usize::try_from(demand).expect("a demand")]
}
