//! The drawing's ink as flat outlines: what a pen would wet, strokes with their true width, dashes with their gaps.

use crate::drawing::{Drawing, ImageShape, Item, PathShape, Shape};
use crate::manifest::Colour;
use crate::units::Rect;
use kurbo::{BezPath, PathEl, Point, StrokeOpts};

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
    /// Closed rings; first and last point are not repeated.
    pub(super) rings: Vec<Vec<Point>>,
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
        Self { pieces: drawing.pieces.iter().map(|piece| piece.items.iter().flat_map(outlines).collect()).collect() }
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
    let limit = item.clips.iter().map(|clip| kurbo::Shape::bounding_box(&clip.path)).fold(everywhere(), |a, b| a.intersect(b));
    let found = match &item.shape {
        Shape::Path(shape) => path_outlines(shape, limit),
        Shape::Image(image) => vec![Outline::new(&image_frame(image), false, limit)],
    };
    found.into_iter().filter(|outline| outline.bounds.width() > 0.0 && outline.bounds.height() > 0.0).collect()
}

fn path_outlines(shape: &PathShape, limit: kurbo::Rect) -> Vec<Outline> {
    let seen = |colour, opacity| colour != Colour::WHITE && opacity > 0.0;
    let fill = shape.fill.filter(|fill| seen(fill.colour, fill.opacity));
    let stroke = shape.stroke.as_ref().filter(|stroke| seen(stroke.colour, stroke.opacity));
    let filled = fill.map(|fill| Outline::new(&shape.path, fill.even_odd, limit));
    let stroked = stroke.map(|stroke| {
        let outline = kurbo::stroke(&shape.path, &stroke.style, &StrokeOpts::default(), FLATNESS_MM);
        Outline::new(&outline, false, limit)
    });
    filled.into_iter().chain(stroked).collect()
}

fn image_frame(image: &ImageShape) -> BezPath {
    image.placement * kurbo::Shape::to_path(&kurbo::Rect::new(0.0, 0.0, 1.0, 1.0), FLATNESS_MM)
}

fn everywhere() -> kurbo::Rect {
    kurbo::Rect::new(f64::MIN, f64::MIN, f64::MAX, f64::MAX)
}

impl Outline {
    fn new(path: &BezPath, even_odd: bool, limit: kurbo::Rect) -> Self {
        let rings = rings(path);
        let bounds = rings
            .iter()
            .flatten()
            .fold(None, |all: Option<kurbo::Rect>, &p| Some(all.map_or(kurbo::Rect::from_points(p, p), |all| all.union_pt(p))));
        let bounds = bounds.map_or(kurbo::Rect::ZERO, |b| b.intersect(limit));
        Self { rings, even_odd, limit, bounds }
    }

    /// Every edge of every ring, closing edges included.
    pub(super) fn edges(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.rings.iter().flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)))
    }

    /// Whether a point lies in the inked area.
    pub(super) fn contains(&self, at: Point) -> bool {
        let winding: i32 = self.edges().map(|(a, b)| crossing(a, b, at)).sum();
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

fn rings(path: &BezPath) -> Vec<Vec<Point>> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    kurbo::flatten(path, FLATNESS_MM, |element| match element {
        PathEl::MoveTo(p) => rings.push(vec![p]),
        PathEl::LineTo(p) => rings.last_mut().into_iter().for_each(|ring| ring.push(p)),
        _ => {}
    });
    rings.retain(|ring| ring.len() > 1);
    rings
}
