//! What the border says before it is trimmed away or glued under: kit and sheet, where to cut, what lies on top.

use super::frame::Side;
use super::glue::{lap_picture, lap_width};
use super::pens::SMALL_PRINT;
use crate::plan::Layout;
use crate::press::Job;
use crate::press::edges::{gaps, reach};
use crate::press::faces::Faces;
use crate::press::paper_title;
use crate::press::scene::{Anchor, Scene, Type};
use kurbo::Rect;

/// The thinnest border that holds a line of small print, in mm.
const PRINT_FROM: f64 = 2.6;
/// Size of the print, in mm.
const SIZE: f64 = SMALL_PRINT * 0.9;
/// How far letters reach below the line that they stand on, in mm.
const DESCENT: f64 = 0.25 * SIZE;
/// How far words stay away from the tile's corners, in mm.
const FROM_CORNER: f64 = 5.2;
/// Air to lines of the drawing and between two things said, in mm.
const AIR: f64 = 1.6;

/// The words of the border and the boxes that they take, in the sheet's mm.
#[derive(Default)]
pub(super) struct Note {
    pub(super) scene: Scene,
    pub(super) taken: Vec<Rect>,
}

/// Something that is said in one stretch: pictures of laps, then words.
struct Saying {
    laps: Vec<(String, String)>,
    words: String,
}

impl Saying {
    fn width(&self, faces: &Faces) -> f64 {
        let laps: f64 = self.laps.iter().map(|(own, next)| lap_width(faces, (own, next)) + AIR).sum();
        laps + faces.width(&self.words, Type::regular(SIZE))
    }
}

/// All that a sheet's border says, where the drawing leaves room for it: below the tile, else above.
pub(super) fn note(job: &Job, layout: &Layout, sheet: usize, sides: [Side; 4]) -> Note {
    let mut note = Note::default();
    let (tile, reach) = (layout.tile.to_kurbo_mm(), reach(layout));
    if (reach.y1 - tile.y1).min(tile.y0 - reach.y0) < PRINT_FROM {
        return note;
    }
    let (from, to) = (tile.x0 + FROM_CORNER, tile.x1 - FROM_CORNER);
    let strips = [Rect::new(from, tile.y1 + 0.4, to, tile.y1 + 2.6), Rect::new(from, tile.y0 - 2.6, to, tile.y0 - 0.4)];
    // Words stand on the foot of their strip, less the descenders.
    let mut free: Vec<(f64, f64, f64)> = Vec::new();
    for strip in strips {
        let gaps = gaps(job.ground, layout, sheet, strip).into_iter();
        free.extend(gaps.map(|(left, right)| (left + air(left, from), right - air(right, to), strip.y1 - DESCENT)));
    }
    for saying in sayings(job, layout, sheet, sides) {
        note.say(job, &saying, &mut free, (from, to, tile.y1 + PRINT_FROM - DESCENT));
    }
    note
}

/// The ends of a strip need no air: nothing crosses there.
fn air(at: f64, end: f64) -> f64 {
    if (at - end).abs() < 1e-6 { 0.0 } else { AIR }
}

impl Note {
    /// Sets a saying into the first stretch that holds it; if none does, over the drawing, since it must be said.
    fn say(&mut self, job: &Job, saying: &Saying, free: &mut [(f64, f64, f64)], whole: (f64, f64, f64)) {
        let width = saying.width(job.faces);
        let found = free.iter_mut().find(|(left, right, _)| right - left >= width);
        let (x, y) = match found {
            Some(stretch) => {
                let left = stretch.0;
                stretch.0 += width + 2.0 * AIR;
                (left, stretch.2)
            }
            None => (whole.0, whole.2),
        };
        let colour = job.kit.mark_colour;
        let mut at = x;
        for (own, next) in &saying.laps {
            lap_picture(&mut self.scene, job.faces, (at, y), (own, next), colour);
            at += lap_width(job.faces, (own, next)) + AIR;
        }
        let style = Type::regular(SIZE).within(whole.1 - at);
        self.scene.words(&saying.words, (at, y), style, Anchor::Start, colour);
        self.taken.push(Rect::new(x, y - 0.8 * SIZE, x + width, y + DESCENT));
    }
}

/// Which sheet this is; where to cut; which neighbours lie on top.
fn sayings(job: &Job, layout: &Layout, sheet: usize, sides: [Side; 4]) -> Vec<Saying> {
    let (n, total) = ((sheet + 1).to_string(), layout.sheets.len().to_string());
    let text = |key: &str, values: &[(&str, &str)]| job.messages.text(key, values);
    let edition = text("sheet.edition", &[("edition", &job.kit.edition.to_string())]);
    let count = text("sheet.count", &[("n", &n), ("total", &total)]);
    let paper = text("sheet.paper", &[("paper", &paper_title(&layout.setup.paper, job.messages))]);
    let label = |sheet: usize| layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
    let laps: Vec<(String, String)> = sides
        .into_iter()
        .filter_map(|side| if let Side::Glued(next) = side { Some((label(sheet), label(next))) } else { None })
        .collect();
    let mut sayings = vec![Saying { laps: Vec::new(), words: job.messages.line(&[&job.kit.title, &edition, &count, &paper]) }];
    if sides.contains(&Side::Trimmed) {
        sayings.push(Saying { laps: Vec::new(), words: text("sheet.trim", &[]) });
    }
    if !laps.is_empty() {
        sayings.push(Saying { laps, words: text("sheet.glue", &[]) });
    }
    sayings
}
