//! Names of sizes along their lines: about once a line on each sheet, where the line runs nearly straight and there is room.
//!
//! A name joins the piece of its line, so that it is switched with its size's layer. It stands beside the line, upright to the
//! reader and clear of all other ink; where there is no such place it is left out.

mod room;
mod walk;

use super::faces::Faces;
use super::scene::{Anchor, Type, Words};
use super::{Forms, Job};
use crate::drawing::{Drawing, Fill, Item, Letter, PathShape, Role, Shape};
use crate::inking;
use crate::manifest::{Colour, SizeNames};
use crate::plan::{Layout, Sheet};
use kurbo::{Affine, Point, Rect, Vec2};
use rayon::prelude::*;
use room::Room;
use walk::{Stretch, Walk};

/// Size of the letters, in mm: 6.5 pt.
const SIZE: f64 = 2.3;
/// Height of capitals and figures, in ems (Noto Sans: 714 of 1000 units, from memory).
const CAPITALS: f64 = 0.714;
/// Gap between the line's ink and the name, in mm.
const GAP: f64 = 0.5;
/// Air at both ends of a name, in mm.
const ENDS: f64 = 0.6;
/// How far a name keeps from the tile's edges, in mm.
const FROM_EDGE: f64 = 5.0;
/// How far a join's mark may reach around its middle, in mm, and a long check's words.
const MARK: f64 = 9.5;
const CHECK: (f64, f64) = (4.0, 45.0);
/// How far a name keeps from all other ink, in mm: well, if it can, else just.
const CLEAR: [f64; 2] = [1.8, 0.9];

/// Presses a layout with the names of sizes on it, if the kit wants them; pieces with names have forms of their own.
pub(super) fn with_names<T>(job: &Job, layout: &Layout, press: impl Fn(&Job) -> T) -> T {
    let items = |drawing: &Drawing, piece: usize| drawing.pieces.get(piece).map(|piece| piece.items.len());
    let forms = |named: &Drawing| job.forms.changed(named, |piece| items(named, piece) != items(job.drawing, piece));
    with(job, layout, forms, press)
}

/// The same for what is pressed without forms.
pub(super) fn with_names_formless<T>(job: &Job, layout: &Layout, press: impl Fn(&Job) -> T) -> T {
    with(job, layout, |_| Forms::none(), press)
}

fn with<T>(job: &Job, layout: &Layout, forms: impl Fn(&Drawing) -> Forms, press: impl Fn(&Job) -> T) -> T {
    if job.kit.inking.size_names == SizeNames::AsDrawn || job.kit.sizes.is_empty() {
        return press(job);
    }
    let drawing = named(job, layout);
    let forms = forms(&drawing);
    press(&Job { drawing: &drawing, forms: &forms, ..*job })
}

/// The drawing with names for the sheets of a layout.
pub(super) fn named(job: &Job, layout: &Layout) -> Drawing {
    let lines = Lines::of(job);
    let room = Room::of(job.ground);
    let names = |sheet: usize| names_on(layout, sheet, &lines, &room, job.faces);
    let found: Vec<(usize, Item)> = (0..layout.sheets.len()).into_par_iter().flat_map_iter(names).collect();
    let mut drawing = job.drawing.clone();
    for (piece, item) in found {
        if let Some(piece) = drawing.pieces.get_mut(piece) {
            piece.bounds = piece.bounds.union(item.bounds);
            piece.items.push(item);
        }
    }
    drawing
}

/// A size's line and the name that goes beside it.
struct Line<'a> {
    piece: usize,
    item: &'a Item,
    half: f64,
    name: &'a str,
    /// Length of the name with air at its ends, in mm.
    length: f64,
    walk: Walk,
}

/// All lines of all sizes.
struct Lines<'a>(Vec<Line<'a>>);

impl<'a> Lines<'a> {
    fn of(job: &Job<'a>) -> Self {
        let drawing = job.drawing;
        let of_size = |size: usize| {
            let (sample, name) = (inking::sample(drawing, size), job.kit.sizes.get(size).map(|size| size.name.as_str()));
            let pieces = drawing.pieces.iter().enumerate();
            let own =
                pieces.filter(move |(_, piece)| drawing.layers.get(piece.layer).is_some_and(|it| it.role == Role::Size(size)));
            let lines = own.flat_map(move |(index, piece)| piece.items.iter().map(move |item| (index, item)));
            sample.zip(name).into_iter().flat_map(move |(sample, name)| {
                let line = lines.clone().filter(|(_, item)| inking::is_size_line(item, &sample));
                let length = job.faces.width(name, Type::regular(SIZE)) + 2.0 * ENDS;
                line.map(|(piece, item)| Line::new(piece, item, name, length, sample.style.width / 2.0)).collect::<Vec<_>>()
            })
        };
        Self((0..job.kit.sizes.len()).flat_map(of_size).collect())
    }
}

impl<'a> Line<'a> {
    fn new(piece: usize, item: &'a Item, name: &'a str, length: f64, half: f64) -> Self {
        let walk = match &item.shape {
            Shape::Path(shape) => Walk::along(&shape.path),
            Shape::Image(_) => Walk::default(),
        };
        Self { piece, item, half, name, length, walk }
    }
}

fn names_on(layout: &Layout, index: usize, lines: &Lines, room: &Room, faces: &Faces) -> Vec<(usize, Item)> {
    let Some(sheet) = layout.sheets.get(index) else { return Vec::new() };
    let inner = sheet.area.to_kurbo_mm().inflate(-FROM_EDGE, -FROM_EDGE);
    let mut taken = taken(layout, index, sheet);
    let mut names = Vec::new();
    for line in lines.0.iter().filter(|line| line.item.bounds.overlaps(inner) && sheet.pieces.contains(&line.piece)) {
        let places = line.walk.stretches(inner, line.length);
        let found = CLEAR
            .iter()
            .find_map(|clear| places.iter().find_map(|stretch| beside(line, *stretch, *clear, inner, room, &taken)));
        if let Some((area, placed)) = found {
            taken.push(area);
            names.push((line.piece, line.named(placed, faces)));
        }
    }
    names
}

/// Where marks stand on a sheet, in the drawing.
fn taken(layout: &Layout, index: usize, sheet: &Sheet) -> Vec<Rect> {
    let shift = sheet.area.to_kurbo_mm().origin() - layout.tile.to_kurbo_mm().origin();
    let mut taken = vec![sheet.plate.area.to_kurbo_mm() + shift];
    taken.extend(layout.facts.legends.get(index).map(|legend| legend.area.to_kurbo_mm() + shift));
    let joins = layout.joins.iter().filter(|join| join.first == index || join.second == index);
    taken.extend(
        joins.flat_map(|join| &join.marks).map(|mark| Rect::from_center_size(mark.at.to_kurbo_mm(), (2.0 * MARK, 2.0 * MARK))),
    );
    for check in &layout.facts.long_checks {
        for at in [check.from.to_kurbo_mm(), check.to.to_kurbo_mm()] {
            taken.push(Rect::new(at.x - CHECK.0, at.y - CHECK.0, at.x + CHECK.1, at.y + CHECK.0));
        }
    }
    taken
}

/// A free box beside a stretch of a line, above it or else below, with its surrounding rectangle and the letters' placement.
fn beside(line: &Line, stretch: Stretch, clear: f64, inner: Rect, room: &Room, taken: &[Rect]) -> Option<(Rect, Affine)> {
    let along = stretch.upright();
    let up = Vec2::new(along.y, -along.x);
    let (from, height) = (stretch.left(), CAPITALS * SIZE);
    [line.half + GAP, -(line.half + GAP + height)].into_iter().find_map(|base| {
        let corner = from + up * base;
        let letters = [corner, corner + along * line.length, corner + along * line.length + up * height, corner + up * height];
        let area = letters.iter().fold(Rect::from_points(corner, corner), |area, corner| area.union_pt(*corner));
        let free = inner.contains_rect(area) && !taken.iter().any(|other| other.overlaps(area));
        let placed = Affine::translate((corner + along * ENDS).to_vec2()) * Affine::rotate(along.atan2());
        (free && room.is_clear(letters, line.item, clear)).then_some((area, placed))
    })
}

impl Line<'_> {
    /// The name as an item, its letters outlined.
    fn named(&self, placed: Affine, faces: &Faces) -> Item {
        let (text, style) = (self.name.to_owned(), Type::regular(SIZE));
        let words = Words { text, at: Point::ORIGIN, anchor: Anchor::Start, style, colour: Colour::BLACK };
        let path = placed * faces.outlines(&words);
        let fill = Some(Fill { colour: Colour::BLACK, opacity: 1.0, even_odd: false });
        let shape = PathShape { path, fill, stroke: None, stroke_first: false };
        let name = Item { clips: Vec::new(), letter: Some(Letter::SizeName), ..self.item.clone() };
        name.repainted(shape)
    }
}
