//! What a drawing may hold that paper cannot show, or that the SVG library drops without a word.

use super::numbers;
use crate::diagnostic::Diagnostic;

/// Elements that move other elements.
const MOVING: [&str; 6] = ["animate", "animateTransform", "animateMotion", "animateColor", "set", "discard"];

/// What is wrong with an element of this tag; `asks` says whether it asks for extensions that nobody has, so that it is
/// never shown.
pub fn of_element(tag: &str, asks: bool) -> Option<Diagnostic> {
    match tag {
        _ if MOVING.contains(&tag) => Some(error!("unsupported-animation", tag)),
        "foreignObject" if !asks => Some(error!("unsupported-foreign")),
        "flowRoot" => Some(error!("unsupported-text")),
        _ => None,
    }
}

/// What is wrong with a script, wherever it stands.
pub fn script() -> Diagnostic {
    error!("unsupported-script")
}

/// What is wrong with an attribute or property of an element of this tag, if anything.
pub fn of_property(tag: &str, key: &str, value: &str) -> Option<Diagnostic> {
    let value = value.trim();
    match key {
        "clip-path" if !value.contains("url(") && !matches!(value, "none" | "inherit" | "") => {
            Some(error!("unsupported-clip/value", value))
        }
        "vector-effect" if value == "non-scaling-stroke" => Some(error!("unsupported-stroke")),
        // The SVG library paints what it cannot read in black, or not at all.
        "fill" | "stroke" if !MOVING.contains(&tag) && svgtypes::Paint::from_str(value).is_err() && !value.is_empty() => {
            Some(error!("colour-bad", key, value))
        }
        _ if key.len() > 2 && key.starts_with("on") && key.bytes().all(|b| b.is_ascii_lowercase()) => {
            Some(error!("unsupported-script/property", key))
        }
        _ => None,
    }
}

/// What is wrong with a style sheet: rules that are not read, and bad values.
pub fn of_sheet(text: &str) -> Vec<Diagnostic> {
    let mut faults = Vec::new();
    if let Some(rule) = ["@import", "@media", "@supports", "@layer"].into_iter().find(|rule| text.contains(rule)) {
        faults.push(error!("unsupported-import", rule));
    }
    for declaration in simplecss::StyleSheet::parse(text).rules.iter().flat_map(|rule| &rule.declarations) {
        faults.extend(of_property("", declaration.name, declaration.value));
        faults.extend(numbers::check("", declaration.name, declaration.value).fault.map(|fault| fault.finding));
    }
    faults
}

/// What is wrong with a processing instruction, given its text.
pub fn of_instruction(text: &str) -> Option<Diagnostic> {
    let outside = text.trim_start().starts_with("xml-stylesheet");
    outside.then(|| error!("unsupported-import/elsewhere"))
}
