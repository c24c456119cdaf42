//! What is painted, brought to paper: a path with its line, or a picture.

use super::ink;
use super::model::{Fill, ImageShape, PathShape, Shape, Stroke};
use kurbo::{Affine, BezPath, Cap, Circle, PathEl, Point, Rect, Shape as _, StrokeOpts};
use std::borrow::Cow;

/// How far the outline of a stretched line may be off, in mm.
const OFF: f64 = 0.0005;

/// Something that is painted.
pub enum Painted<'a> {
    /// A path in its own units.
    Path {
        /// Its shape.
        local: Cow<'a, BezPath>,
        /// How it is filled.
        fill: Option<Fill>,
        /// Its line.
        stroke: Option<Stroke>,
        /// Whether the line lies beneath the fill.
        stroke_first: bool,
    },
    /// A picture on paper.
    Picture(ImageShape),
}

impl Painted<'_> {
    /// Its shapes on paper, each with the box around its ink.
    pub fn shapes(&self, to_paper: Affine) -> Vec<(Shape, Rect)> {
        match self {
            Self::Path { local, fill, stroke, stroke_first } => {
                let shapes = shapes(local, to_paper, *fill, stroke.clone(), *stroke_first).into_iter();
                let boxed = |shape: PathShape| {
                    let bounds = ink::bounds(&shape.path, shape.stroke.as_ref().map(|stroke| &stroke.style));
                    (Shape::Path(shape), bounds)
                };
                shapes.map(boxed).collect()
            }
            Self::Picture(picture) => {
                let bounds = picture.placement.transform_rect_bbox(Rect::new(0.0, 0.0, 1.0, 1.0));
                vec![(Shape::Image(picture.clone()), bounds)]
            }
        }
    }
}

/// What the ends of a line without length paint, as SVG has it (SVG 2, 13.5.4); PDF paints none of it but round ends, and readers
/// differ there (ISO 32000-1, 8.5.3.2). A line that has a length is none.
fn dot(local: &BezPath, line: &kurbo::Stroke, tolerance: f64) -> Option<BezPath> {
    let at = local.elements().first()?.end_point()?;
    local.iter().all(|element| stays(element, at)).then(|| match line.start_cap {
        Cap::Round => Circle::new(at, line.width / 2.0).to_path(tolerance),
        Cap::Square => Rect::from_center_size(at, (line.width, line.width)).to_path(tolerance),
        Cap::Butt => BezPath::new(),
    })
}

/// Whether an element of a path draws nothing but the point that it begins at.
fn stays(element: PathEl, at: Point) -> bool {
    match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => p == at,
        PathEl::QuadTo(a, p) => [a, p] == [at; 2],
        PathEl::CurveTo(a, b, p) => [a, b, p] == [at; 3],
        PathEl::ClosePath => true,
    }
}

/// A path on paper. A line that the transform stretches unevenly becomes the outline of itself, filled, and so does a dot.
fn shapes(local: &BezPath, to_paper: Affine, fill: Option<Fill>, stroke: Option<Stroke>, stroke_first: bool) -> Vec<PathShape> {
    let [a, b, c, d, ..] = to_paper.as_coeffs();
    let tolerance = OFF / a.hypot(b).max(c.hypot(d)).max(f64::MIN_POSITIVE);
    if let Some(Stroke { colour, opacity, style }) = &stroke
        && let Some(dot) = dot(local, style, tolerance)
    {
        let fill = Fill { colour: *colour, opacity: *opacity, even_odd: false };
        let dot = PathShape { path: to_paper * dot, fill: Some(fill), stroke: None, stroke_first };
        return Some(dot).filter(|dot| !dot.path.is_empty()).into_iter().collect();
    }
    let plain = |fill, stroke| PathShape { path: to_paper * local, fill, stroke, stroke_first };
    match (stroke, ink::similarity(to_paper)) {
        (None, _) if fill.is_none() => Vec::new(),
        (None, _) => vec![plain(fill, None)],
        (Some(mut stroke), Some(factor)) => {
            scale_line(&mut stroke.style, factor);
            vec![plain(fill, Some(stroke))]
        }
        // A PDF line has one width, so a stretched one can only be kept as its outline.
        (Some(stroke), None) => {
            let outline = to_paper * kurbo::stroke(local, &stroke.style, &StrokeOpts::default(), tolerance);
            let line = Fill { colour: stroke.colour, opacity: stroke.opacity, even_odd: false };
            let line = PathShape { path: outline, fill: Some(line), stroke: None, stroke_first };
            match (fill, stroke_first) {
                (None, _) => vec![line],
                (fill, true) => vec![line, plain(fill, None)],
                (fill, false) => vec![plain(fill, None), line],
            }
        }
    }
}

fn scale_line(style: &mut kurbo::Stroke, factor: f64) {
    style.width *= factor;
    style.dash_offset *= factor;
    style.dash_pattern.iter_mut().for_each(|dash| *dash *= factor);
}
