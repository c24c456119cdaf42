//! Clip paths of the SVG library as clip paths on paper.

use super::model::Clip;
use kurbo::{Affine, BezPath, PathEl, Rect, Shape};
use std::sync::Arc;
use usvg::{ClipPath, FillRule, Group, Node, Transform};

/// Why a clip path cannot be kept as it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooMixed;

/// A transform of the SVG library in f64.
pub fn affine(t: Transform) -> Affine {
    Affine::new([t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from))
}

/// A path of the SVG library in f64.
pub fn bez_path(path: &usvg::tiny_skia_path::Path) -> BezPath {
    use usvg::tiny_skia_path::PathSegment as S;
    let at = |p: usvg::tiny_skia_path::Point| kurbo::Point::new(f64::from(p.x), f64::from(p.y));
    let elements = path.segments().map(|segment| match segment {
        S::MoveTo(p) => PathEl::MoveTo(at(p)),
        S::LineTo(p) => PathEl::LineTo(at(p)),
        S::QuadTo(a, p) => PathEl::QuadTo(at(a), at(p)),
        S::CubicTo(a, b, p) => PathEl::CurveTo(at(a), at(b), at(p)),
        S::Close => PathEl::ClosePath,
    });
    elements.collect()
}

/// Gives the geometry of a path in its own units.
pub type Local<'a> = &'a dyn Fn(&usvg::Path) -> BezPath;

/// All clips that one clip path stands for; they apply together.
pub fn clips(clip: &ClipPath, to_paper: Affine, local: Local) -> Result<Vec<Arc<Clip>>, TooMixed> {
    let mut shapes = Vec::new();
    let mut more = Vec::new();
    shapes_of(clip.root(), to_paper * affine(clip.transform()), &mut shapes, &mut more, local)?;
    // A clip on one of several shapes cuts that shape alone, which clips in a row cannot say.
    if !more.is_empty() && shapes.len() > 1 {
        return Err(TooMixed);
    }
    let mut all = vec![Arc::new(united(shapes)?)];
    all.extend(more);
    if let Some(inner) = clip.clip_path() {
        all.extend(clips(inner, to_paper, local)?);
    }
    Ok(all)
}

fn shapes_of(
    group: &Group,
    to_paper: Affine,
    shapes: &mut Vec<Clip>,
    more: &mut Vec<Arc<Clip>>,
    local: Local,
) -> Result<(), TooMixed> {
    for node in group.children() {
        match node {
            Node::Group(inner) => {
                let to_paper = to_paper * affine(inner.transform());
                if let Some(clip) = inner.clip_path() {
                    more.extend(clips(clip, to_paper, local)?);
                }
                shapes_of(inner, to_paper, shapes, more, local)?;
            }
            Node::Path(path) if path.is_visible() => {
                let even_odd = path.fill().is_some_and(|fill| fill.rule() == FillRule::EvenOdd);
                shapes.push(Clip { path: to_paper * local(path), even_odd });
            }
            Node::Text(text) => shapes_of(text.flattened(), to_paper, shapes, more, local)?,
            Node::Path(_) | Node::Image(_) => {}
        }
    }
    Ok(())
}

/// One outline for several shapes that do not touch; where they overlap, their rules could cancel each other.
fn united(shapes: Vec<Clip>) -> Result<Clip, TooMixed> {
    let boxes: Vec<Rect> = shapes.iter().map(|clip| clip.path.bounding_box()).collect();
    let overlaps = |(i, one): (usize, &Rect)| boxes.iter().skip(i + 1).any(|other| one.overlaps(*other));
    let even_odd = shapes.first().is_some_and(|clip| clip.even_odd);
    let alike = shapes.iter().all(|clip| clip.even_odd == even_odd);
    if shapes.len() > 1 && (!alike || shapes.len() > 2_000 || boxes.iter().enumerate().any(overlaps)) {
        return Err(TooMixed);
    }
    let path = shapes.into_iter().flat_map(|clip| clip.path.into_elements()).collect();
    Ok(Clip { path, even_odd })
}

/// The upright rectangle that a clip is, if it is one.
pub fn rectangle(clip: &Clip) -> Option<Rect> {
    // Written back to its start or not, a rectangle has four corners.
    let mut corners = Vec::new();
    for element in clip.path.elements() {
        match element {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => corners.push(*p),
            PathEl::ClosePath => {}
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => return None,
        }
    }
    if corners.len() == 5 && corners.first() == corners.last() {
        corners.pop();
    }
    let [a, b, c, d] = corners.as_slice() else { return None };
    let near = |x: f64, y: f64| (x - y).abs() < 1e-9;
    let across = near(a.y, b.y) && near(b.x, c.x) && near(c.y, d.y) && near(d.x, a.x);
    let down = near(a.x, b.x) && near(b.y, c.y) && near(c.x, d.x) && near(d.y, a.y);
    (across || down).then(|| Rect::from_points(*a, *c))
}
