//! Control measurements: lengths that the publisher promises, taken from the file's own numbers in f64.

use super::model::{Item, Measured, Piece, Shape};
use super::outline::Outline;
use super::request::Request;
use super::shape::{Immeasurable, Shapes};
use crate::diagnostic::{Diagnostic, Findings, Place, nearest};
use crate::manifest::{Control, ControlTarget, Extent};
use crate::units::{Length, Point};
use kurbo::{BezPath, PathEl, PathSeg, Rect, Shape as _};

/// Accuracy of lengths along curves, in mm.
const ACCURACY: f64 = 1e-6;
/// How near a line must end to a point that the manifest names, in mm.
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
    /// Promised and measured length and tolerance in mm, of all that could be measured.
    pub fn pairs(&self, request: &Request) -> Vec<(f64, f64, f64)> {
        let both = request.controls.iter().zip(&self.measured);
        let mm = |(control, measured): (&Control, &Option<Measured>)| {
            Some((control.length.to_mm(), measured.as_ref()?.length.to_mm(), control.tolerance.to_mm()))
        };
        both.filter_map(mm).collect()
    }
}

/// Takes all measurements.
pub fn controls(shapes: &Shapes, pieces: &[Piece], request: &Request, findings: &mut Findings) -> Taken {
    let mut taken = Taken::default();
    for (i, control) in request.controls.iter().enumerate() {
        let place = |key: &str| request.place(&format!("control-measurements[{i}].{key}"));
        let measured = match &control.target {
            ControlTarget::Points(from, to) => points(control, *from, *to, pieces, place("from")),
            ControlTarget::Element(name, extent) => element(control, name, *extent, shapes, place("element")),
        };
        let measured = findings.take(measured);
        taken.off.extend(measured.as_ref().and_then(|measured| off(control, measured, place("length"))));
        taken.measured.push(measured);
    }
    taken
}

/// The finding for a length that is not as promised.
fn off(control: &Control, measured: &Measured, place: Place) -> Option<Diagnostic> {
    let difference = measured.length - control.length;
    if difference.abs() <= control.tolerance {
        return None;
    }
    let word = if difference > Length::ZERO { "long" } else { "short" };
    Some(
        error!(
            "control-off",
            name = control.name,
            length = format_args!("{:.3}", measured.length.to_mm()),
            control = control.length,
            difference = format_args!("{:.3}", difference.abs().to_mm()),
            word
        )
        .at(place),
    )
}

/// Distance of the two line ends or corners that lie nearest to two points of the drawing.
fn points(control: &Control, from: Point, to: Point, pieces: &[Piece], place: Place) -> Result<Measured, Diagnostic> {
    let find = |point: Point| {
        let wanted = point.to_kurbo_mm();
        let reach = Rect::from_center_size(wanted, (2.0 * NEAR, 2.0 * NEAR));
        let near = pieces.iter().flat_map(|piece| &piece.items).filter(|item| meets(item.bounds, reach));
        let vertex = near.flat_map(vertices).min_by(|a, b| a.distance(wanted).total_cmp(&b.distance(wanted)));
        vertex
            .filter(|vertex| vertex.distance(wanted) <= NEAR)
            .ok_or_else(|| error!("control-element", x = point.x, y = point.y, name = control.name).at(place.clone()))
    };
    let (a, b) = (find(from)?, find(to)?);
    Ok(straight(a, b))
}

fn meets(one: Rect, other: Rect) -> bool {
    one.x0 <= other.x1 && other.x0 <= one.x1 && one.y0 <= other.y1 && other.y0 <= one.y1
}

fn straight(a: kurbo::Point, b: kurbo::Point) -> Measured {
    let point = |p: kurbo::Point| Point::new(Length::mm(p.x), Length::mm(p.y));
    Measured { length: Length::mm(a.distance(b)), ends: Some((point(a), point(b))) }
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

/// A length, width or height of a named element.
fn element(control: &Control, name: &str, extent: Extent, shapes: &Shapes, place: Place) -> Result<Measured, Diagnostic> {
    let outline = shapes.outline;
    let element = find(outline, name, &place)?;
    let parts: Vec<usize> =
        outline.inside(element).filter(|e| outline.elements.get(*e).is_some_and(|e| e.is_graphic())).collect();
    let fault = |Immeasurable(why)| error!("control-element/unfit", name, control = control.name, why).at(place.clone());
    // One part that cannot be measured spoils the whole: a width without it would be wrong.
    let paths: Vec<BezPath> = parts.iter().map(|part| shapes.on_paper(*part)).collect::<Result<_, _>>().map_err(fault)?;
    match (extent, paths.as_slice()) {
        (_, []) => Err(fault(Immeasurable(words!("holds-no-shape")))),
        (Extent::Length, [path]) => Ok(along(path)),
        (Extent::Length, _) => Err(fault(Immeasurable(words!("holds-several-lines")))),
        (Extent::Width | Extent::Height, paths) => Ok(across(paths, extent == Extent::Width)),
    }
}

/// The one element of a name, which must not lie in store.
fn find(outline: &Outline, name: &str, place: &Place) -> Result<usize, Diagnostic> {
    let stored = |e: usize| outline.ancestors(e).any(|e| outline.elements.get(e).is_none_or(|e| e.is_store()));
    let called = outline.elements.iter().enumerate().filter(|(_, e)| e.is_called(name));
    let called: Vec<usize> = called.map(|(number, _)| number).filter(|number| !stored(*number)).collect();
    match called.as_slice() {
        [only] => Ok(*only),
        [] => {
            let names: Vec<String> = outline
                .elements
                .iter()
                .filter(|e| !e.is_store())
                .filter_map(|e| Some(e.visible_name()?.into_owned()))
                .collect();
            let finding = error!("control-element/unknown", name).at(place.clone());
            Err(match nearest(name, names.iter().map(String::as_str)) {
                Some(near) => finding.hint(say!("control-element/near", near)),
                None => finding.hint(words!("control-element/name-it")),
            })
        }
        several => Err(error!("control-element/several", count = several.len(), name).at(place.clone())),
    }
}

/// The length along a path, with its ends if it is one straight line.
fn along(path: &BezPath) -> Measured {
    let segments: Vec<PathSeg> = path.segments().collect();
    match segments.as_slice() {
        [PathSeg::Line(line)] => straight(line.p0, line.p1),
        _ => Measured { length: Length::mm(path.perimeter(ACCURACY)), ends: None },
    }
}

/// Width or height of some paths, with ends if two corners lie level at that distance.
fn across(paths: &[BezPath], width: bool) -> Measured {
    let boxes = paths.iter().map(|path| path.bounding_box()).reduce(|a, b| a.union(b)).unwrap_or_default();
    let (low, high) = if width { (boxes.x0, boxes.x1) } else { (boxes.y0, boxes.y1) };
    let along = |p: kurbo::Point| if width { p.x } else { p.y };
    let aside = |p: kurbo::Point| if width { p.y } else { p.x };
    let vertices: Vec<kurbo::Point> = paths.iter().flat_map(ends_of).collect();
    let at = |side: f64| vertices.iter().filter(move |p| (along(**p) - side).abs() < ACCURACY);
    // The ends must lie level, else the distance between them would not be the width.
    let pair =
        at(low).take(100).find_map(|a| Some((*a, *at(high).take(100).find(|b| (aside(*a) - aside(**b)).abs() < ACCURACY)?)));
    let ends = pair.and_then(|(a, b)| straight(a, b).ends);
    Measured { length: Length::mm(high - low), ends }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::trial::{drawing, told};
    use crate::drawing::{Drawing, read};

    fn control(target: ControlTarget, length: f64) -> Control {
        Control { name: "body".into(), target, length: Length::mm(length), tolerance: Length::mm(0.05) }
    }

    fn measured(text: &str, target: ControlTarget, length: f64) -> (Option<Drawing>, Findings) {
        let request = Request { controls: vec![control(target, length)], ..Request::plain("a.svg") };
        read(text.as_bytes(), &request, &())
    }

    fn length_of(body: &str, extent: Extent) -> f64 {
        let (drawing, _) = measured(&drawing(body), ControlTarget::Element("c".into(), extent), 1.0);
        drawing.unwrap().controls[0].unwrap().length.to_mm()
    }

    #[test]
    fn lengths_along_curves_are_those_of_geometry() {
        // Circumference 2 pi r; quarter arc of radius 10; parabola y = x^2 from 0 to 1 has (sqrt 5 + asinh(2) / 2) / 2.
        let pi = std::f64::consts::PI;
        let parabola = (5f64.sqrt() + 2f64.asinh() / 2.0) / 2.0;
        let cases = [
            ("<line id=\"c\" x1=\"10\" y1=\"10\" x2=\"40\" y2=\"50\" stroke=\"red\"/>", 50.0),
            ("<circle id=\"c\" cx=\"50\" cy=\"50\" r=\"20\"/>", 40.0 * pi),
            ("<path id=\"c\" d=\"M10 0A10 10 0 0 1 20 10\"/>", 5.0 * pi),
            ("<path id=\"c\" d=\"M0 0Q.5 0 1 1\"/>", parabola),
            ("<path id=\"c\" d=\"M0 0h10v10h-10z\"/>", 40.0),
            ("<path id=\"c\" d=\"M0 0h10v10zl3 4\"/>", 25.0 + 200f64.sqrt() - 0.0),
            ("<polyline id=\"c\" points=\"0,0 3,4 3,14\" stroke=\"red\"/>", 15.0),
            ("<rect id=\"c\" width=\"30\" height=\"20\" rx=\"5\"/>", 2.0 * 20.0 + 2.0 * 10.0 + 10.0 * pi),
            (
                "<g transform=\"translate(5 5)\"><g transform=\"scale(2)\"><path id=\"c\" transform=\"rotate(30)\" d=\"M0 0h10\"/></g></g>",
                20.0,
            ),
            ("<svg x=\"10\" width=\"50\" height=\"50\" viewBox=\"0 0 10 10\"><path id=\"c\" d=\"M0 0h4\"/></svg>", 20.0),
        ];
        for (body, expected) in cases {
            let found = length_of(&format!("{body}<path d=\"M0 0h9\" stroke=\"red\"/>"), Extent::Length);
            assert!((found - expected).abs() < 1e-5, "{body}: {found} for {expected}");
        }
    }

    #[test]
    fn width_and_height_leave_out_the_stroke() {
        let body = "<g id=\"c\"><rect x=\"10\" y=\"20\" width=\"30\" height=\"5\" stroke=\"red\" stroke-width=\"4\"/><circle cx=\"60\" cy=\"60\" r=\"8\"/></g>";
        assert!((length_of(body, Extent::Width) - 58.0).abs() < 1e-5);
        assert!((length_of(body, Extent::Height) - 48.0).abs() < 1e-5);
        let text = drawing("<rect id=\"c\" x=\"10\" y=\"20\" width=\"30\" height=\"5\"/>");
        let (drawing, findings) = measured(&text, ControlTarget::Element("c".into(), Extent::Width), 30.0);
        assert!(findings.is_empty(), "{findings:?}");
        let ends = drawing.unwrap().controls[0].unwrap().ends.unwrap();
        assert!((ends.0.to_kurbo_mm() - kurbo::Point::new(10.0, 20.0)).hypot() < 1e-9);
        assert!((ends.1.to_kurbo_mm() - kurbo::Point::new(40.0, 20.0)).hypot() < 1e-9);
    }

    #[test]
    fn a_broken_promise_says_by_how_much() {
        let text = drawing("<path id=\"c\" d=\"M0 0h41.9\" stroke=\"red\"/>");
        let (_, findings) = measured(&text, ControlTarget::Element("c".into(), Extent::Length), 42.0);
        let finding = findings.iter().next().unwrap();
        assert_eq!(finding.code, "control-off");
        assert!(finding.message.contains("41.900 mm") && finding.message.contains("0.100 mm too short"), "{}", finding.message);
        // In f64: an offset of a million units does not hurt, though the SVG library would lose a sixteenth of a unit.
        let far = drawing(
            "<path d=\"M0 0h9\" stroke=\"red\"/><g transform=\"translate(-1000000)\"><path id=\"c\" d=\"M1000000.01 0h42.03\" stroke=\"red\"/></g>",
        );
        let (drawing, _) = measured(&far, ControlTarget::Element("c".into(), Extent::Length), 42.0);
        assert!((drawing.unwrap().controls[0].unwrap().length.to_mm() - 42.03).abs() < 1e-6);
    }

    #[test]
    fn points_are_taken_at_line_ends_nearby() {
        let text = drawing("<path d=\"M10 10h30.02v5\" stroke=\"red\"/>");
        let points = |x: f64| {
            let at = |x: f64| Point::new(Length::mm(x), Length::mm(10.0));
            ControlTarget::Points(at(10.0), at(x))
        };
        let (drawing, findings) = measured(&text, points(40.0), 30.0);
        assert!(findings.is_empty(), "{findings:?}");
        assert!((drawing.unwrap().controls[0].unwrap().length.to_mm() - 30.02).abs() < 1e-4);
        assert_eq!(told(&measured(&text, points(45.0), 35.0).1), [("control-element", 0, 0)]);
        assert_eq!(told(&measured(&text, points(40.0), 30.2).1), [("control-off", 0, 0)]);
    }

    #[test]
    fn what_cannot_be_measured_is_told() {
        let line = "<path d=\"M0 0h9\" stroke=\"red\"/>";
        let cases = [
            "<text id=\"c\">a</text>",
            "<g id=\"c\"/>",
            "<g id=\"c\"><path d=\"M0 0h1\"/><path d=\"M0 0h1\"/></g>",
            "<path data-name=\"c\" d=\"M0 0h1\"/><path data-name=\"c\" d=\"M0 0h1\"/>",
            "<path id=\"C\" d=\"M0 0h1\"/>",
            "<rect id=\"c\" width=\"10%\" height=\"5\"/>",
            "<defs><path id=\"c\" d=\"M0 0h1\"/></defs><use href=\"#c\"/>",
        ];
        for body in cases {
            let (drawing, findings) =
                measured(&drawing(&format!("{line}{body}")), ControlTarget::Element("c".into(), Extent::Length), 1.0);
            assert_eq!(told(&findings), [("control-element", 0, 0)], "{body}");
            assert_eq!(drawing.unwrap().controls, [None]);
        }
    }

    #[test]
    fn a_wrong_scale_is_told_instead_of_wrong_lengths() {
        // 28.35 units for 10 mm: how an editor that counts 72 an inch writes it.
        let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500\" height=\"500\"><path id=\"c\" d=\"M0 0h283.4646\" stroke=\"red\"/></svg>";
        let (_, findings) = measured(text, ControlTarget::Element("c".into(), Extent::Length), 100.0);
        assert_eq!(told(&findings), [("scale-suspect", 1, 1)]);
        assert!(findings.iter().next().unwrap().hints[0].contains("units-per-inch: 72"));
        let fits = text.replace("283.4646", "377.9528");
        assert_eq!(told(&measured(&fits, ControlTarget::Element("c".into(), Extent::Length), 100.0).1), []);
    }
}
