//! Content streams: paths, paints and clips as PDF operators, numbers to a tenth of a micrometre.

use crate::manifest::Colour;
use crate::press::decimal;
use kurbo::{Affine, BezPath, Cap, Join, PathEl, Point};

/// A content stream in the making; coordinates are whatever space the caller set up, for kitwright mm.
#[derive(Debug, Default)]
pub struct Content {
    bytes: Vec<u8>,
}

impl Content {
    /// The operators as bytes.
    pub fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }

    /// `q`: remembers the graphics state.
    pub fn save(&mut self) {
        self.op("q");
    }

    /// `Q`: goes back to the remembered graphics state.
    pub fn restore(&mut self) {
        self.op("Q");
    }

    /// `cm`: puts a matrix before the current one; six decimals, since a rounded factor grows with the paper.
    pub fn transform(&mut self, matrix: Affine) {
        for value in matrix.as_coeffs() {
            self.bytes.extend_from_slice(format!("{value:.6} ").as_bytes());
        }
        self.op("cm");
    }

    /// A path, to be painted or clipped by the next operator. Quadratic curves are raised to cubic ones, exactly.
    pub fn path(&mut self, path: &BezPath) {
        let mut last = Point::ORIGIN;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(p) => self.points(&[p], "m"),
                PathEl::LineTo(p) => self.points(&[p], "l"),
                PathEl::QuadTo(c, p) => self.points(&[last.lerp(c, 2.0 / 3.0), p.lerp(c, 2.0 / 3.0), p], "c"),
                PathEl::CurveTo(a, b, p) => self.points(&[a, b, p], "c"),
                PathEl::ClosePath => self.op("h"),
            }
            last = element.end_point().unwrap_or(last);
        }
    }

    /// `f` or `f*`: fills the path.
    pub fn fill(&mut self, even_odd: bool) {
        self.op(if even_odd { "f*" } else { "f" });
    }

    /// `S`: strokes the path.
    pub fn stroke(&mut self) {
        self.op("S");
    }

    /// `W n` or `W* n`: clips to the path.
    pub fn clip(&mut self, even_odd: bool) {
        self.op(if even_odd { "W* n" } else { "W n" });
    }

    /// Colour for filling; greys go out as grey, so that a black is one ink.
    pub fn fill_colour(&mut self, colour: Colour) {
        self.colour(colour, "g", "rg");
    }

    /// Colour for strokes.
    pub fn stroke_colour(&mut self, colour: Colour) {
        self.colour(colour, "G", "RG");
    }

    /// Width, caps, joins, mitre limit and dashes.
    pub fn stroke_style(&mut self, style: &kurbo::Stroke) {
        self.number(style.width);
        self.op("w");
        let cap = match style.start_cap {
            Cap::Butt => 0,
            Cap::Round => 1,
            Cap::Square => 2,
        };
        let join = match style.join {
            Join::Miter => 0,
            Join::Round => 1,
            Join::Bevel => 2,
        };
        self.bytes.extend_from_slice(format!("{cap} J {join} j ").as_bytes());
        self.number(style.miter_limit);
        self.bytes.extend_from_slice(b"M [");
        style.dash_pattern.iter().for_each(|&dash| self.number(dash));
        self.bytes.extend_from_slice(b"] ");
        self.number(style.dash_offset);
        self.op("d");
    }

    /// `gs`: a named graphics state of the form's resources.
    pub fn graphics_state(&mut self, name: &str) {
        self.op(&format!("/{name} gs"));
    }

    /// `Do`: paints a named object of the form's resources.
    pub fn paint_object(&mut self, name: &str) {
        self.op(&format!("/{name} Do"));
    }

    fn colour(&mut self, colour: Colour, grey: &str, rgb: &str) {
        let part = |value: u8| f64::from(value) / 255.0;
        if colour.red == colour.green && colour.green == colour.blue {
            self.number(part(colour.red));
            self.op(grey);
        } else {
            [colour.red, colour.green, colour.blue].into_iter().for_each(|value| self.number(part(value)));
            self.op(rgb);
        }
    }

    fn points(&mut self, points: &[Point], operator: &str) {
        for point in points {
            self.number(point.x);
            self.number(point.y);
        }
        self.op(operator);
    }

    fn op(&mut self, operator: &str) {
        self.bytes.extend_from_slice(operator.as_bytes());
        self.bytes.push(b'\n');
    }

    /// A number and a blank; a value that is none cannot come this far.
    fn number(&mut self, value: f64) {
        decimal::push(&mut self.bytes, value);
        self.bytes.push(b' ');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quadratic_curve_becomes_the_same_cubic_curve() {
        // Degree elevation of a Bézier curve: control points at a third and two thirds (textbook identity).
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.quad_to((3.0, 6.0), (6.0, 0.0));
        let mut content = Content::default();
        content.path(&path);
        assert_eq!(String::from_utf8(content.into_bytes()).unwrap(), "0 0 m\n2 4 4 4 6 0 c\n");
    }
}
