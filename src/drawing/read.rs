//! All steps of reading a drawing, in their order.

use super::convert::{self, Known};
use super::model::Drawing;
use super::pictures::Refused;
use super::prepass::Prepass;
use super::request::{Request, Resources};
use super::source::Source;
use super::{fonts, layers, prepass, scale, splice, style, tree};
use crate::diagnostic::{Diagnostic, Findings, Place};
use kurbo::Rect;
use std::sync::Arc;

/// Room for recursion into nested elements: the SVG library allows 1,024 levels, each of a few large frames. Memory that is
/// not touched is not used.
const STACK: usize = 256 * 1024 * 1024;

/// Reads a drawing from the bytes of its SVG file, and gives it unless something in it makes that impossible. Everything
/// that is wrong is among the findings; with an error among them, the drawing is not fit to be printed.
pub fn read(bytes: &[u8], request: &Request, resources: &dyn Resources) -> (Option<Drawing>, Findings) {
    let work = || {
        let mut findings = Findings::new();
        let drawing = findings.take(Source::new(&request.file, bytes));
        let drawing = drawing.and_then(|source| steps(&source, request, resources, &mut findings));
        (drawing, findings)
    };
    let done = std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().stack_size(STACK).spawn_scoped(scope, work);
        thread.ok().and_then(|thread| thread.join().ok())
    });
    done.unwrap_or_else(|| {
        let finding =
            Diagnostic::error("drawing-too-complex", "the drawing could not be read to its end").at(Place::file(&request.file));
        (None, finding.hint("simplify the drawing, and please tell us about it").into())
    })
}

fn steps(source: &Source, request: &Request, resources: &dyn Resources, findings: &mut Findings) -> Option<Drawing> {
    let mut prepass = prepass::prepass(source, findings)?;
    style::apply(&mut prepass.outline);
    let scale = scale::scale(source, &prepass.outline, request, findings)?;
    let layers = layers::layers(source, &prepass.outline, request, findings);
    let fonts = Arc::new(fonts::database(resources, findings));
    let refused = Refused::default();
    let spliced = splice::splice(source, &prepass, &scale);
    let means = tree::Means { resources, fonts: fonts.clone(), refused: &refused };
    let tree = tree::tree(&spliced, &scale, &means);
    let tree = findings.take(tree.map_err(|error| tree::refusal(&error, &spliced, source, &prepass.outline)))?;
    let page = Rect::new(0.0, 0.0, scale.size.width.to_mm(), scale.size.height.to_mm());
    let Prepass { outline, .. } = &prepass;
    let known = Known { source, outline, spliced: &spliced, layers: &layers, refused: &refused, fonts: &fonts, page };
    let converted = convert::convert(&tree, &known, findings);
    Some(Drawing {
        size: scale.size,
        layers: layers.list,
        pieces: converted.pieces,
        controls: vec![None; request.controls.len()],
    })
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
        let size = SizeLayer { name: "36".into(), layer: "size 36".into() };
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
}
