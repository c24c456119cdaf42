//! All steps of reading a drawing, in their order.

use super::convert::{self, Known};
use super::layers::Layers;
use super::model::{Drawing, Layer, Piece};
use super::outline::Element;
use super::pictures::Refused;
use super::prepass::Prepass;
use super::request::{Request, Resources};
use super::scale::Scale;
use super::shape::Shapes;
use super::source::Source;
use super::uses::Reach;
use super::{amount, controls, fonts, geometry, held, layers, prepass, scale, splice, style, traced, tree, uses};
use crate::diagnostic::{Diagnostic, Findings, Place, Severity};
use kurbo::Rect;
use std::collections::BTreeSet;
use std::sync::Arc;

/// How far round shapes may be off when they are measured, in their own units.
const FINE: f64 = 1e-7;
/// Farthest from the origin, in mm, that the SVG library keeps a hundredth of a millimetre (24 bits: 0.008 mm at 100 m).
const FAR: f64 = 100_000.0;

/// Room for recursion into nested elements: the SVG library allows 1,024 levels, each of a few large frames. Memory that is
/// not touched is not used.
const STACK: usize = 256 * 1024 * 1024;

/// Reads a drawing from the bytes of its SVG file, and gives it unless something in it makes that impossible. Everything
/// that is wrong is among the findings; with an error among them, the drawing is not fit to be printed.
///
/// Several drawings may be read at once. All of it happens on a thread of its own, which must not ask for the shared ones: they may all
/// be waiting for it.
pub fn read(bytes: &[u8], request: &Request, resources: &dyn Resources) -> (Option<Drawing>, Findings) {
    let work = || {
        let mut findings = Findings::new();
        let drawing = findings.take(Source::new(request, bytes));
        let drawing = drawing.and_then(|source| steps(&source, request, resources, &mut findings));
        (drawing, findings)
    };
    let done = std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().stack_size(STACK).spawn_scoped(scope, work);
        thread.ok().and_then(|thread| thread.join().ok())
    });
    done.unwrap_or_else(|| (None, error!("drawing-too-complex").at(Place::file(&request.file)).into()))
}

fn steps(source: &Source, request: &Request, resources: &dyn Resources, findings: &mut Findings) -> Option<Drawing> {
    let mut prepass = prepass::prepass(source, findings)?;
    findings.take(style::apply(source, &mut prepass.outline))?;
    let scale = scale::scale(source, &prepass.outline, request, findings);
    let layers = layers::layers(source, &prepass.outline, request, findings);
    let reach = uses::reach(source, &prepass.outline, &layers, findings)?;
    findings.extend(std::mem::take(&mut prepass.always));
    // A bad value in a hidden layer or an unused symbol is nobody's trouble.
    let suspects = std::mem::take(&mut prepass.suspects).into_iter();
    findings.extend(suspects.filter(|(element, _)| reach.matters(*element)).map(|(_, finding)| finding));
    // Only now: all that can be told without a scale has been told.
    let scale = scale?;
    findings.extend(too_far(source, &prepass, &scale, &reach));
    let fonts = Arc::new(fonts::database(resources, findings));
    let refused = Refused::default();
    let geometry = geometry::geometry(source, &prepass.outline, &scale, &reach, findings);
    let spliced = splice::splice(source, &prepass, &scale, &geometry, &reach);
    let means = tree::Means { resources, fonts: fonts.clone(), refused: &refused };
    let tree = tree::tree(&spliced, &scale, &means);
    let tree = findings.take(tree.map_err(|error| tree::refusal(&error, &spliced, source, &prepass.outline)))?;
    let page = Rect::new(0.0, 0.0, scale.size.width.to_mm(), scale.size.height.to_mm());
    let outline = &prepass.outline;
    let known = Known {
        source,
        outline,
        spliced: &spliced,
        geometry: &geometry,
        layers: &layers,
        refused: &refused,
        fonts: &fonts,
        page,
    };
    let converted = convert::convert(&tree, &known, findings);
    let much = amount::too_much(source.file, &converted.pieces, &source.limits);
    findings.take(much.map_or(Ok(()), Err))?;
    findings.extend(lost_pictures(&known, &converted.seen));
    let shapes = Shapes { outline, to_paper: scale.to_paper, per_inch: scale.per_inch, off: FINE };
    let (pieces, sizes) = (&converted.pieces, request.sizes.len());
    let ground = controls::Ground { shapes: &shapes, layers: &layers, pieces, sizes };
    let taken = controls::controls(&ground, request, findings);
    let scale_finding = scale::judge(&scale, source, outline, request, &taken.pairs(request));
    // With a wrong scale all lengths are wrong, and one finding says it better than ten.
    if scale_finding.as_ref().is_none_or(|finding| finding.severity == Severity::Warning) {
        findings.extend(taken.off);
    }
    findings.extend(scale_finding);
    findings.extend(empty(source, &layers, &converted.pieces));
    let held = held::held(&shapes);
    let traced = traced::trace(source, &shapes, &layers, &request.sought);
    Some(Drawing {
        size: scale.size,
        layers: layers.list,
        pieces: converted.pieces,
        controls: taken.measured,
        held,
        lettering: converted.lettering,
        traced,
    })
}

/// Numbers that lie so far out that the SVG library could not keep hundredths of a millimetre.
fn too_far(source: &Source, prepass: &Prepass, scale: &Scale, reach: &Reach) -> Vec<Diagnostic> {
    let unit = scale.unit();
    let far = prepass.far.iter().filter(|(element, number, _)| number * unit > FAR && reach.matters(*element));
    let finding = |(element, number, at): &(usize, f64, usize)| {
        let place = source.place(*at).element(prepass.outline.name_of(*element));
        error!("number-bad/far", number).at(place)
    };
    far.map(finding).collect()
}

/// Pictures that the SVG library dropped without a word.
fn lost_pictures(known: &Known, seen: &BTreeSet<usize>) -> Vec<Diagnostic> {
    let elements = known.outline.elements.iter().enumerate();
    let lost = elements.filter(|(number, element)| {
        let chosen =
            !known.outline.ancestors(*number).any(|e| known.outline.elements.get(e).is_some_and(|e| e.tag == "switch"));
        element.tag == "image" && known.layers.printed(*number).is_some() && chosen && !seen.contains(number)
    });
    let finding = |(number, element): (usize, &Element)| {
        let finding = match known.outline.href(number) {
            None => error!("image-missing/no-link"),
            Some(_) => error!("image-bad/lost"),
        };
        let place = known.source.place(element.start).element(known.outline.name_of(number));
        finding.at(place)
    };
    lost.map(finding).collect()
}

/// Layers, or a whole drawing, without anything to print.
fn empty(source: &Source, layers: &Layers, pieces: &[Piece]) -> Vec<Diagnostic> {
    if pieces.is_empty() {
        return vec![error!("drawing-empty").at(Place::file(source.file))];
    }
    let used: BTreeSet<usize> = pieces.iter().map(|piece| piece.layer).collect();
    let bare = layers.list.iter().enumerate().filter(|(number, layer)| !used.contains(number) && layers.holds(layer));
    let finding = |(_, layer): (usize, &Layer)| {
        warning!("layer-empty", name = layer.name).at(Place::file(source.file).element(&layer.name))
    };
    bare.map(finding).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Role, Shape};
    use crate::manifest::SizeLayer;
    use kurbo::Shape as _;

    fn good() -> String {
        r##"<?xml version="1.0"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="300mm" height="200mm" viewBox="0 0 300 200">
 <style>.cut{fill:none;stroke:#c00;stroke-width:.5} .no{display:none}</style>
 <defs><path id="notch" d="M0 0v5" class="cut"/></defs>
 <g inkscape:groupmode="layer" inkscape:label="pattern" id="layer1">
  <g inkscape:label="front" transform="translate(10 20) scale(2)"><path class="cut" d="M0 0H50V50H0Z"/><use href="#notch" x="10"/></g>
  <text x="20" y="150" font-size="10">Front</text>
 </g>
 <g id="size_x20_36" transform="rotate(90 100 100)"><path fill="none" stroke="#000" d="M100 50h50"/></g>
 <g inkscape:label="construction"><path d="M0 0L300 200" stroke="red"/></g>
 <g inkscape:label="old" class="no"><path d="M0 0L300 200" stroke="red"/></g>
</svg>"##
            .into()
    }

    fn request() -> Request {
        let size = SizeLayer { name: "36".into(), layer: "size 36".into(), shown: true };
        Request { sizes: vec![size], never_printed: vec!["construction".into()], ..Request::plain("good.svg") }
    }

    #[test]
    fn a_good_drawing_comes_out_in_mm_by_layer_and_piece() {
        let (drawing, findings) = read(good().as_bytes(), &request(), &());
        assert!(findings.is_empty(), "{findings:#?}");
        let drawing = drawing.unwrap();
        let layers: Vec<(&str, Role)> = drawing.layers.iter().map(|layer| (layer.name.as_str(), layer.role)).collect();
        assert_eq!(layers, [("pattern", Role::Base), ("size 36", Role::Size(0))]);
        let pieces: Vec<(usize, Option<&str>, usize)> =
            drawing.pieces.iter().map(|piece| (piece.layer, piece.name.as_deref(), piece.items.len())).collect();
        assert_eq!(pieces, [(0, Some("front"), 2), (0, None, 1), (1, None, 1)]);
        let Shape::Path(square) = &drawing.pieces[0].items[0].shape else { panic!() };
        assert_eq!(square.path.bounding_box(), Rect::new(10.0, 20.0, 110.0, 120.0));
        assert!((square.stroke.as_ref().unwrap().style.width - 1.0).abs() < 1e-6);
        let Shape::Path(line) = &drawing.pieces[2].items[0].shape else { panic!() };
        // A quarter turn about (100, 100) takes (100, 50) to (150, 100).
        assert!((line.path.bounding_box().x0 - 150.0).abs() < 1e-4 && (line.path.bounding_box().y1 - 150.0).abs() < 1e-4);
        assert_eq!(drawing.pieces[0].items[0].origin.line, Some(6));
    }

    #[test]
    fn a_file_cut_anywhere_never_panics_and_is_never_good() {
        let text = good();
        for end in 0..text.len() {
            let (drawing, findings) = read(&text.as_bytes()[..end], &request(), &());
            assert!(drawing.is_none() && findings.has_errors(), "cut at {end}");
            assert!(findings.iter().all(|finding| !finding.message.contains("could not be read to its end")), "cut at {end}");
        }
    }

    #[test]
    fn windows_lines_entities_and_a_byte_order_mark_make_no_difference() {
        let doctype = "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [\r\n\
            <!ENTITY ns_svg \"http://www.w3.org/2000/svg\">\r\n]>\r\n";
        let text = good()
            .replace('\n', "\r\n")
            .replace("<svg xmlns=\"http://www.w3.org/2000/svg\"", &format!("{doctype}<svg xmlns=\"&ns_svg;\""));
        let (drawing, findings) = read(format!("\u{feff}{text}").as_bytes(), &request(), &());
        assert!(findings.is_empty(), "{findings:?}");
        assert_eq!(drawing.unwrap().pieces[0].items[0].origin.line, Some(9));
    }

    #[test]
    fn the_same_bytes_give_the_same_drawing() {
        let show = || format!("{:?}", read(good().as_bytes(), &request(), &()));
        assert_eq!(show(), show());
    }

    /// Bytes that hurt parsers, to be put in anywhere.
    const SPLINTERS: [&str; 24] = [
        "<",
        ">",
        "&",
        ";",
        "\"",
        "'",
        "]]>",
        "<!--",
        "<?",
        "<!DOCTYPE svg [",
        "&#0;",
        "&a;",
        "e400",
        "NaN",
        "-",
        "%",
        "url(#",
        "\u{0}",
        "\u{e000}1",
        "<use href=\"#notch\"/>",
        " transform=\"scale(1e38)\"",
        "99999999999",
        "\u{202e}",
        "ö",
    ];

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(600))]

        #[test]
        fn damaged_drawings_never_panic(edits in proptest::collection::vec((0usize..2000, 0usize..24, 0usize..12), 1..5)) {
            let mut bytes = good().into_bytes();
            for (at, splinter, removed) in edits {
                let at = at.min(bytes.len());
                let end = (at + removed).min(bytes.len());
                bytes.splice(at..end, SPLINTERS[splinter].bytes());
            }
            let (_, findings) = read(&bytes, &request(), &());
            proptest::prop_assert!(findings.iter().all(|finding| !finding.message.contains("could not be read to its end")));
        }
    }
}
