//! The drawing's true size: how many millimetres of paper one of its units is, or why nobody can tell.

use super::outline::Outline;
use super::request::Request;
use super::source::Source;
use super::viewport;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::manifest::Paper;
use crate::units::{Length, Size};
use kurbo::{Affine, Rect, Vec2};

/// CSS pixels an inch (CSS Values and Units, "Absolute lengths").
const CSS: f64 = 96.0;
/// Other counts of units an inch that editors write (print-facts: 72 and 90 of older editors, 300 of screen designs).
const OTHERS: [f64; 3] = [72.0, 90.0, 300.0];
/// Longest side of a drawing, in mm.
const LONGEST: f64 = 20_000.0;

/// A drawing's size and scale.
#[derive(Clone, Debug)]
pub struct Scale {
    /// The drawing's page on paper.
    pub size: Size,
    /// The outermost viewBox, in user units.
    pub view: Rect,
    /// From user units to mm on paper.
    pub to_paper: Affine,
    /// User units an inch, for lengths with units inside the drawing.
    pub per_inch: f64,
    /// Whether the scale is a guess, because the file's units are px or none.
    pub assumed: bool,
}

impl Scale {
    /// How many mm a user unit is, along the longer side if they differ.
    pub fn unit(&self) -> f64 {
        let [a, b, c, d, ..] = self.to_paper.as_coeffs();
        a.hypot(b).max(c.hypot(d))
    }
}

/// One side of the outermost element.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Side {
    /// In mm, true on paper.
    True(f64),
    /// In px or without a unit.
    Pixels(f64),
    /// Not given, or a share of the window.
    Open,
    /// Not readable, or not positive.
    Bad,
}

/// Finds the true size; `None` if there is none, with the reason among the findings.
pub fn scale(source: &Source, outline: &Outline, request: &Request, findings: &mut Findings) -> Option<Scale> {
    let root = Root { source, outline, request };
    let scale = findings.take(root.scale())?;
    root.warn(&scale, findings);
    let longest = scale.size.width.max(scale.size.height);
    if longest > Length::mm(LONGEST) {
        findings.push(error!("drawing-too-large", width = scale.size.width, height = scale.size.height).at(root.place()));
        return None;
    }
    let [a, .., d, _, _] = scale.to_paper.as_coeffs();
    if ((a - d) / d).abs() > 1e-6 && root.stretches() {
        findings.push(error!("scale-uneven", percent = format_args!("{:.3}", (a / d - 1.0) * 100.0)).at(root.place()));
    }
    Some(scale)
}

struct Root<'a> {
    source: &'a Source<'a>,
    outline: &'a Outline<'a>,
    request: &'a Request,
}

impl Root<'_> {
    fn place(&self) -> Place {
        self.source.place(self.outline.elements.first().map_or(0, |root| root.start))
    }

    fn stretches(&self) -> bool {
        self.outline.attribute(0, "preserveAspectRatio").is_some_and(|aspect| aspect.contains("none"))
    }

    /// Width and height as the outermost element states them.
    fn sides(&self) -> (Side, Side) {
        let side = |key| self.outline.attribute(0, key).map_or(Side::Open, |value| side(&value));
        (side("width"), side("height"))
    }

    fn scale(&self) -> Result<Scale, Diagnostic> {
        let written = self.outline.attribute(0, "viewBox");
        let view = written.as_deref().and_then(viewport::view_box);
        if let (Some(written), None) = (written, view) {
            return Err(self.no_size(error!("drawing-size/view-box", written), None));
        }
        let per_inch = self.request.units_per_inch.unwrap_or(CSS);
        let mm = |side| match side {
            Side::True(mm) => Some(mm),
            Side::Pixels(px) => Some(px * 25.4 / per_inch),
            Side::Open | Side::Bad => None,
        };
        let sides = self.sides();
        if sides.0 == Side::Bad || sides.1 == Side::Bad {
            return Err(self.no_size(error!("drawing-size/sides"), view));
        }
        let (width, height) = match (mm(sides.0), mm(sides.1), view) {
            (Some(width), Some(height), _) => (width, height),
            (Some(width), None, Some(view)) => (width, width * view.height() / view.width()),
            (None, Some(height), Some(view)) => (height * view.width() / view.height(), height),
            (None, None, Some(view)) if self.request.units_per_inch.is_some() => {
                (view.width() * 25.4 / per_inch, view.height() * 25.4 / per_inch)
            }
            _ => return Err(self.no_size(error!("drawing-size/open"), view)),
        };
        let pixels = matches!(sides.0, Side::Pixels(_)) || matches!(sides.1, Side::Pixels(_));
        // With a true size on the outside, units inside are CSS units, whatever the manifest says.
        let all_true = !pixels && sides != (Side::Open, Side::Open);
        let per_inch = if all_true { CSS } else { per_inch };
        // Without a viewBox, a user unit is a CSS pixel.
        let view = view.unwrap_or_else(|| Rect::new(0.0, 0.0, width / 25.4 * per_inch, height / 25.4 * per_inch));
        let aspect = self.outline.attribute(0, "preserveAspectRatio").and_then(|a| a.parse().ok()).unwrap_or_default();
        let fit = viewport::fit(view, kurbo::Size::new(width, height), aspect);
        let to_paper = self.turned(width, height) * fit;
        let assumed = pixels && self.request.units_per_inch.is_none();
        Ok(Scale { size: Size::mm(width, height), view, to_paper, per_inch, assumed })
    }

    /// The outermost element's own transform, about its middle (SVG 2 and CSS Transforms, `transform-origin`).
    fn turned(&self, width: f64, height: f64) -> Affine {
        let own = self.outline.attribute(0, "transform").and_then(|value| viewport::transform(&value));
        let middle = Vec2::new(width / 2.0, height / 2.0);
        own.map_or(Affine::IDENTITY, |own| Affine::translate(middle) * own * Affine::translate(-middle))
    }

    /// The finding for a drawing without a true size, with a guess if its page looks like a paper.
    fn no_size(&self, finding: Diagnostic, view: Option<Rect>) -> Diagnostic {
        let finding = finding.at(self.place());
        let guess = view.and_then(|view| {
            let fits = |per_inch: &&f64| paper(view.width() * 25.4 / **per_inch, view.height() * 25.4 / **per_inch).is_some();
            let per_inch = OTHERS.iter().chain(&[CSS]).find(fits)?;
            Some((*per_inch, paper(view.width() * 25.4 / per_inch, view.height() * 25.4 / per_inch)?))
        });
        match guess {
            Some((per_inch, paper)) => finding.hint(say!("drawing-size/paper", paper, per_inch)),
            None => finding.hint(words!("drawing-size/units")),
        }
    }

    /// Tells of a scale in the manifest that does nothing.
    fn warn(&self, scale: &Scale, findings: &mut Findings) {
        let (width, height) = self.sides();
        let all_true = matches!((width, height), (Side::True(_), Side::True(_) | Side::Open) | (Side::Open, Side::True(_)));
        if all_true && let Some(stated) = self.request.units_per_inch {
            findings.push(
                warning!("scale-unused", stated, width = scale.size.width, height = scale.size.height)
                    .at(self.request.place("drawing.units-per-inch")),
            );
        }
    }
}

/// Reads one side. Units may be written in capitals, as in CSS.
fn side(value: &str) -> Side {
    let value = value.trim();
    if value == "auto" {
        return Side::Open;
    }
    if let Some(share) = value.strip_suffix('%') {
        return share.trim().parse::<f64>().map_or(Side::Bad, |_| Side::Open);
    }
    let positive = |number: f64| (number > 0.0 && number.is_finite()).then_some(number);
    let pixels = value
        .len()
        .checked_sub(2)
        .and_then(|at| value.split_at_checked(at))
        .filter(|(_, unit)| unit.eq_ignore_ascii_case("px"));
    // A number alone counts as px (SVG 2, "Units").
    let bare = pixels.map_or(value, |(number, _)| number);
    if let Ok(number) = bare.trim().parse::<f64>() {
        return positive(number).map_or(Side::Bad, Side::Pixels);
    }
    // The unit `m` is none of CSS, so only the manifest knows it.
    let length = value.parse::<Length>().ok().filter(|_| {
        !value.trim_end_matches(['m', 'M']).ends_with(|c: char| c.is_ascii_digit())
            || value.ends_with("mm")
            || value.ends_with("MM")
    });
    length.and_then(|length| positive(length.to_mm())).map_or(Side::Bad, Side::True)
}

/// The known paper of this size, in mm, within half a percent.
fn paper(width: f64, height: f64) -> Option<String> {
    let close = |a: f64, b: f64| (a / b - 1.0).abs() < 0.005;
    Paper::known_ids().filter_map(Paper::known).find_map(|paper| match paper.format {
        crate::manifest::Format::Sheet(size) => {
            let (w, h) = (size.width.to_mm(), size.height.to_mm());
            let same = close(width, w) && close(height, h) || close(width, h) && close(height, w);
            same.then_some(paper.title)
        }
        crate::manifest::Format::Roll(_) => None,
    })
}

/// Judges a guessed scale once the control measurements are taken: promised and measured lengths in mm, at the guess.
pub fn judge(
    scale: &Scale,
    source: &Source,
    outline: &Outline,
    request: &Request,
    pairs: &[(f64, f64, f64)],
) -> Option<Diagnostic> {
    if !scale.assumed || pairs.iter().any(|(promised, measured, slack)| (promised - measured).abs() <= *slack) {
        return None;
    }
    let root = Root { source, outline, request };
    let (width, height) = (scale.size.width.to_mm(), scale.size.height.to_mm());
    // A promise that fits is better proof than a page that looks like a known paper.
    let by_control = |per_inch: &&f64| pairs.iter().any(|(p, m, _)| (m * CSS / **per_inch / p - 1.0).abs() < 0.003);
    let by_page = |per_inch: &&f64| {
        paper(width, height).is_none() && paper(width * CSS / **per_inch, height * CSS / **per_inch).is_some()
    };
    let why =
        OTHERS.iter().find(by_control).map(|per_inch| (*per_inch, words!("control-measurement").to_owned())).or_else(|| {
            let per_inch = *OTHERS.iter().find(by_page)?;
            let title = paper(width * CSS / per_inch, height * CSS / per_inch)?;
            Some((per_inch, say!("page-like-paper", title)))
        });
    let finding = match why {
        Some((per_inch, why)) => {
            let factor = CSS / per_inch;
            error!("scale-suspect", per_inch, css = CSS, why, factor = format_args!("{:.4}", factor))
        }
        None => {
            warning!("scale-assumed", css = CSS, width = scale.size.width, height = scale.size.height)
        }
    };
    Some(finding.at(root.place()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(head: &str, per_inch: Option<f64>) -> (Option<Scale>, Findings) {
        let text = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {head}/>");
        let source = Source::of("a.svg", &text);
        let mut findings = Findings::new();
        let prepass = crate::drawing::prepass::prepass(&source, &mut findings).unwrap();
        let request = Request { units_per_inch: per_inch, ..Request::plain("a.svg") };
        let scale = scale(&source, &prepass.outline, &request, &mut findings);
        if let Some(scale) = &scale {
            findings.extend(judge(scale, &source, &prepass.outline, &request, &[]));
        }
        (scale, findings)
    }

    fn codes(findings: &Findings) -> Vec<&str> {
        findings.iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn every_absolute_unit_is_true_size() {
        // CSS Values and Units, "Absolute lengths": 1in = 2.54cm = 25.4mm = 101.6Q = 72pt = 6pc.
        for (unit, per_inch) in [("in", 1.0), ("cm", 2.54), ("mm", 25.4), ("Q", 101.6), ("pt", 72.0), ("pc", 6.0), ("MM", 25.4)]
        {
            let head = format!("width='{}{unit}' height='{}{unit}'", 10.0 * per_inch, 20.0 * per_inch);
            let (scale, findings) = read(&head, None);
            let size = scale.unwrap().size;
            assert!(size.width.within(Length::mm(254.0), Length::mm(1e-9)), "{unit}");
            assert!(size.height.within(Length::mm(508.0), Length::mm(1e-9)), "{unit}");
            assert!(findings.is_empty(), "{unit}");
        }
    }

    #[test]
    fn a_stated_scale_rules_for_pixels_and_view_boxes() {
        for head in [
            "width='720' height='360'",
            "width='720px' height='360px'",
            "viewBox='0 0 720 360'",
            "width='100%' height='100%' viewBox='0 0 720 360'",
        ] {
            let (scale, findings) = read(head, Some(72.0));
            let scale = scale.unwrap();
            assert!(scale.size.width.within(Length::inches(10.0), Length::mm(1e-9)), "{head}");
            let corner = scale.to_paper * kurbo::Point::new(72.0, 36.0);
            assert!((corner - kurbo::Point::new(25.4, 12.7)).hypot() < 1e-9, "{head}");
            assert!(findings.is_empty(), "{head}");
        }
    }

    #[test]
    fn sizes_that_are_not_true_are_told() {
        let cases = [
            ("viewBox='0 0 100 100'", None, vec!["drawing-size"]),
            ("width='100%' height='100%' viewBox='0 0 2480 3508'", None, vec!["drawing-size"]),
            ("", None, vec!["drawing-size"]),
            ("width='0' height='5'", None, vec!["drawing-size"]),
            ("width='5m' height='5m'", None, vec!["drawing-size"]),
            ("width='100mm' height='100mm' viewBox='0 0 0 4'", None, vec!["drawing-size"]),
            ("width='500' height='600'", None, vec!["scale-assumed"]),
            ("width='595.28' height='841.89'", None, vec!["scale-suspect"]),
            ("width='744.09' height='1052.36'", None, vec!["scale-suspect"]),
            ("width='2480' height='3508'", None, vec!["scale-suspect"]),
            ("width='793.7' height='1122.52'", None, vec!["scale-assumed"]),
            ("width='40000mm' height='100mm'", None, vec!["drawing-too-large"]),
            ("width='10mm' height='20mm' viewBox='0 0 10 10' preserveAspectRatio='none'", None, vec!["scale-uneven"]),
            ("width='10mm' height='10mm'", Some(72.0), vec!["scale-unused"]),
        ];
        for (head, per_inch, expected) in cases {
            let (_, findings) = read(head, per_inch);
            assert_eq!(codes(&findings), expected, "{head}");
            if expected != ["scale-unused"] {
                let place = findings.iter().next().unwrap().place.clone().unwrap();
                assert_eq!((place.line, place.column), (Some(1), Some(1)), "{head}");
            }
        }
        let (_, findings) = read("viewBox='0 0 2480 3508'", None);
        assert!(findings.iter().next().unwrap().hints[1].contains("units-per-inch: 300"));
    }

    #[test]
    fn one_open_side_follows_from_the_view_box() {
        let (scale, _) = read("width='100mm' viewBox='0 0 10 20'", None);
        assert_eq!(scale.unwrap().size, Size::mm(100.0, 200.0));
    }
}
