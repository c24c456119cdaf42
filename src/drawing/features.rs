//! What a drawing may hold that paper cannot show, or that the SVG library drops without a word.

use super::numbers;
use crate::diagnostic::Diagnostic;

/// Elements that move other elements.
const MOVING: [&str; 6] = ["animate", "animateTransform", "animateMotion", "animateColor", "set", "discard"];

/// What is wrong with an element of this tag; `asks` says whether it asks for extensions that nobody has, so that it is
/// never shown.
pub fn of_element(tag: &str, asks: bool) -> Option<Diagnostic> {
    match tag {
        _ if MOVING.contains(&tag) => {
            let finding =
                Diagnostic::error("unsupported-animation", format!("`<{tag}>` moves or changes the drawing; paper cannot"));
            Some(finding.hint("take the animation off"))
        }
        "foreignObject" if !asks => {
            let finding = Diagnostic::error("unsupported-foreign", "`<foreignObject>` holds something that is no drawing");
            Some(finding.hint("turn it into text, paths or a picture in the editor"))
        }
        "flowRoot" => {
            let finding = Diagnostic::error("unsupported-text", "`<flowRoot>` is text that only one editor shows");
            Some(finding.hint("turn the flowed text into plain text or paths in the editor"))
        }
        _ => None,
    }
}

/// What is wrong with a script, wherever it stands.
pub fn script() -> Diagnostic {
    let finding =
        Diagnostic::error("unsupported-script", "the drawing holds a script, which could change it on screen; paper cannot");
    finding.hint("export the drawing without scripts")
}

/// What is wrong with an attribute or property of an element of this tag, if anything.
pub fn of_property(tag: &str, key: &str, value: &str) -> Option<Diagnostic> {
    let value = value.trim();
    match key {
        "clip-path" if !value.contains("url(") && !matches!(value, "none" | "inherit" | "") => {
            let finding = Diagnostic::error("unsupported-clip", format!("the clip `{value}` is not supported"));
            Some(finding.hint("clip by a path in the editor"))
        }
        "vector-effect" if value == "non-scaling-stroke" => {
            let finding = Diagnostic::error("unsupported-stroke", "`non-scaling-stroke` has no width on paper");
            Some(finding.hint("give the line a width of its own in the editor"))
        }
        // The SVG library paints what it cannot read in black, or not at all.
        "fill" | "stroke" if !MOVING.contains(&tag) && svgtypes::Paint::from_str(value).is_err() && !value.is_empty() => {
            let finding = Diagnostic::error("colour-bad", format!("`{key}` has the unknown colour `{value}`"));
            Some(finding.hint("choose the colour again in the editor, as RGB"))
        }
        _ if key.len() > 2 && key.starts_with("on") && key.bytes().all(|b| b.is_ascii_lowercase()) => {
            let finding =
                Diagnostic::error("unsupported-script", format!("`{key}` runs a script, which could change the drawing"));
            Some(finding.hint("export the drawing without scripts"))
        }
        _ => None,
    }
}

/// What is wrong with a style sheet: rules that are not read, and bad values.
pub fn of_sheet(text: &str) -> Vec<Diagnostic> {
    let mut faults = Vec::new();
    if let Some(rule) = ["@import", "@media", "@supports", "@layer"].into_iter().find(|rule| text.contains(rule)) {
        let finding =
            Diagnostic::error("unsupported-import", format!("the style sheet has an `{rule}` rule, which is not read"));
        faults.push(finding.hint("export the drawing with its styles written at the elements"));
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
    let finding =
        || Diagnostic::error("unsupported-import", "the drawing takes its styles from another file, which is not read");
    outside.then(|| finding().hint("export the drawing with its styles inside"))
}
