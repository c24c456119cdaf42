//! The drawing's ink as flat outlines: what a pen would wet, strokes with their true width, dashes with their gaps.

use super::edge::within;
use super::ring::{Ring, Run};
use super::{NOISE_MM, clip};
use crate::drawing::{Clip, Drawing, ImageShape, Item, PathShape, Shape};
use crate::manifest::Colour;
use crate::units::Rect;
use kurbo::{BezPath, PathEl, Point, StrokeOpts, Vec2};
use rayon::prelude::*;

/// How far an outline may stand off the true curve, in mm: a fifth of the 0.01 mm budget.
const FLATNESS_MM: f64 = 0.002;

/// Outlines of everything that is printed, piece by piece, in mm.
#[derive(Debug)]
pub(super) struct Ink {
    /// Same order as the drawing's pieces.
    pub(super) pieces: Vec<Vec<Outline>>,
}

/// One inked area.
#[derive(Debug)]
pub(super) struct Outline {
    /// Its borders.
    rings: Vec<Ring>,
    /// Even-odd instead of nonzero.
    pub(super) even_odd: bool,
    /// The box that ink is limited to by clips.
    pub(super) limit: kurbo::Rect,
    /// Box of the rings within the limit.
    pub(super) bounds: kurbo::Rect,
}

impl Ink {
    /// All ink of a drawing; white and wholly transparent paint is none.
    pub(super) fn of(drawing: &Drawing) -> Self {
        Self { pieces: drawing.pieces.par_iter().map(|piece| piece.items.iter().flat_map(outlines).collect()).collect() }
    }

    /// The box around all ink.
    pub(super) fn bounds(&self) -> Option<Rect> {
        let all = self.pieces.iter().flatten().map(|outline| outline.bounds);
        all.reduce(|a, b| a.union(b)).map(Rect::from_kurbo_mm)
    }

    /// Every outline, in paint order.
    pub(super) fn outlines(&self) -> impl Iterator<Item = &Outline> {
        self.pieces.iter().flatten()
    }
}

fn outlines(item: &Item) -> Vec<Outline> {
    let limit = item.clips.iter().filter_map(|clip| clip::as_box(clip)).fold(everywhere(), |a, b| a.intersect(b));
    let windows = item.clips.iter().filter(|clip| clip::as_box(clip).is_none());
    let found = match &item.shape {
        Shape::Path(shape) => path_outlines(shape, limit),
        Shape::Image(image) => vec![Outline::new(&image_frame(image), false, limit, Vec2::ZERO)],
    };
    let found = windows.fold(found, |found, window| found.into_iter().map(|outline| outline.cut(window)).collect());
    found.into_iter().filter(|outline| outline.bounds.width() > 0.0 && outline.bounds.height() > 0.0).collect()
}

fn path_outlines(shape: &PathShape, limit: kurbo::Rect) -> Vec<Outline> {
    let seen = |colour, opacity| colour != Colour::WHITE && opacity > 0.0;
    let fill = shape.fill.filter(|fill| seen(fill.colour, fill.opacity));
    let stroke = shape.stroke.as_ref().filter(|stroke| seen(stroke.colour, stroke.opacity));
    let anchor = shape.path.elements().first().and_then(PathEl::end_point).unwrap_or_default();
    let path = anchored(&shape.path, anchor);
    let filled = fill.map(|fill| Outline::new(&path, fill.even_odd, limit, anchor.to_vec2()));
    let stroked = stroke.map(|stroke| {
        let outline = kurbo::stroke(&path, &stroke.style, &StrokeOpts::default(), FLATNESS_MM);
        Outline::new(&outline, false, limit, anchor.to_vec2())
    });
    filled.into_iter().chain(stroked).collect()
}

/// A path seen from its first point, in whole nanometres: where in the drawing it lies must not change how it is flattened.
fn anchored(path: &BezPath, anchor: Point) -> BezPath {
    let seen = |p: Point| (((p - anchor) / NOISE_MM).round() * NOISE_MM).to_point();
    let element = |element: PathEl| match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(seen(p)),
        PathEl::LineTo(p) => PathEl::LineTo(seen(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(seen(a), seen(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(seen(a), seen(b), seen(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    };
    path.iter().map(element).collect()
}

fn image_frame(image: &ImageShape) -> BezPath {
    image.placement * kurbo::Shape::to_path(&kurbo::Rect::new(0.0, 0.0, 1.0, 1.0), FLATNESS_MM)
}

fn everywhere() -> kurbo::Rect {
    kurbo::Rect::new(f64::MIN, f64::MIN, f64::MAX, f64::MAX)
}

impl Outline {
    /// The inside of a path that is seen from a point (`shift`) of the drawing.
    fn new(path: &BezPath, even_odd: bool, limit: kurbo::Rect, shift: Vec2) -> Self {
        Self { rings: rings(path, shift).into_iter().map(Ring::of).collect(), even_odd, limit, bounds: limit }.bounded()
    }

    /// What a clip that is no box leaves of it.
    fn cut(self, clip: &Clip) -> Self {
        let rings: Vec<Vec<Point>> = self.rings.iter().map(Ring::corners).collect();
        let left = clip::cut(&rings, self.even_odd, clip).into_iter().map(Ring::of).collect();
        Self { rings: left, even_odd: false, ..self }.bounded()
    }

    fn bounded(self) -> Self {
        Self { bounds: self.reach(), ..self }
    }

    /// The box around what the limit leaves: ends of edges within it, and those corners of it that lie in ink.
    fn reach(&self) -> kurbo::Rect {
        let all = self.runs().map(|run| run.bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        if self.limit.contains_rect(all) {
            return all;
        }
        let ends = |(a, b): (Point, Point)| within(a, b, self.limit).map(|(from, to)| [a.lerp(b, from), a.lerp(b, to)]);
        let points = self.edges().filter_map(ends).flatten().chain(self.corners_of(self.limit));
        let boxes = points.map(|p| kurbo::Rect::from_points(p, p));
        boxes.reduce(|a, b| a.union(b)).unwrap_or(kurbo::Rect::ZERO)
    }

    /// The corners of a box within the limit that lie in the inked area.
    pub(super) fn corners_of(&self, r: kurbo::Rect) -> impl Iterator<Item = Point> + '_ {
        let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(Point::from);
        let near =
            |at: &Point| (self.bounds.x0..=self.bounds.x1).contains(&at.x) && (self.bounds.y0..=self.bounds.y1).contains(&at.y);
        corners.into_iter().filter(near).filter(|&at| self.contains(at))
    }

    /// Runs of edges, each with its box: what lies far from it need not look at any of its edges.
    pub(super) fn runs(&self) -> impl Iterator<Item = Run<'_>> {
        self.rings.iter().flat_map(Ring::runs)
    }

    /// Every edge of every ring, closing edges included.
    pub(super) fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.runs().flat_map(Run::edges)
    }

    /// Whether a point lies in the inked area.
    pub(super) fn contains(&self, at: Point) -> bool {
        let level = self.runs().filter(|run| run.bounds.y0 <= at.y && at.y < run.bounds.y1);
        let winding: i32 = level.flat_map(Run::edges).map(|(a, b)| crossing(a, b, at)).sum();
        if self.even_odd { winding % 2 != 0 } else { winding != 0 }
    }
}

/// How an edge passes a ray from the point to the right: down 1, up −1, else 0.
fn crossing(a: Point, b: Point, at: Point) -> i32 {
    let side = (b - a).cross(at - a);
    match (a.y <= at.y, b.y <= at.y) {
        (true, false) if side > 0.0 => 1,
        (false, true) if side < 0.0 => -1,
        _ => 0,
    }
}

/// Flat rings of a path that is seen from a point (`shift`) of the drawing.
pub(super) fn rings(path: &BezPath, shift: Vec2) -> Vec<Vec<Point>> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, FLATNESS_MM, |element| match element {
        PathEl::MoveTo(p) => rings.push(vec![p + shift]),
        PathEl::LineTo(p) => rings.last_mut().into_iter().for_each(|ring| ring.push(p + shift)),
        _ => {}
    });
    rings.retain(|ring| ring.len() > 1);
    rings
}
