//! Tests of restyled lines and fills, and of what is told about ink.

mod fills;
mod ink;
mod lines;
mod picture;
mod strips;

use crate::diagnostic::Findings;
use crate::drawing::{self, Drawing, Request};
use crate::manifest::SizeLayer;

/// A drawing of 200 by 200 mm with the layers `pattern`, `size a` and `size b`, and what they hold.
fn drawing(pattern: &str, a: &str, b: &str) -> Drawing {
    let layer = |name: &str, inner: &str| {
        format!(
            "<g inkscape:groupmode='layer' inkscape:label='{name}' fill='none' stroke='#000' stroke-width='.5'>\n{inner}\n</g>\n"
        )
    };
    let layers = [layer("pattern", pattern), layer("size a", a), layer("size b", b)].concat();
    let text = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:inkscape='http://www.inkscape.org/namespaces/inkscape' \
         width='200mm' height='200mm' viewBox='0 0 200 200'>\n{layers}</svg>"
    );
    let size = |name: &str| SizeLayer { name: name.into(), layer: format!("size {name}"), shown: true };
    let request =
        Request { sizes: vec![size("a"), size("b")], base_layers: Some(vec!["pattern".into()]), ..Request::plain("d.svg") };
    let (drawing, findings): (_, Findings) = drawing::read(text.as_bytes(), &request, &());
    drawing.unwrap_or_else(|| panic!("{findings:?}"))
}
