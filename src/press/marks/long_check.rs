//! Long checks: a cross on one sheet and its partner far away, with the length between them in words.

use super::pens::{SMALL_PRINT, THIN};
use crate::manifest::Colour;
use crate::plan::{Layout, LongCheck};
use crate::press::Job;
use crate::press::scene::{Anchor, Scene, Type};

/// Half the width of a cross, in mm.
const ARM: f64 = 2.5;

/// The crosses that stand on one sheet.
pub fn long_checks(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let mut scene = Scene::default();
    let Some(area) = layout.sheets.get(sheet).map(|sheet| sheet.area.to_kurbo_mm()) else { return scene };
    let shift = layout.tile.to_kurbo_mm().origin() - area.origin();
    for check in &layout.facts.long_checks {
        for (at, own) in [(check.from, check.first), (check.to, check.second)] {
            if own == sheet {
                let at = at.to_kurbo_mm() + shift;
                cross(&mut scene, (at.x, at.y), &words(job, layout, check), job.kit.mark_colour);
            }
        }
    }
    scene
}

/// `A1 to A4: 573.6 mm`.
fn words(job: &Job, layout: &Layout, check: &LongCheck) -> String {
    let label = |sheet: usize| layout.sheets.get(sheet).map(|sheet| sheet.label.clone()).unwrap_or_default();
    let length = job.messages.length(check.length());
    job.messages.text("sheet.long-check", &[("from", &label(check.first)), ("to", &label(check.second)), ("length", &length)])
}

fn cross(scene: &mut Scene, (x, y): (f64, f64), words: &str, colour: Colour) {
    scene.line((x - ARM, y), (x + ARM, y), THIN, colour);
    scene.line((x, y - ARM), (x, y + ARM), THIN, colour);
    scene.words(words, (x + ARM + 1.0, y + 0.8), Type::regular(SMALL_PRINT), Anchor::Start, colour);
}
