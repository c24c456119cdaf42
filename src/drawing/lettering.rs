//! Lettering: where each of a drawing's words lies on paper, and how long it may become before it meets other ink.

use super::clips::{affine, bez_path};
use super::model::{Drawing, Item, Lettering, Shape};
use crate::diagnostic::Place;
use kurbo::{Affine, BezPath, PathEl, PathSeg, Point, Rect, Shape as _};
use usvg::{Node, Text, TextAnchor};

/// How far flattened ink may stand off the curve, in mm.
const FLATNESS: f64 = 0.1;
/// Air between words and other ink, in mm (common practice, no published source).
const AIR: f64 = 1.0;

/// The words of a text element, each with its place.
pub fn of(text: &Text, to_paper: Affine, origin: &Place) -> Vec<Lettering> {
    let spans = text.chunks().iter().flat_map(|chunk| chunk.spans().iter().map(move |span| (chunk, span)));
    let said = spans.filter_map(|(chunk, span)| {
        let words = chunk.text().get(span.start()..span.end())?.split_whitespace().collect::<Vec<_>>().join(" ");
        (!words.is_empty()).then_some((words, chunk.anchor()))
    });
    let set = text.layouted().iter().filter_map(|span| {
        let glyph = span.positioned_glyphs.iter().find(|glyph| !glyph.text.trim().is_empty())?;
        let [across, down, ..] = (to_paper * affine(glyph.transform())).as_coeffs();
        Some(down.atan2(across))
    });
    let (said, angles): (Vec<_>, Vec<f64>) = (said.collect(), set.collect());
    let paths: Vec<BezPath> = text.flattened().children().iter().filter_map(|node| outline(node, to_paper)).collect();
    let all: BezPath = paths.iter().flat_map(|path| path.elements().iter().copied()).collect();
    let each = said.len() == paths.len() && said.len() == angles.len();
    let one = |(index, (text, anchor)): (usize, (String, TextAnchor))| {
        let path = if each { paths.get(index)? } else { &all };
        let angle = *angles.get(index).or(angles.first())?;
        let area = (Affine::rotate(-angle) * path).bounding_box();
        let (before, after) = match anchor {
            TextAnchor::Start => (false, true),
            TextAnchor::Middle => (true, true),
            TextAnchor::End => (true, false),
        };
        Some(Lettering { origin: origin.clone(), text, angle, area, grows: (before, after) })
    };
    said.into_iter().enumerate().filter_map(one).collect()
}

fn outline(node: &Node, to_paper: Affine) -> Option<BezPath> {
    let Node::Path(path) = node else { return None };
    Some(to_paper * bez_path(path.data()))
}

/// How long each of the drawing's words may become on paper, in mm: up to the nearest other ink, or the page's edge, on the
/// sides to which it grows. What is there already counts as fitting.
pub fn rooms(drawing: &Drawing) -> Vec<(&Lettering, f64)> {
    let items = drawing.pieces.iter().flat_map(|piece| &piece.items);
    let mut inked: Vec<(Option<&Place>, Edge)> =
        items.flat_map(|item| edges(item).map(|edge| (Some(&item.origin), edge))).collect();
    let page = Rect::new(0.0, 0.0, drawing.size.width.to_mm(), drawing.size.height.to_mm());
    inked.extend(flat(&page.to_path(FLATNESS)).map(|(from, to)| (None, Edge { from, to, half: 0.0 })));
    drawing.lettering.iter().map(|lettering| (lettering, room(lettering, &inked))).collect()
}

fn room(lettering: &Lettering, inked: &[(Option<&Place>, Edge)]) -> f64 {
    let level = Affine::rotate(-lettering.angle);
    let others = inked.iter().filter(|(origin, _)| *origin != Some(&lettering.origin));
    let area = lettering.area;
    let (mut before, mut after) = (f64::INFINITY, f64::INFINITY);
    for (from, to) in others.filter_map(|(_, edge)| edge.beside(level, area)) {
        if to > area.x1 {
            after = after.min((from - area.x1 - AIR).max(0.0));
        }
        if from < area.x0 {
            before = before.min((area.x0 - to - AIR).max(0.0));
        }
    }
    let growth = match lettering.grows {
        (true, true) => 2.0 * before.min(after),
        (true, false) => before,
        _ => after,
    };
    // Words outside the page have nothing beside them, and are not printed anyway.
    area.width() + if growth.is_finite() { growth } else { 0.0 }
}

/// A straight stretch of ink with half its width, in mm.
struct Edge {
    from: Point,
    to: Point,
    half: f64,
}

impl Edge {
    /// From where to where it lies beside an area, once everything is turned level; nothing if it passes above or below.
    fn beside(&self, level: Affine, area: Rect) -> Option<(f64, f64)> {
        let (a, b) = (level * self.from, level * self.to);
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        let (top, bottom) = (area.y0 - self.half, area.y1 + self.half);
        if b.y < top || a.y > bottom {
            return None;
        }
        let at = |y: f64| if b.y - a.y > 1e-9 { a.lerp(b, ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0)).x } else { a.x };
        let (one, other) = if b.y - a.y > 1e-9 { (at(top), at(bottom)) } else { (a.x, b.x) };
        Some((one.min(other) - self.half, one.max(other) + self.half))
    }
}

fn edges(item: &Item) -> impl Iterator<Item = Edge> {
    let (path, half) = match &item.shape {
        Shape::Path(shape) => (shape.path.clone(), shape.stroke.as_ref().map_or(0.0, |stroke| stroke.style.width / 2.0)),
        Shape::Image(image) => (image.placement * Rect::new(0.0, 0.0, 1.0, 1.0).to_path(FLATNESS), 0.0),
    };
    flat(&path).map(move |(from, to)| Edge { from, to, half }).collect::<Vec<_>>().into_iter()
}

fn flat(path: &BezPath) -> impl Iterator<Item = (Point, Point)> {
    let mut straight = BezPath::new();
    kurbo::flatten(path, FLATNESS, |element| match element {
        PathEl::MoveTo(point) => straight.move_to(point),
        PathEl::LineTo(point) => straight.line_to(point),
        _ => straight.close_path(),
    });
    let lines = straight.segments().filter_map(|segment| match segment {
        PathSeg::Line(line) => Some((line.p0, line.p1)),
        _ => None,
    });
    lines.collect::<Vec<_>>().into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Request, read};

    fn measured(body: &str) -> Vec<(String, f64, f64)> {
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 100\">{body}</svg>"
        );
        let (drawing, findings) = read(svg.as_bytes(), &Request::plain("a.svg"), &());
        let drawing = drawing.unwrap_or_else(|| panic!("{findings:?}"));
        rooms(&drawing).into_iter().map(|(it, room)| (it.text.clone(), it.area.width(), room)).collect()
    }

    const WALL: &str = "<path d=\"M100 0V100M20 0V100\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>";

    #[test]
    fn words_grow_to_the_ink_on_their_free_sides() {
        // Lines 2 mm wide at 20 and 100 mm, and a millimetre of air: from 22 to 98 mm.
        for (anchor, x, from_left) in [("start", 40.0, 58.0), ("end", 40.0, 18.0), ("middle", 40.0, 36.0)] {
            let text = format!("<text x=\"{x}\" y=\"50\" font-size=\"4\" text-anchor=\"{anchor}\">fold</text>");
            let list = measured(&format!("{WALL}{text}"));
            let (_, width, room) = list.first().unwrap();
            assert!((5.0..9.0).contains(width), "{width}");
            // Letters have air of their own at both ends, under a third of a millimetre here.
            assert!((room - from_left).abs() < 0.7, "{anchor}: {room}");
        }
    }

    #[test]
    fn words_that_stand_on_end_are_measured_along_their_line() {
        let wall = "<path d=\"M0 30H100\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>";
        let text = "<text font-size=\"4\" transform=\"translate(50 80) rotate(-90)\">fold</text>";
        let (_, _, room) = measured(&format!("{wall}{text}")).remove(0);
        assert!((room - 48.0).abs() < 0.7, "{room}");
    }

    #[test]
    fn spans_are_told_apart_and_ink_across_the_words_leaves_no_room() {
        let text = "<text x=\"30\" y=\"50\" font-size=\"4\">one<tspan x=\"30\" y=\"60\">and two</tspan></text>";
        let across = "<path d=\"M0 59H150\" fill=\"none\" stroke=\"#000\"/>";
        let list = measured(&format!("{text}{across}"));
        let names: Vec<&str> = list.iter().map(|(text, ..)| text.as_str()).collect();
        assert_eq!(names, ["one", "and two"]);
        assert!(list[0].2 > 150.0 && (list[1].2 - list[1].1).abs() < 1e-9, "{list:?}");
    }
}
