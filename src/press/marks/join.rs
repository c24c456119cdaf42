//! Registration marks: half-discs on the joins that close to full rings when two sheets meet.

use super::pens::{BODY, FIRM, HAIR, THIN};
use crate::manifest::Colour;
use crate::plan::{Join, JoinMark, Layout};
use crate::press::faces::Faces;
use crate::press::scene::{Anchor, Inked, Scene, Type};
use kurbo::{Affine, Arc, BezPath, Point, Shape};
use std::f64::consts::{FRAC_PI_2, PI};

/// Radius of the outer ring, in mm.
const OUTER: f64 = 4.2;
/// Radius of the inner ring, in mm.
const INNER: f64 = 3.1;
/// Hairlines across the join: offset along it and length into the sheet, in mm. They are 1 mm apart on marks of any size, so
/// that a slip of half a millimetre brings each into the middle between two others; docs/marks.md shows it.
const HAIRLINES: [(f64, f64, f64); 5] =
    [(-2.0, 1.5, HAIR), (-1.0, 1.5, HAIR), (0.0, 2.2, THIN), (1.0, 1.5, HAIR), (2.0, 1.5, HAIR)];

/// The least air between a hairline and the inner ring, in mm.
const HAIR_AIR: f64 = 0.4;
/// Words shrink no further with their mark.
const SMALLEST: f64 = 0.75;
/// What the plan keeps free along the join for a mark of full size, in mm.
const WIDTH: f64 = 11.0;

/// All halves on one sheet, each with its join's number beside it.
pub fn join_marks(faces: &Faces, layout: &Layout, sheet: usize, colour: Colour) -> Scene {
    let mut scene = Scene::default();
    let Some(area) = layout.sheets.get(sheet).map(|sheet| sheet.area) else { return scene };
    let (tile, area) = (layout.tile.to_kurbo_mm(), area.to_kurbo_mm());
    let shift = tile.origin() - area.origin();
    for join in layout.joins.iter().filter(|join| join.first == sheet || join.second == sheet) {
        let turn = match (join.level, join.first == sheet) {
            (true, true) => PI,
            (true, false) => 0.0,
            (false, true) => FRAC_PI_2,
            (false, false) => -FRAC_PI_2,
        };
        for mark in &join.marks {
            let at = mark.at.to_kurbo_mm() + shift;
            half(&mut scene, mark, at, turn, colour);
            number(&mut scene, mark, at, beside(faces, join, mark, sheet).number, join.number, colour);
        }
    }
    scene
}

/// One half-disc: middle on the join, turned so that it lies inside the sheet.
fn half(scene: &mut Scene, mark: &JoinMark, at: Point, turn: f64, colour: Colour) {
    let scale = mark.scale;
    let placed = Affine::translate(at.to_vec2()) * Affine::rotate(turn) * Affine::scale(scale);
    let ring = |radius: f64| placed * Arc::new(Point::ORIGIN, (radius, radius), 0.0, PI, 0.0).to_path(0.001);
    // A white ground keeps the ring readable; the plan has looked for a place where it hides nothing.
    let ground = if mark.over_ink { Some(Colour::WHITE) } else { None };
    scene.strokes.push(Inked {
        path: ring(OUTER),
        fill: ground,
        even_odd: false,
        line: Some((colour, kurbo::Stroke::new(FIRM))),
    });
    scene.stroke(ring(INNER), kurbo::Stroke::new(HAIR), colour);
    let within = |along: f64| along.abs() < INNER * scale - HAIR_AIR;
    for (along, depth, width) in HAIRLINES.into_iter().filter(|(along, ..)| within(*along)) {
        let mut line = BezPath::new();
        line.move_to((along / scale, 0.0));
        line.line_to((along / scale, depth));
        scene.stroke(placed * line, kurbo::Stroke::new(width).with_caps(kurbo::Cap::Butt), colour);
    }
}

/// Where the words of a half stand, from the mark's middle, in mm on the sheet.
pub(super) struct Beside {
    /// Middle of the join's number.
    pub(super) number: (f64, f64),
    /// Middle of the neighbour's label.
    pub(super) name: (f64, f64),
    /// The most that the label may take, in mm.
    pub(super) room: f64,
}

/// Number and label stand behind the half, or on either side of it along the join where lines leave no room behind.
pub(super) fn beside(faces: &Faces, join: &Join, mark: &JoinMark, sheet: usize) -> Beside {
    let inward = if join.first == sheet { -1.0 } else { 1.0 };
    let deep = if mark.beside { OUTER * mark.scale * 0.6 } else { OUTER * mark.scale + 2.3 };
    let size = mark.scale.max(SMALLEST);
    let (number, name, room) = match (mark.beside, join.level) {
        (true, level) => {
            let along = OUTER * mark.scale + 2.2;
            (along, -along, if level { 3.6 } else { OUTER * mark.scale * 0.8 + 0.44 })
        }
        (false, true) => {
            // Side by side, the pair in the middle, in the width that the plan keeps free.
            let width = faces.width(&join.number.to_string(), Type::regular(BODY * size));
            let name = 3.2 * size;
            let total = width + 1.0 + name;
            ((width - total) / 2.0, (total - name) / 2.0, (WIDTH * mark.scale - width - 1.0).min(4.6))
        }
        (false, false) => (-1.6 * size, 1.6 * size, 4.3),
    };
    let place = |along: f64| if join.level { (along, deep * inward) } else { (deep * inward, along) };
    Beside { number: place(number), name: place(name), room }
}

fn number(scene: &mut Scene, mark: &JoinMark, at: Point, (x, y): (f64, f64), number: usize, colour: Colour) {
    let size = BODY * mark.scale.max(SMALLEST);
    // Digits are about 0.72 of the em high; half of that brings them to the middle.
    let place = (at.x + x, at.y + y + 0.36 * size);
    scene.words(&number.to_string(), place, Type::regular(size), Anchor::Middle, colour);
}
