//! The wide SVG: its drawing read as plain paths and laid over the drawing of the wide PDF.

use super::archive::Files;
use super::mark::{Mark, Part, Pen, is_near};
use super::promises::{Paper, Press, point};
use super::sheets::{OFF, Reference, placed};
use super::verdict::{Check, Figure, Verdict, exact};
use crate::diagnostic::counted;
use crate::units::Length;
use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

/// Where the drawing ends and the frame begins.
const DRAWING: &str = "drawing";
/// Room around everything, in mm: an SVG shows all that it holds.
const EVERYWHERE: Rect = Rect::new(-1e9, -1e9, 1e9, 1e9);

/// Compares the SVG beside a paper's own PDF, if there is one.
pub(super) fn check(paper: &Paper, files: &Files, reference: &Reference<'_>, verdict: &mut Verdict) {
    let own = paper.press == Press::Wide && paper.variant.is_none() && !paper.one_of_many_sizes;
    let name = paper.file.strip_suffix(".pdf").filter(|_| own).map(|stem| format!("{stem}.svg"));
    let Some((name, bytes)) = name.and_then(|name| files.get(&name).map(|bytes| (name, bytes))) else { return };
    let unreadable = |why: String| error!("svg-unreadable", why).at(verdict.place(&name));
    let read = std::str::from_utf8(bytes).map_err(|_| words!("is-not-utf-8").to_owned()).and_then(marks);
    let Some(marks) = verdict.take(Check::Sheets, read.map_err(unreadable)) else { return };
    let to_drawing = point(paper.origin_mm) - paper.tile().origin();
    let marks: Vec<Mark> = marks.iter().map(|mark| mark.moved(to_drawing)).collect();
    judge(&name, paper, &marks, reference, verdict);
}

fn judge(name: &str, paper: &Paper, marks: &[Mark], reference: &Reference<'_>, verdict: &mut Verdict) {
    let (seen, extra) = reference.find(marks);
    let farthest = seen.iter().flatten().copied().fold(0.0, f64::max);
    let (check, measured, tolerance) = (Check::Sheets, Length::mm(farthest), Length::mm(OFF));
    let (what, fine) = (say!("distance-from", file = reference.file()), farthest <= OFF);
    let figure = Figure { check, file: name.into(), page: None, what, promised: Length::ZERO, measured, tolerance, fine };
    verdict.figures.push(figure);
    let file = reference.file();
    let moved = (!fine).then(|| error!("ink-moved/svg", measured = exact(measured), file));
    let lost: Vec<Point> = reference.lost(paper, &seen);
    let lost = first(&lost).map(|(lines, at)| error!("ink-missing/svg", lines, file, at));
    // Names of sizes are areas, too, and set anew for each file.
    let more: Vec<Point> = extra.iter().filter(|mark| mark.pen.width.is_some()).map(Mark::start).collect();
    let more = first(&more).map(|(lines, at)| error!("ink-extra/svg", lines, file, at));
    for finding in [moved, lost, more] {
        verdict.judge(check, finding.map_or(Ok(()), |finding| Err(finding.at(verdict.place(name)))));
    }
}

/// How many places there are, and the first of them, in words.
fn first(places: &[Point]) -> Option<(String, String)> {
    places.first().map(|at| (counted(places.len(), words!("line")), placed(*at)))
}

/// All painted paths inside the drawing's layer, in mm from the page's top left.
fn marks(text: &str) -> Result<Vec<Mark>, String> {
    let mut reader = Reader::from_str(text);
    let mut walk = Walk::default();
    loop {
        match reader.read_event().map_err(|error| error.to_string())? {
            Event::Eof => return Ok(walk.marks),
            Event::Start(tag) => {
                let open = walk.opened(&tag)?;
                walk.open.push(open);
            }
            Event::Empty(tag) => drop(walk.opened(&tag)?),
            Event::End(_) => drop(walk.open.pop()),
            _ => {}
        }
    }
}

/// What is open around the place that is being read.
#[derive(Clone, Copy, Default)]
struct Open {
    /// From user units to mm.
    to_mm: Affine,
    drawing: bool,
    stored: bool,
}

#[derive(Default)]
struct Walk {
    open: Vec<Open>,
    marks: Vec<Mark>,
}

impl Walk {
    fn opened(&mut self, tag: &BytesStart<'_>) -> Result<Open, String> {
        let mut open = self.open.last().copied().unwrap_or_default();
        let name = tag.local_name();
        if self.open.is_empty() {
            open.to_mm = scale(tag)?;
        }
        open.to_mm *= transform(tag)?;
        open.drawing |= attribute(tag, "id")?.as_deref() == Some(DRAWING);
        open.stored |= matches!(name.as_ref(), "defs" | "clipPath" | "symbol" | "mask" | "pattern");
        if name.as_ref() == "path" && open.drawing && !open.stored {
            self.marks.extend(painted(tag, open.to_mm)?);
        }
        Ok(open)
    }
}

/// From user units to mm, by the root's width and view box; both directions must agree.
fn scale(root: &BytesStart<'_>) -> Result<Affine, String> {
    let mm = |name: &str| -> Result<f64, String> {
        let text = attribute(root, name)?.unwrap_or_default();
        text.strip_suffix("mm").and_then(|number| number.parse().ok()).ok_or_else(|| say!("is-not-in-mm", name))
    };
    let (width, height) = (mm("width")?, mm("height")?);
    let text = attribute(root, "viewBox")?.unwrap_or_default();
    let view: Vec<f64> = text.split_ascii_whitespace().filter_map(|number| number.parse().ok()).collect();
    match view.as_slice() {
        [x, y, w, h] if *w > 0.0 && *h > 0.0 => {
            Ok(Affine::scale_non_uniform(width / w, height / h) * Affine::translate((-x, -y)))
        }
        _ => Err(words!("view-box-no-rectangle").into()),
    }
}

fn transform(tag: &BytesStart<'_>) -> Result<Affine, String> {
    let Some(text) = attribute(tag, "transform")? else { return Ok(Affine::IDENTITY) };
    let read: Result<svgtypes::Transform, _> = text.parse();
    read.map(|t| Affine::new([t.a, t.b, t.c, t.d, t.e, t.f])).map_err(|error| error.to_string())
}

fn attribute(tag: &BytesStart<'_>, name: &str) -> Result<Option<String>, String> {
    let found = tag.try_get_attribute(name).map_err(|error| error.to_string())?;
    found
        .map(|it| it.normalized_value(XmlVersion::Implicit1_0).map(String::from))
        .transpose()
        .map_err(|error| error.to_string())
}

/// The marks of a path: its inside, its line, or both.
fn painted(tag: &BytesStart<'_>, to_mm: Affine) -> Result<Vec<Mark>, String> {
    let data = attribute(tag, "d")?.unwrap_or_default();
    let path = BezPath::from_svg(&data).map_err(|error| error.to_string())?;
    if !is_near(&path, to_mm) {
        return Err(words!("path-reaches-too-far").into());
    }
    let path = to_mm * cubic(&path);
    let value = |name: &str| attribute(tag, name);
    let number = |name: &str| -> Result<f64, String> { Ok(value(name)?.and_then(|it| it.parse().ok()).unwrap_or(0.0)) };
    let by = to_mm.determinant().abs().sqrt();
    let mark = |pen: Pen| Mark { part: Part::Drawing, layer: None, path: path.clone(), pen, clip: EVERYWHERE };
    let mut marks = Vec::new();
    if value("fill")?.as_deref() != Some("none") {
        marks.push(mark(Pen { width: None, dashes: Vec::new(), colour: [0; 4] }));
    }
    if value("stroke")?.is_some_and(|paint| paint != "none") {
        let dashes = value("stroke-dasharray")?.unwrap_or_default();
        let mut dashes: Vec<f64> = dashes.split_ascii_whitespace().filter_map(|dash| dash.parse().ok()).collect();
        dashes.push(number("stroke-dashoffset")?);
        dashes.iter_mut().for_each(|dash| *dash *= by);
        marks.push(mark(Pen { width: Some(number("stroke-width")? * by), dashes, colour: [0; 4] }));
    }
    Ok(marks)
}

/// The same path with all curves cubic, as PDFs have them; degree elevation is exact.
fn cubic(path: &BezPath) -> BezPath {
    let mut last = Point::ORIGIN;
    let mut raised = BezPath::new();
    for element in path.elements() {
        raised.push(match *element {
            PathEl::QuadTo(c, p) => PathEl::CurveTo(last.lerp(c, 2.0 / 3.0), p.lerp(c, 2.0 / 3.0), p),
            element => element,
        });
        last = element.end_point().unwrap_or(last);
    }
    raised
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A page of 200 × 100 mm in units of 2 mm, whose top left is at (5, 10).
    fn read(inner: &str) -> Result<Vec<Mark>, String> {
        marks(&format!("<svg width=\"200mm\" height=\"100mm\" viewBox=\"5 10 100 50\"><g id=\"drawing\">{inner}</g></svg>"))
    }

    fn one(inner: &str) -> Mark {
        let mut all = read(inner).unwrap();
        assert_eq!(all.len(), 1, "{inner}");
        all.remove(0)
    }

    #[test]
    fn paths_are_read_in_millimetres_from_the_top_left() {
        let line = |transform: &str| {
            one(&format!("<path {transform} fill=\"none\" stroke=\"#000\" stroke-width=\".1\" d=\"M15 20h10\"/>"))
        };
        assert_eq!(line("").path, BezPath::from_svg("M20 20L40 20").unwrap());
        assert_eq!(line("").pen, Pen { width: Some(0.2), dashes: vec![0.0], colour: [0; 4] });
        let turned = line("transform=\"translate(10 0) scale(2)\"");
        assert_eq!((turned.path, turned.pen.width), (BezPath::from_svg("M70 60L110 60").unwrap(), Some(0.4)));
        // A quadratic curve is the cubic one whose handles are two thirds of the way (degree elevation).
        let bow = one("<path d=\"M5 10Q8 16 11 10\"/>");
        assert!(bow.off(&Mark { path: BezPath::from_svg("M0 0C4 8 8 8 12 0").unwrap(), ..bow.clone() }) < 1e-9);
        assert_eq!(bow.pen.width, None);
    }

    #[test]
    fn a_path_is_painted_as_its_attributes_say() {
        let kinds = |paint: &str| -> Vec<bool> {
            read(&format!("<path {paint} d=\"M5 10h9\"/>")).unwrap().iter().map(|mark| mark.pen.width.is_some()).collect()
        };
        assert_eq!(kinds("fill=\"#000\""), [false]);
        assert_eq!(kinds("fill=\"none\""), Vec::<bool>::new());
        assert_eq!(kinds("fill=\"none\" stroke=\"none\""), Vec::<bool>::new());
        assert_eq!(kinds("fill=\"none\" stroke=\"#000\""), [true]);
        assert_eq!(kinds("fill=\"#000\" stroke=\"#000\""), [false, true]);
        let dashed =
            one("<path fill=\"none\" stroke=\"#000\" stroke-dasharray=\"3 1\" stroke-dashoffset=\"2\" d=\"M5 10h9\"/>");
        assert_eq!(dashed.pen.dashes, [6.0, 2.0, 4.0]);
    }

    #[test]
    fn only_what_is_painted_in_the_drawings_layer_counts() {
        let path = "<path d=\"M5 10h9\"/>";
        for store in ["defs", "clipPath", "symbol", "mask", "pattern"] {
            assert!(read(&format!("<{store}>{path}</{store}>")).unwrap().is_empty(), "{store}");
        }
        assert_eq!(read(&format!("<g><g>{path}</g></g><use/>{path}")).unwrap().len(), 2);
        let svg =
            |inner: &str| marks(&format!("<svg width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\">{inner}</svg>")).unwrap().len();
        assert_eq!(svg(&format!("<g id=\"frame\">{path}</g><g id=\"drawing\">{path}</g>{path}")), 1);
    }

    #[test]
    fn a_page_that_does_not_say_how_large_it_is_cannot_be_read() {
        let page = |root: &str| marks(&format!("<svg {root}/>")).is_ok();
        assert!(page("width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 9\""));
        for root in [
            "width=\"9\" height=\"9mm\" viewBox=\"0 0 9 9\"",
            "width=\"9mm\" viewBox=\"0 0 9 9\"",
            "width=\"9mm\" height=\"9mm\"",
            "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9\"",
            "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 0 9\"",
            "width=\"9mm\" height=\"9mm\" viewBox=\"0 0 9 -9\"",
        ] {
            assert!(!page(root), "{root}");
        }
        assert!(read("<path d=\"M0 0H9e9\"/>").is_err() && read("<path d=\"M0 0 9\"/>").is_err());
        assert!(read("<path transform=\"turn(3)\" d=\"M0 0H9\"/>").is_err());
    }
}
