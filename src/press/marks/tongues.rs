//! The check page in the kit's other languages: a line for each at the foot of the page, which says what the page is for.

use super::pens::{HAIR, SMALL_PRINT};
use crate::catalogue::{Direction, Messages};
use crate::press::Job;
use crate::press::scene::{Anchor, Scene, Type};
use kurbo::Rect;

/// Width of the column with the languages' names, in mm.
const NAMES: f64 = 22.0;
/// Height of the em, in mm.
const SIZE: f64 = SMALL_PRINT + 0.2;
/// From line to line in mm, at best and at least.
const STEP: (f64, f64) = (4.4, 3.3);

/// Sets the kit's other languages into a box, in their order, as many as there is room for; gives the place below them.
pub fn tongues(scene: &mut Scene, job: &Job, place: Rect) -> f64 {
    let ink = job.kit.mark_colour;
    let step = (place.height() / job.others.len() as f64).clamp(STEP.1, STEP.0);
    let mut foot = place.y0;
    for (index, language) in job.others.iter().enumerate() {
        let below = place.y0 + step * (index as f64 + 1.0);
        if below > place.y1 + 0.01 {
            break;
        }
        line(scene, language, Rect::new(place.x0, below - step, place.x1, below), ink);
        scene.line((place.x0, below), (place.x1, below), HAIR, ink);
        foot = below;
    }
    foot
}

/// The language's name and its sentence, from the side where the language begins to be read.
fn line(scene: &mut Scene, language: &Messages, row: Rect, ink: crate::manifest::Colour) {
    let (name, sentence) = (language.text("language.name", &[]), language.text("package.start.check", &[]));
    let base = row.y1 - (row.height() - 0.72 * SIZE) / 2.0;
    let rtl = language.direction() == Direction::RightToLeft;
    let (edge, inner, anchor) =
        if rtl { (row.x1, row.x1 - NAMES, Anchor::End) } else { (row.x0, row.x0 + NAMES, Anchor::Start) };
    scene.words(&name, (edge, base), Type::bold(SIZE).within(NAMES - 2.0), anchor, ink);
    scene.words(&sentence, (inner, base), Type::regular(SIZE).within(row.width() - NAMES), anchor, ink);
}
