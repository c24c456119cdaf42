//! Invented pieces: an apron's in eight sizes, open and folded, and blobs that are never the same twice.

use kitwright::lays::packing::{Job, Part, Place};
use kitwright::units::Length;
use kurbo::Point;

/// A job and what the judge may do with it.
pub struct Case {
    pub name: String,
    pub job: Job,
    /// Whether another search is to be compared with.
    pub compared: bool,
}

/// Everything that is written down for the judge.
pub fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for size in 0..8 {
        for width in [1100.0, 1400.0, 1500.0] {
            cases.push(case(format!("apron {size} open {width}"), job(apron(size), width, 20_000)));
            cases.push(case(format!("apron {size} folded {width}"), job(folded_apron(size), width / 2.0, 20_000)));
        }
    }
    cases.extend((0..12).map(|seed| case(format!("blobs {seed}"), blobs(3 + seed as usize % 5, seed, 5000))));
    let tight = Job { gap: Length::ZERO, ..blobs(6, 40, 20_000) };
    cases.push(case("blobs that may touch".into(), tight));
    for seed in 50..53 {
        cases.push(Case { compared: true, ..case(format!("compared {seed}"), blobs(10, seed, 1_000_000)) });
    }
    cases
}

fn case(name: String, job: Job) -> Case {
    Case { name, job, compared: false }
}

fn job(parts: Vec<Part>, width: f64, evaluations: u64) -> Job {
    Job { parts, width: Length::mm(width), gap: Length::mm(3.0), evaluations, seed: 1, start: None }
}

fn part(points: impl IntoIterator<Item = (f64, f64)>) -> Part {
    Part { outline: points.into_iter().map(Point::from).collect(), may_turn: true, on_fold: false }
}

fn mirrored(part: &Part) -> Part {
    Part { outline: part.outline.iter().map(|point| Point::new(point.x, -point.y)).collect(), ..part.clone() }
}

/// Half of an apron's body, its fold edge on y = 0.
fn half_body(scale: f64) -> Vec<(f64, f64)> {
    let armhole = (0..=40).map(|step| f64::from(step) / 40.0).map(|t| (600.0 + 250.0 * t, 350.0 - 200.0 * t * (2.0 - t)));
    let points = [(0.0, 0.0), (0.0, 350.0)].into_iter().chain(armhole).chain([(850.0, 0.0)]);
    points.map(|(x, y)| (x * scale, y * scale)).collect()
}

fn small_parts(scale: f64) -> [Part; 3] {
    let scaled = |points: &[(f64, f64)]| part(points.iter().map(|&(x, y)| (x * scale, y * scale)));
    [
        scaled(&[(0.0, 0.0), (200.0, 0.0), (220.0, 20.0), (220.0, 200.0), (200.0, 220.0), (0.0, 220.0)]),
        scaled(&[(0.0, 0.0), (700.0, 0.0), (700.0, 70.0), (0.0, 70.0)]),
        scaled(&[(0.0, 0.0), (300.0, 40.0), (340.0, 120.0), (280.0, 120.0), (20.0, 70.0)]),
    ]
}

fn scale(size: usize) -> f64 {
    0.85 + 0.05 * size as f64
}

/// An apron laid on a single layer: its whole body, and both of each pair.
pub fn apron(size: usize) -> Vec<Part> {
    let half = half_body(scale(size));
    let other_half = half.iter().rev().filter(|point| point.1 > 0.0).map(|&(x, y)| (x, -y));
    let body = part(half.iter().copied().filter(|point| point.1 > 0.0).chain(other_half));
    let [pocket, strap, facing] = small_parts(scale(size));
    let band = strap.clone();
    vec![body, mirrored(&pocket), pocket, strap.clone(), strap, mirrored(&facing), facing, band]
}

/// The apron in eight sizes, on cloth of three widths.
pub fn apron_on_three_widths(evaluations: u64) -> Vec<Job> {
    let widths = |size| [1100.0, 1400.0, 1500.0].map(|width| job(apron(size), width, evaluations));
    (0..8).flat_map(widths).collect()
}

/// The largest apron on 1100 mm as it was laid by hand: of two straps on one side of the body the one that begins later lies next to it.
pub fn largest_apron_by_hand() -> Job {
    let body = (0.0, 506.5);
    let pockets = [(1030.0, 351.0), (1030.0, 354.0)];
    let straps = [(721.66, 0.0), (721.66, 929.0), (0.0, 1016.0)];
    let facings = [(1030.0, 765.0), (1030.0, 768.0)];
    let places = [body, pockets[0], pockets[1], straps[0], straps[1], facings[0], facings[1], straps[2]];
    let place = |(x, y)| Place { turned: false, x: Length::mm(x), y: Length::mm(y) };
    Job { start: Some(places.map(place).to_vec()), ..job(apron(7), 1100.0, 0) }
}

/// The same apron on folded cloth: half its body on the fold, and one of each pair.
pub fn folded_apron(size: usize) -> Vec<Part> {
    let body = Part { on_fold: true, ..part(half_body(scale(size))) };
    let [pocket, strap, facing] = small_parts(scale(size));
    vec![body, pocket, strap, facing]
}

/// Numbers that look random and are the same everywhere.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, below: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / (1u64 << 24) as f64 * below
    }
}

/// Directions of a clock's hours, so that no sine is needed.
const HOURS: [(f64, f64); 12] = [
    (1.0, 0.0),
    (0.87, 0.5),
    (0.5, 0.87),
    (0.0, 1.0),
    (-0.5, 0.87),
    (-0.87, 0.5),
    (-1.0, 0.0),
    (-0.87, -0.5),
    (-0.5, -0.87),
    (0.0, -1.0),
    (0.5, -0.87),
    (0.87, -0.5),
];

/// A job of blobs with bays; some may not be turned, some lie on the fold.
pub fn blobs(count: usize, seed: u64, evaluations: u64) -> Job {
    let mut numbers = Numbers(seed.wrapping_mul(977) + 5);
    (0..8).for_each(|_| _ = numbers.next(1.0));
    let parts = (0..count).map(|index| blob(&mut numbers, index, seed)).collect();
    Job { seed, ..job(parts, 600.0 + 50.0 * (seed % 9) as f64, evaluations) }
}

fn blob(numbers: &mut Numbers, index: usize, seed: u64) -> Part {
    let (long, wide) = (80.0 + numbers.next(300.0), 60.0 + numbers.next(150.0));
    let ring = HOURS.map(|(x, y)| {
        let reach = 0.45 + numbers.next(0.55);
        (x * long * reach, y * wide * reach)
    });
    let on_fold = index == 0 && seed.is_multiple_of(3) && seed < 50;
    // On the fold: the blob's upper half, closed by the fold.
    let points: Vec<_> = if on_fold { ring[..7].to_vec() } else { ring.to_vec() };
    Part { may_turn: index % 4 != 1, on_fold, ..part(points) }
}
