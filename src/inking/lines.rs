//! Size lines: which strokes of a size's layer are its cutting lines, and how they are restyled.
//!
//! The rule: of the strokes on a size's layer, those long enough to be no notch, the style with the greatest total length is the
//! size's line; every such stroke in that style is restyled. Strokes in other styles (folds, stitching), notches, letters and
//! filled shapes keep what the publisher drew.

use super::patterns::pattern;
use crate::drawing::{Drawing, Item, Role, Shape, Stroke};
use crate::manifest::Colour;
use kurbo::{BezPath, PathEl, Rect, Shape as _};

/// A path whose longest part is shorter than this, in mm, is a notch or a small mark (common practice, no published source).
const SMALL_MM: f64 = 12.0;

/// Lengths of two styles that differ by less, in mm, are meant to be the same.
const ALIKE_MM: f64 = 0.02;

/// How finely lengths of lines are measured to be compared, in mm.
const LENGTH_MM: f64 = 0.1;

/// The line that a size is drawn with: its commonest stroke by length, as far as it has one.
pub fn sample(drawing: &Drawing, size: usize) -> Option<Stroke> {
    let mut kinds: Vec<(&Stroke, Vec<&BezPath>)> = Vec::new();
    for (stroke, path) in items_of(drawing, size).filter_map(line) {
        match kinds.iter_mut().find(|(kind, _)| alike(kind, stroke)) {
            Some((_, paths)) => paths.push(path),
            None => kinds.push((stroke, vec![path])),
        }
    }
    // Lengths take long to measure, and most sizes have a single kind of line.
    if let [(only, _)] = kinds.as_slice() {
        return Some((*only).clone());
    }
    let total = |paths: &[&BezPath]| -> f64 { paths.iter().map(|path| path.perimeter(LENGTH_MM)).sum() };
    let kinds = kinds.into_iter().map(|(stroke, paths)| (stroke, total(&paths)));
    // Of equals the first counts.
    let longest = kinds.reduce(|best, next| if next.1 > best.1 { next } else { best });
    longest.map(|(stroke, _)| stroke.clone())
}

/// Whether an item is drawn in the line of its size, which [`sample`] found.
pub fn is_size_line(item: &Item, sample: &Stroke) -> bool {
    line(item).is_some_and(|(stroke, _)| alike(stroke, sample))
}

/// The drawing with a line of its own for each size.
pub(super) fn distinct(drawing: Drawing) -> Drawing {
    let samples: Vec<Option<(usize, Stroke)>> = drawing
        .layers
        .iter()
        .map(|layer| match layer.role {
            Role::Size(size) => sample(&drawing, size).map(|sample| (size, sample)),
            Role::Base => None,
        })
        .collect();
    super::replaced(drawing, |piece, item| match samples.get(piece.layer).and_then(Option::as_ref) {
        Some((size, sample)) if is_size_line(&item, sample) => vec![restyled(item, *size)],
        _ => vec![item],
    })
}

/// The same path in the line of a size; black is what every printer has.
fn restyled(item: Item, size: usize) -> Item {
    let Shape::Path(shape) = &item.shape else { return item };
    let stroke = Stroke { colour: Colour::BLACK, opacity: 1.0, style: pattern(size) };
    let shape = crate::drawing::PathShape { stroke: Some(stroke), ..shape.clone() };
    item.repainted(shape)
}

fn items_of(drawing: &Drawing, size: usize) -> impl Iterator<Item = &Item> {
    let of_size = move |layer: usize| drawing.layers.get(layer).is_some_and(|layer| layer.role == Role::Size(size));
    drawing.pieces.iter().filter(move |piece| of_size(piece.layer)).flat_map(|piece| &piece.items)
}

/// The stroke of a line and its path, if the item is a line long enough to cut along.
fn line(item: &Item) -> Option<(&Stroke, &BezPath)> {
    let Shape::Path(shape) = &item.shape else { return None };
    let filled = shape.fill.is_some_and(|fill| fill.colour != Colour::WHITE);
    let stroke = shape.stroke.as_ref().filter(|stroke| stroke.colour != Colour::WHITE)?;
    let long = shape.path.subpaths().any(|part| extent(ends(part)) >= SMALL_MM || extent(part.bounding_box()) >= SMALL_MM);
    (long && !filled && item.letter.is_none()).then_some((stroke, &shape.path))
}

/// The box around the ends of a part's segments, which is found at once and lies in that of the part.
fn ends(part: &[PathEl]) -> Rect {
    let ends = part.iter().filter_map(PathEl::end_point).map(|end| Rect::from_points(end, end));
    ends.reduce(|all, end| all.union(end)).unwrap_or_default()
}

/// The longer side of a box.
fn extent(bounds: Rect) -> f64 {
    bounds.width().max(bounds.height())
}

fn alike(one: &Stroke, other: &Stroke) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= ALIKE_MM;
    let (a, b) = (&one.style, &other.style);
    one.colour == other.colour
        && near(a.width, b.width)
        && a.dash_pattern.len() == b.dash_pattern.len()
        && a.dash_pattern.iter().zip(&b.dash_pattern).all(|(a, b)| near(*a, *b))
}
