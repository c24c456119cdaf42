//! Room for a name: is a box, lying any way, clear of the drawing's ink?

use crate::drawing::{Drawing, Item, Shape};
use crate::manifest::Colour;
use kurbo::{BezPath, Line, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape as _};
use std::collections::{BTreeMap, BTreeSet};

/// How far flattened ink may stand off the curve, in mm.
const FLATNESS_MM: f64 = 0.05;
/// Side of the squares in which edges are looked up, in mm.
const SQUARE: f64 = 8.0;
/// How far a name may come to its own line, in mm.
const OWN: f64 = 0.3;

/// An edge of ink: a stretch of a line with half its width, or of the outline of an area.
struct Edge {
    line: Line,
    half: f64,
    item: usize,
}

/// All edges of a drawing, by square, and the areas behind them.
pub(super) struct Room<'a> {
    edges: Vec<Edge>,
    squares: BTreeMap<(i64, i64), Vec<usize>>,
    items: Vec<&'a Item>,
    areas: Vec<(Rect, &'a BezPath)>,
}

impl<'a> Room<'a> {
    /// The room that a drawing leaves.
    pub(super) fn of(drawing: &'a Drawing) -> Self {
        let items: Vec<&Item> = drawing.pieces.iter().flat_map(|piece| &piece.items).collect();
        let mut room = Self { edges: Vec::new(), squares: BTreeMap::new(), items, areas: Vec::new() };
        for (index, item) in room.items.clone().into_iter().enumerate() {
            room.add(index, item);
        }
        room
    }

    fn add(&mut self, index: usize, item: &'a Item) {
        match &item.shape {
            Shape::Image(image) => self.outline(index, &(image.placement * Rect::new(0.0, 0.0, 1.0, 1.0).to_path(0.1)), 0.0),
            Shape::Path(shape) => {
                let line = shape.stroke.as_ref().filter(|stroke| stroke.colour != Colour::WHITE);
                let filled = shape.fill.is_some_and(|fill| fill.colour != Colour::WHITE);
                if filled {
                    self.areas.push((item.bounds, &shape.path));
                }
                if filled || line.is_some() {
                    self.outline(index, &shape.path, line.map_or(0.0, |stroke| stroke.style.width / 2.0));
                }
            }
        }
    }

    fn outline(&mut self, item: usize, path: &BezPath, half: f64) {
        let mut flat = BezPath::new();
        kurbo::flatten(path, FLATNESS_MM, |element| match element {
            PathEl::MoveTo(p) => flat.move_to(p),
            PathEl::LineTo(p) => flat.line_to(p),
            _ => flat.close_path(),
        });
        for segment in flat.segments() {
            let PathSeg::Line(line) = segment else { continue };
            let index = self.edges.len();
            for square in squares(line.bounding_box().inflate(half, half)) {
                self.squares.entry(square).or_default().push(index);
            }
            self.edges.push(Edge { line, half, item });
        }
    }

    /// Whether a box keeps some way off all ink, and a little off its own line.
    pub(super) fn is_clear(&self, corners: [Point; 4], own: &Item, clear: f64) -> bool {
        let around = corners.iter().fold(Rect::from_points(corners[0], corners[2]), |all, corner| all.union_pt(*corner));
        let near: BTreeSet<usize> =
            squares(around.inflate(clear, clear)).flat_map(|it| self.squares.get(&it)).flatten().copied().collect();
        let off = |edge: &Edge| {
            let is_own = self.items.get(edge.item).is_some_and(|item| std::ptr::eq(*item, own));
            distance(edge.line, corners) >= edge.half + if is_own { OWN } else { clear }
        };
        let covered =
            |(bounds, path): &(Rect, &BezPath)| bounds.contains(around.center()) && path.winding(around.center()) != 0;
        near.into_iter().filter_map(|index| self.edges.get(index)).all(off) && !self.areas.iter().any(covered)
    }
}

/// The squares that a box reaches.
fn squares(r: Rect) -> impl Iterator<Item = (i64, i64)> {
    let index = |value: f64| (value / SQUARE).floor() as i64;
    let (x0, x1, y0, y1) = (index(r.x0), index(r.x1), index(r.y0), index(r.y1));
    (y0..=y1).flat_map(move |y| (x0..=x1).map(move |x| (x, y)))
}

/// How far a line is from a box given by its corners in turn; 0 if they meet.
fn distance(line: Line, corners: [Point; 4]) -> f64 {
    let [a, b, c, d] = corners;
    let sides = [Line::new(a, b), Line::new(b, c), Line::new(c, d), Line::new(d, a)];
    let inside = |p: Point| {
        let turns = sides.map(|side| (side.p1 - side.p0).cross(p - side.p0) > 0.0);
        turns.iter().all(|turn| *turn) || turns.iter().all(|turn| !turn)
    };
    let crosses = |side: &Line| {
        let apart = |line: &Line, other: &Line| {
            let along = line.p1 - line.p0;
            along.cross(other.p0 - line.p0) * along.cross(other.p1 - line.p0) <= 0.0
        };
        apart(side, &line) && apart(&line, side)
    };
    if inside(line.p0) || inside(line.p1) || sides.iter().any(crosses) {
        return 0.0;
    }
    let to_line = corners.map(|corner| line.nearest(corner, 1e-6).distance_sq);
    let to_sides = sides.iter().flat_map(|side| [line.p0, line.p1].map(|end| side.nearest(end, 1e-6).distance_sq));
    to_line.into_iter().chain(to_sides).fold(f64::MAX, f64::min).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_to_a_box() {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)].map(Point::from);
        let cases = [
            ((0.0, 5.0), (4.0, 5.0), 3.0),
            ((1.0, 1.0), (2.0, 1.0), 0.0),
            ((-5.0, 1.0), (9.0, 1.0), 0.0),
            ((7.0, 6.0), (9.0, 9.0), 5.0),
        ];
        for (from, to, apart) in cases {
            assert!((distance(Line::new(from, to), corners) - apart).abs() < 1e-9, "{from:?} to {to:?}");
        }
    }
}
