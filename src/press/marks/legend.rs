//! The legend of sizes: a sample of each size's own line with the size's name.

use super::pens::{BODY, TITLE};
use crate::catalogue::Direction;
use crate::drawing::{Drawing, Stroke};
use crate::inking;
use crate::manifest::{Colour, Kit};
use crate::plan::Layout;
use crate::press::Job;
use crate::press::scene::{Anchor, Part, Scene, Type};
use crate::press::svg::size_sample;
use kurbo::{Line, Rect, Shape as _};

/// More sizes than this stand in two columns.
const ONE_COLUMN: usize = 10;
/// From line to line, in mm, where there is room.
const STEP: f64 = 4.8;
/// The part of a column that the sample takes, the name behind it, and air between columns, in mm.
const SAMPLE: f64 = 0.68;
const BETWEEN: f64 = 3.0;
/// Air around a legend on a wide sheet, in mm.
const AIR: f64 = 2.0;

/// Sets the legend into a box, its title on the upper edge; a kit of one size has none.
pub fn legend(scene: &mut Scene, job: &Job, place: Rect) {
    let (colour, sizes) = (job.kit.mark_colour, &job.kit.sizes);
    if sizes.is_empty() {
        return;
    }
    let title = job.messages.text("check.legend.title", &[]);
    let (x, anchor) = match job.messages.direction() {
        Direction::LeftToRight => (place.x0, Anchor::Start),
        Direction::RightToLeft => (place.x1, Anchor::End),
    };
    let from = scene.words.len();
    scene.words(&title, (x, place.y0), Type::bold(TITLE).within(place.width()), anchor, colour);
    scene.passage(Part::Heading, from);
    let columns = sizes.len().div_ceil(ONE_COLUMN).min(2);
    let rows = sizes.len().div_ceil(columns);
    let width = (place.width() - BETWEEN * (columns - 1) as f64) / columns as f64;
    let step = (place.height() / rows as f64).min(STEP);
    for (index, size) in sizes.iter().enumerate() {
        let x = place.x0 + (width + BETWEEN) * (index / rows) as f64;
        let y = place.y0 + 2.0 + step * ((index % rows) as f64 + 0.6);
        let end = x + width * SAMPLE;
        if let Some(stroke) = sample(job.drawing, index) {
            scene.stroke(Line::new((x, y), (end, y)).to_path(0.1), stroke.style, stroke.colour);
        }
        let words = Type::regular(BODY.min(step * 0.8)).within(x + width - end - 2.0);
        scene.words(&size.name, (end + 2.0, y + words.size * 0.36), words, Anchor::Start, colour);
    }
}

/// The legend of a wide sheet, at the place that the plan found for it.
pub fn wide_legend(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let mut scene = Scene::default();
    let Some(found) = layout.facts.legends.get(sheet) else { return scene };
    let area = found.area.to_kurbo_mm();
    if found.over_ink {
        scene.fill(area, Colour::WHITE);
    }
    let room = area.inflate(-AIR, -AIR);
    legend(&mut scene, job, Rect::new(room.x0, room.y0 + TITLE, room.x1, room.y1));
    scene
}

/// For each size its name and a sample of its line at true size, as inline SVG; a size without lines has an empty sample.
pub fn size_samples(kit: &Kit, drawing: &Drawing) -> Vec<(String, String)> {
    let one =
        |(index, size): (usize, &crate::manifest::SizeLayer)| (size.name.clone(), size_sample(sample(drawing, index).as_ref()));
    kit.sizes.iter().enumerate().map(one).collect()
}

/// A size's line from the start of its dashes.
fn sample(drawing: &Drawing, size: usize) -> Option<Stroke> {
    let mut stroke = inking::sample(drawing, size)?;
    stroke.style.dash_offset = 0.0;
    Some(stroke)
}
