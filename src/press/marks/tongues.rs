//! The check page in the kit's other languages: its title and first sentences, side by side at the foot of the page.

use super::pens::{BODY, HAIR, SMALL_PRINT};
use crate::catalogue::{Direction, Messages};
use crate::press::Job;
use crate::press::scene::{Anchor, Scene, Type};
use kurbo::Rect;

/// Between the two columns, in mm.
const GUTTER: f64 = 8.0;
/// Between two rows, in mm.
const AIR: f64 = 3.0;
/// Sizes of the sentences in mm, tried in this order until all languages fit.
const SIZES: [f64; 3] = [BODY, 2.3, SMALL_PRINT];

/// One language's words, broken into lines.
struct Entry {
    title: String,
    lines: Vec<String>,
    size: f64,
    rtl: bool,
}

/// Sets the kit's other languages into a box, in their order, as many as there is room for.
pub fn tongues(scene: &mut Scene, job: &Job, place: Rect) {
    let column = (place.width() - GUTTER) / 2.0;
    let entries = |size: f64| job.others.iter().map(|language| Entry::new(job, language, size, column)).collect::<Vec<_>>();
    let tried = SIZES.into_iter().map(entries);
    let fits = |entries: &Vec<Entry>| rows(entries, place.y0).last().is_none_or(|(_, end)| *end <= place.y1);
    let Some(entries) = tried.reduce(|kept, smaller| if fits(&kept) { kept } else { smaller }) else { return };
    let ink = job.kit.mark_colour;
    for ((start, end), pair) in rows(&entries, place.y0).into_iter().zip(entries.chunks(2)) {
        if end > place.y1 {
            break;
        }
        scene.line((place.x0, start), (place.x1, start), HAIR, ink);
        for (entry, left) in pair.iter().zip([place.x0, place.x0 + column + GUTTER]) {
            entry.set(scene, (left, start + AIR + 0.6), column, ink);
        }
    }
}

/// Where each row of two entries begins and ends.
fn rows(entries: &[Entry], top: f64) -> Vec<(f64, f64)> {
    let mut next = top;
    let row = |pair: &[Entry]| {
        let start = next;
        next += pair.iter().map(Entry::height).fold(0.0, f64::max) + AIR;
        (start, next)
    };
    entries.chunks(2).map(row).collect()
}

impl Entry {
    fn new(job: &Job, language: &Messages, size: f64, column: f64) -> Self {
        let lines = job.faces.wrapped(&language.text("check.intro", &[]), Type::regular(size), column);
        let rtl = language.direction() == Direction::RightToLeft;
        Self { title: language.text("check.title", &[]), lines, size, rtl }
    }

    fn step(&self) -> f64 {
        self.size * 1.36
    }

    fn height(&self) -> f64 {
        AIR + self.step() * (self.lines.len() as f64 + 0.6)
    }

    fn set(&self, scene: &mut Scene, (x, y): (f64, f64), column: f64, ink: crate::manifest::Colour) {
        let (x, anchor) = if self.rtl { (x + column, Anchor::End) } else { (x, Anchor::Start) };
        scene.words(&self.title, (x, y), Type::bold(self.size).within(column), anchor, ink);
        for (index, line) in self.lines.iter().enumerate() {
            scene.words(line, (x, y + self.step() * (index as f64 + 1.0)), Type::regular(self.size), anchor, ink);
        }
    }
}
