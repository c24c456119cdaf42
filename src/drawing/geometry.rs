//! The shapes' own geometry in f64. The SVG library works in f32 and turns circles and arcs into curves that are off by up
//! to a quarter of a unit, so what it gives is replaced wherever it still says which element it came from.

use super::cores;
use super::outline::{Element, Outline};
use super::scale::Scale;
use super::shape::{Immeasurable, Shapes};
use super::source::Source;
use super::uses::Reach;
use crate::diagnostic::Findings;
use kurbo::BezPath;

/// How far a round shape may be off its curve on paper, in mm, before transforms inside the drawing.
const OFF: f64 = 1e-5;

/// Shapes in their own units, by element.
#[derive(Debug, Default)]
pub struct Geometry(Vec<Option<BezPath>>);

impl Geometry {
    /// The shape of an element, before all transforms.
    pub fn of(&self, element: usize) -> Option<&BezPath> {
        self.0.get(element)?.as_ref()
    }
}

/// Reads the shapes of all elements that matter.
pub fn geometry(source: &Source, outline: &Outline, scale: &Scale, reach: &Reach, findings: &mut Findings) -> Geometry {
    let shapes = Shapes { outline, to_paper: scale.to_paper, per_inch: scale.per_inch, off: OFF / scale.unit() };
    let read = |number: usize, element: &Element| {
        let mut findings = Vec::new();
        if !element.is_shape() || !reach.matters(number) {
            return (None, findings);
        }
        let shape = shapes.local(number, element.tag);
        if let (Err(Immeasurable(why)), true) = (&shape, is_round(element)) {
            let place = source.place(element.start).element(outline.name_of(number));
            findings.push(error!("unsupported-unit", why).at(place));
        }
        if is_round(element) && reach.is_shared(number) && outline.sheets.iter().any(|sheet| sheet.contains(element.tag)) {
            let place = source.place(element.start).element(outline.name_of(number));
            findings.push(error!("unsupported-clone", tag = element.tag).at(place));
        }
        (shape.ok().filter(|path| !path.is_empty()), findings)
    };
    let (shapes, told): (Vec<_>, Vec<_>) = cores::map(&outline.elements, read).into_iter().unzip();
    findings.extend(told.into_iter().flatten());
    Geometry(shapes)
}

/// Whether a basic shape is, or has, arcs.
pub fn is_round(element: &Element) -> bool {
    let rounded = || element.attributes().any(|(key, _)| matches!(key, "rx" | "ry"));
    matches!(element.tag, "circle" | "ellipse") || element.tag == "rect" && rounded()
}
