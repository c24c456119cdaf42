//! Checks of every number, path and transform that the drawing writes; the SVG library drops or cuts bad ones in silence.

use crate::diagnostic::{Code, Diagnostic};
use svgtypes::{LengthListParser, PathParser, PathSegment, PointsParser};

/// A bad value: what to tell, and at which character of the value, from 0.
#[derive(Debug)]
pub struct Fault {
    /// The finding, still without its place.
    pub finding: Diagnostic,
    /// Character of the value at which it goes wrong.
    pub at: usize,
}

/// What the check of one value found.
#[derive(Debug, Default)]
pub struct Checked {
    /// What is wrong.
    pub fault: Option<Fault>,
    /// The largest number, without its sign, in the value's own units.
    pub largest: f64,
    /// How many points it draws.
    pub points: u64,
}

/// Checks the value of an attribute or property, if it is one that places or sizes something.
pub fn check(tag: &str, key: &str, value: &str) -> Checked {
    match key {
        "d" if tag == "path" => path(value),
        "points" => points(value),
        "transform" | "gradientTransform" | "patternTransform" => transform(value),
        "x" | "y" | "width" | "height" | "cx" | "cy" | "r" | "rx" | "ry" | "x1" | "y1" | "x2" | "y2" | "dx" | "dy"
        | "stroke-width" | "stroke-dasharray" | "stroke-dashoffset" | "font-size" => lengths(key, value),
        _ => Checked::default(),
    }
}

fn path(value: &str) -> Checked {
    let mut checked = Checked::default();
    if value.trim() == "none" {
        return checked;
    }
    for segment in PathParser::from(value) {
        checked.points += 1;
        match segment {
            Ok(segment) => checked.largest = checked.largest.max(largest(&segment)),
            Err(error) => {
                checked.fault = Some(fault(code!("path-bad"), words!("the-path"), value, error));
                break;
            }
        }
    }
    checked
}

fn largest(segment: &PathSegment) -> f64 {
    use PathSegment as S;
    let numbers: [f64; 6] = match *segment {
        S::MoveTo { x, y, .. } | S::LineTo { x, y, .. } | S::SmoothQuadratic { x, y, .. } => [x, y, 0.0, 0.0, 0.0, 0.0],
        S::HorizontalLineTo { x, .. } => [x, 0.0, 0.0, 0.0, 0.0, 0.0],
        S::VerticalLineTo { y, .. } => [y, 0.0, 0.0, 0.0, 0.0, 0.0],
        S::CurveTo { x1, y1, x2, y2, x, y, .. } => [x1, y1, x2, y2, x, y],
        S::SmoothCurveTo { x2: a, y2: b, x, y, .. } | S::Quadratic { x1: a, y1: b, x, y, .. } => [a, b, x, y, 0.0, 0.0],
        S::EllipticalArc { rx, ry, x, y, .. } => [rx, ry, x, y, 0.0, 0.0],
        S::ClosePath { .. } => [0.0; 6],
    };
    numbers.iter().fold(0.0, |most: f64, number| most.max(number.abs()))
}

fn points(value: &str) -> Checked {
    let read: Vec<(f64, f64)> = PointsParser::from(value).collect();
    let largest = read.iter().fold(0.0, |most: f64, (x, y)| most.max(x.abs()).max(y.abs()));
    // The parser stops at a fault without a word, so the list is read once more as lengths, which do tell.
    let fault = match svgtypes::NumberListParser::from(value).find_map(Result::err) {
        Some(error) => Some(fault(code!("path-bad"), words!("list-of-points"), value, error)),
        None if svgtypes::NumberListParser::from(value).count() % 2 == 1 => {
            let last = value.rsplit(|c: char| c.is_whitespace() || c == ',').find(|word| !word.is_empty());
            let at = last.and_then(|word| value.rfind(word)).map_or(0, |at| characters(value, at));
            Some(Fault { finding: error!("path-bad"), at })
        }
        None => None,
    };
    Checked { fault, largest, points: read.len() as u64 }
}

fn transform(value: &str) -> Checked {
    if value.trim() == "none" {
        return Checked::default();
    }
    let fault = match value.parse::<svgtypes::Transform>() {
        Err(error) => Some(fault(code!("transform-bad"), words!("the-transform"), value, error)),
        Ok(t) if (t.a * t.d - t.b * t.c).abs() < 1e-12 || !(t.a * t.d - t.b * t.c).is_finite() => {
            Some(Fault { finding: error!("transform-bad", value = shown(value)), at: 0 })
        }
        Ok(t) if ![t.a, t.b, t.c, t.d, t.e, t.f].iter().all(|number| (*number as f32).is_finite()) => {
            Some(Fault { finding: error!("number-bad", value = shown(value)), at: 0 })
        }
        Ok(t) => return Checked { largest: t.e.abs().max(t.f.abs()), ..Checked::default() },
    };
    Checked { fault, ..Checked::default() }
}

fn lengths(key: &str, value: &str) -> Checked {
    let mut checked = Checked::default();
    let word = value.trim();
    if keyword(word) {
        return checked;
    }
    if let Some(quarters) = quarters(word) {
        return Checked { largest: quarters.abs(), ..Checked::default() };
    }
    for length in LengthListParser::from(word) {
        match length {
            Ok(length) => checked.largest = checked.largest.max(length.number.abs()),
            Err(error) => {
                let lead = value.len() - value.trim_start().len();
                let mut fault = fault(code!("number-bad"), &format!("`{key}`"), word, error);
                fault.at += lead;
                checked.fault = Some(fault);
                break;
            }
        }
    }
    let negative =
        word.starts_with('-') && matches!(key, "width" | "height" | "r" | "rx" | "ry" | "stroke-width" | "font-size");
    if negative && checked.fault.is_none() {
        checked.fault = Some(Fault { finding: error!("number-bad/negative", key, word = shown(word)), at: 0 });
    }
    checked
}

/// The number before the unit Q (a quarter of a millimetre), which the SVG library does not know.
pub fn quarters(value: &str) -> Option<f64> {
    value.trim().strip_suffix('Q')?.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Words that stand for a length, as CSS has them.
fn keyword(word: &str) -> bool {
    let known = ["auto", "none", "inherit", "initial", "unset", "medium", "small", "large", "smaller", "larger"];
    known.contains(&word) || word.strip_prefix("x").is_some_and(|rest| rest.ends_with("-small") || rest.ends_with("-large"))
}

fn fault(code: Code, what: &str, value: &str, error: svgtypes::Error) -> Fault {
    use svgtypes::Error as E;
    let at = match error {
        E::UnexpectedData(at) | E::InvalidChar(_, at) | E::InvalidString(_, at) | E::InvalidNumber(at) => at.saturating_sub(1),
        E::UnexpectedEndOfStream => value.chars().count(),
        E::InvalidValue | E::InvalidIdent => 0,
    };
    let rest: String = value.chars().skip(at).collect();
    let word = rest.split(|c: char| c.is_whitespace() || c == ',').next().unwrap_or_default();
    // A word that Rust takes for a number is one that is infinite, or no number by name.
    if word.parse::<f64>().is_ok_and(|number| !number.is_finite()) || word.starts_with("NaN") {
        return Fault { finding: error!("number-bad/unusable", what, word = shown(word)), at };
    }
    let finding = match word {
        "" => error!(as code, "ends-early", what),
        word => error!(as code, "goes-wrong", what, word = shown(word)),
    };
    Fault { finding, at }
}

fn characters(value: &str, bytes: usize) -> usize {
    value.get(..bytes).map_or(0, |before| before.chars().count())
}

/// A value short enough for a message.
pub fn shown(value: &str) -> String {
    let short: String = value.chars().take(40).collect();
    if short.len() < value.len() { short + "…" } else { short }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code_at(tag: &str, key: &str, value: &str) -> Option<(&'static str, usize)> {
        check(tag, key, value).fault.map(|fault| (fault.finding.code, fault.at))
    }

    #[test]
    fn faults_are_found_at_their_character() {
        let cases = [
            ("path", "d", "M0 0 L x 5", Some(("path-bad", 7))),
            ("path", "d", "M 0 0 L 1e400 5", Some(("number-bad", 8))),
            ("path", "d", "M 0 0 L NaN 5", Some(("number-bad", 8))),
            ("path", "d", "M 0 0 L 5", Some(("path-bad", 9))),
            ("path", "d", "L 0 0", Some(("path-bad", 0))),
            ("path", "d", "M0 0l1-1.5z", None),
            ("path", "d", "", None),
            ("polyline", "points", "0,0 1,1 2", Some(("path-bad", 8))),
            ("polyline", "points", "0,0 x,1", Some(("path-bad", 4))),
            ("polyline", "points", "0 0 1 1", None),
            ("rect", "width", "-5", Some(("number-bad", 0))),
            ("rect", "width", " inf", Some(("number-bad", 1))),
            ("rect", "x", "-5", None),
            ("rect", "width", "12furlong", Some(("number-bad", 2))),
            ("g", "transform", "rotate(45deg)", Some(("transform-bad", 0))),
            ("g", "transform", "scale(0)", Some(("transform-bad", 0))),
            ("g", "transform", "translate(1 2) rotate(5)", None),
        ];
        for (tag, key, value, expected) in cases {
            let found = code_at(tag, key, value);
            assert_eq!(found.map(|f| f.0), expected.map(|e| e.0), "{value}");
            if key != "transform" {
                assert_eq!(found, expected, "{value}");
            }
        }
    }

    #[test]
    fn the_largest_number_is_found() {
        assert_eq!(check("path", "d", "M0 0L-7e5 1").largest, 7e5);
        assert_eq!(check("rect", "x", "12 -13").largest, 13.0);
    }
}
