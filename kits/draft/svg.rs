//! Writes a drawing: layers that hold pieces that hold elements, always with the same bytes.

use kurbo::{BezPath, PathEl, Point};
use std::fmt::Write;

/// A drawing in the making. Pieces are drafted one by one, but written layer by layer.
pub struct Sheet {
    /// In paint order.
    pub layers: Vec<Layer>,
}

/// A named layer.
pub struct Layer {
    /// Visible name.
    pub label: String,
    /// Pieces in the order in which they were first drawn on.
    pub pieces: Vec<Piece>,
}

/// All elements of one piece on one layer.
pub struct Piece {
    /// Visible name.
    pub label: String,
    /// Elements, ready to be written.
    pub elements: Vec<String>,
}

impl Sheet {
    /// Empty layers with these names, lowest first.
    pub fn new<'a>(labels: impl IntoIterator<Item = &'a str>) -> Self {
        let layers = labels.into_iter().map(|label| Layer { label: label.into(), pieces: Vec::new() }).collect();
        Self { layers }
    }

    /// Draws an element of a piece on a layer; a name without a layer is a slip of this program.
    pub fn draw(&mut self, layer: &str, piece: &str, element: String) {
        let layer = self.layers.iter_mut().find(|known| known.label == layer).expect("layer was declared");
        // Few pieces a layer: looking them up one by one keeps their order without a second list.
        match layer.pieces.iter_mut().find(|known| known.label == piece) {
            Some(piece) => piece.elements.push(element),
            None => layer.pieces.push(Piece { label: piece.into(), elements: vec![element] }),
        }
    }

    /// The layers as nested groups, opened by tags of the drawing's own making.
    pub fn groups(&self, layer_tag: impl Fn(&Layer) -> String, piece_tag: impl Fn(&Layer, &Piece) -> String) -> String {
        let mut text = String::new();
        for layer in &self.layers {
            let _ = writeln!(text, "  {}", layer_tag(layer));
            for piece in &layer.pieces {
                let _ = writeln!(text, "    {}", piece_tag(layer, piece));
                piece.elements.iter().for_each(|element| text.push_str(&format!("      {element}\n")));
                text.push_str("    </g>\n");
            }
            text.push_str("  </g>\n");
        }
        text
    }
}

/// A path element; attributes are written as given.
pub fn path(path: &BezPath, attributes: &str) -> String {
    let attributes = if attributes.is_empty() { String::new() } else { format!("{attributes} ") };
    format!("<path {attributes}d=\"{}\"/>", data(path))
}

/// Words that start at a point, or stand on its middle if the attributes say so.
pub fn words(at: Point, size: f64, attributes: &str, content: &str) -> String {
    let place = format!("x=\"{}\" y=\"{}\" font-size=\"{}\"", number(at.x), number(at.y), number(size));
    format!("<text {place}{}{attributes}>{content}</text>", if attributes.is_empty() { "" } else { " " })
}

/// An attribute that turns an element about a point, clockwise on paper.
pub fn turned(degrees: f64, about: Point) -> String {
    format!("transform=\"rotate({} {} {})\"", number(degrees), number(about.x), number(about.y))
}

/// A name as an id: only letters, digits and hyphens.
pub fn id(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect()
}

/// A number with at most three decimals: 0.001 mm, a tenth of the error budget on paper.
pub fn number(value: f64) -> String {
    // Rounding also hides the last digits in which one machine's sine differs from another's: same bytes everywhere.
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Path data.
pub fn data(path: &BezPath) -> String {
    let points =
        |points: &[Point]| points.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect::<Vec<_>>().join(" ");
    let step = |element: &PathEl| match element {
        PathEl::MoveTo(p) => format!("M{}", points(&[*p])),
        PathEl::LineTo(p) => format!("L{}", points(&[*p])),
        PathEl::QuadTo(a, p) => format!("Q{}", points(&[*a, *p])),
        PathEl::CurveTo(a, b, p) => format!("C{}", points(&[*a, *b, *p])),
        PathEl::ClosePath => "Z".into(),
    };
    path.elements().iter().map(step).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_never_minus_nought() {
        assert_eq!(["0", "1.5", "-2", "0.333"].map(String::from), [-0.0001, 1.5, -2.0, 1.0 / 3.0].map(number));
    }

    #[test]
    fn path_data_keep_every_kind_of_step() {
        let source = "M0,0 L10,0 C10,5 5,10 0,10 Z";
        assert_eq!(data(&BezPath::from_svg(source).unwrap()), source);
    }
}
