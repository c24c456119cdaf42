//! Control measurements: lengths that the publisher promises, taken from the file's own numbers in f64.

mod edge;
mod find;
mod notch;
mod sides;
#[cfg(test)]
mod tests;

use super::layers::Layers;
use super::model::{Item, Measured, Piece, Role, Shape, Trace, TraceKind};
use super::request::Request;
use super::shape::Shapes;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::manifest::{Control, ControlTarget};
use crate::units::{Length, Point};
use kurbo::{BezPath, PathEl, Rect};

/// Accuracy of lengths along curves, in mm.
const ACCURACY: f64 = 1e-6;
/// How near a line must lie to a point or notch that the manifest names, in mm.
const NEAR: f64 = 1.0;

/// A measurement with what was promised, for all that could be taken.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// In the manifest's order; `None` where nothing could be measured.
    pub measured: Vec<Option<Measured>>,
    /// What is off, to be told unless the whole scale is.
    pub off: Vec<Diagnostic>,
}

impl Taken {
    /// Promised and measured length and tolerance in mm, of all that could be measured. Pairs are left out: they say
    /// nothing about the scale.
    pub fn pairs(&self, request: &Request) -> Vec<(f64, f64, f64)> {
        let both = request.controls.iter().zip(&self.measured);
        let lengths = both.filter(|(control, _)| !matches!(control.target, ControlTarget::Pair(..)));
        let mm = |(control, measured): (&Control, &Option<Measured>)| {
            Some((control.length.to_mm(), measured.as_ref()?.length.to_mm(), control.tolerance.to_mm()))
        };
        lengths.filter_map(mm).collect()
    }
}

/// What measurements are taken from.
pub struct Ground<'a> {
    /// The drawing's shapes.
    pub shapes: &'a Shapes<'a>,
    /// Which element is on which layer.
    pub layers: &'a Layers,
    /// Everything printed.
    pub pieces: &'a [Piece],
    /// How many sizes the kit has.
    pub sizes: usize,
}

impl Ground<'_> {
    /// The sizes whose buyers get what lies on a printed layer.
    fn sizes_of(&self, layer: usize) -> Vec<usize> {
        match self.layers.list.get(layer).map(|layer| layer.role) {
            Some(Role::Size(size)) => vec![size],
            _ => (0..self.sizes).collect(),
        }
    }
}

/// Takes all measurements.
pub fn controls(ground: &Ground, request: &Request, findings: &mut Findings) -> Taken {
    let mut taken = Taken::default();
    for control in &request.controls {
        let place = |key: &str| request.place(&format!("{}.{key}", control.entry));
        let measured = match &control.target {
            ControlTarget::Points(from, to) => points(control, *from, *to, ground, place("from")),
            ControlTarget::Side(side) => sides::one(control, side, ground, &place("element")),
            ControlTarget::Pair(one, others) => {
                sides::pair(control, one, others, ground, (&place("element"), &place("equals")))
            }
        };
        let measured = findings.take(measured);
        taken.off.extend(measured.as_ref().and_then(|measured| off(control, measured, request)));
        taken.measured.push(measured);
    }
    taken
}

/// The finding for a length that is not as promised.
fn off(control: &Control, measured: &Measured, request: &Request) -> Option<Diagnostic> {
    let difference = measured.length - control.length;
    if difference.abs() <= control.tolerance {
        return None;
    }
    let (name, by) = (&control.name, difference.abs().to_mm());
    let word = |long, short| if difference > Length::ZERO { long } else { short };
    if let ControlTarget::Pair(..) = control.target {
        let (word, within) = (word("long", "short"), control.tolerance);
        return Some(
            error!("control-off/off", name, by = format_args!("{:.3}", by), word, within)
                .at(request.place(&format!("{}.equals", control.entry))),
        );
    }
    let (word, found, promised) = (word("long", "short"), measured.length.to_mm(), control.length);
    Some(
        error!("control-off", name, found = format_args!("{:.3}", found), promised, by = format_args!("{:.3}", by), word)
            .at(place_of_promise(control, request)),
    )
}

/// Where the promised length stands: in one entry for all, or in the list by size.
fn place_of_promise(control: &Control, request: &Request) -> Place {
    let size = control.size.and_then(|size| request.sizes.get(size));
    let listed = size.map(|size| format!("{}.lengths.{}", control.entry, size.name));
    let key = listed.filter(|path| request.places.has(path)).unwrap_or_else(|| format!("{}.length", control.entry));
    request.place(&key)
}

/// Distance of the two line ends or corners that lie nearest to two points of the drawing.
fn points(control: &Control, from: Point, to: Point, ground: &Ground, place: Place) -> Result<Measured, Diagnostic> {
    let find = |point: Point| {
        let wanted = point.to_kurbo_mm();
        let reach = Rect::from_center_size(wanted, (2.0 * NEAR, 2.0 * NEAR));
        let items = ground.pieces.iter().flat_map(|piece| piece.items.iter().map(|item| (piece.layer, item)));
        let near = items.filter(|(_, item)| item.bounds.overlaps(reach));
        let ends = near.flat_map(|(layer, item)| vertices(item).into_iter().map(move |vertex| (layer, vertex)));
        let vertex = ends.min_by(|(_, a), (_, b)| a.distance(wanted).total_cmp(&b.distance(wanted)));
        vertex
            .filter(|(_, vertex)| vertex.distance(wanted) <= NEAR)
            .ok_or_else(|| error!("control-element", x = point.x, y = point.y, name = control.name).at(place.clone()))
    };
    let ((layer, a), (other, b)) = (find(from)?, find(to)?);
    let sizes = common(ground.sizes_of(layer), &ground.sizes_of(other));
    Ok(Measured { length: Length::mm(a.distance(b)), traces: vec![straight(a, b)], sizes })
}

/// What both lists hold.
fn common(mut one: Vec<usize>, other: &[usize]) -> Vec<usize> {
    one.retain(|size| other.contains(size));
    one
}

fn straight(a: kurbo::Point, b: kurbo::Point) -> Trace {
    Trace { minus: false, kind: TraceKind::Straight, points: vec![point(a), point(b)] }
}

fn point(p: kurbo::Point) -> Point {
    Point::new(Length::mm(p.x), Length::mm(p.y))
}

fn vertices(item: &Item) -> Vec<kurbo::Point> {
    match &item.shape {
        Shape::Path(shape) => ends_of(&shape.path),
        Shape::Image(_) => Vec::new(),
    }
}

fn ends_of(path: &BezPath) -> Vec<kurbo::Point> {
    path.elements().iter().filter_map(PathEl::end_point).collect()
}
