//! What a drawing may hold that paper cannot show, or that the SVG library drops without a word.

use super::numbers;
use crate::diagnostic::Diagnostic;
use std::collections::BTreeSet;

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
    faults.extend(unread(text).into_iter().map(|selector| error!("unsupported-selector", selector)));
    let sheet = simplecss::StyleSheet::parse(text);
    let declarations = || sheet.rules.iter().flat_map(|rule| &rule.declarations);
    let important = |name: &str| declarations().filter(|it| it.important && it.name == name).count();
    // Of several rules that rule over all others, the SVG library takes the wrong one.
    if let Some(twice) = declarations().find(|it| it.important && important(it.name) > 1) {
        faults.push(error!("unsupported-selector/important", name = twice.name));
    }
    for declaration in declarations() {
        faults.extend(of_property("", declaration.name, declaration.value));
        faults.extend(numbers::check("", declaration.name, declaration.value).fault.map(|fault| fault.finding));
    }
    faults
}

/// Selectors of a style sheet that the SVG library passes over, with all that they say, each once.
fn unread(text: &str) -> BTreeSet<String> {
    let mut parts = text.split("/*");
    let said = parts.next().into_iter().chain(parts.filter_map(|part| part.split_once("*/")).map(|(_, after)| after));
    let said: String = said.collect();
    let heads = said.split('}').filter_map(|rule| rule.split_once('{')).map(|(head, _)| head);
    // Statements without braces may stand before; a comma within brackets makes two parts that cannot be read either.
    let selectors = heads.filter_map(|head| head.rsplit(';').next()).flat_map(|head| head.split(',')).map(str::trim);
    let passed_over = |selector: &&str| simplecss::Selector::parse(selector).is_none() || selector.contains(":lang");
    selectors.filter(|it| !it.is_empty() && !it.starts_with('@')).filter(passed_over).map(str::to_owned).collect()
}

/// What is wrong with a processing instruction, given its text.
pub fn of_instruction(text: &str) -> Option<Diagnostic> {
    let outside = text.trim_start().starts_with("xml-stylesheet");
    outside.then(|| error!("unsupported-import/elsewhere"))
}

#[cfg(test)]
mod tests {
    use super::{of_sheet, unread};

    #[test]
    fn selectors_that_are_passed_over_are_told_once() {
        // The forms that common editors write, and those of CSS 2 that simplecss reads.
        let read = "@charset \"utf-8\"; .cls-1, .st0 { fill: none } /* a { } */ #a > rect:first-child, g path { stroke: black } @font-face { x: y } *{}";
        assert!(unread(read).is_empty(), "{:?}", unread(read));
        let sheet = "rect[id^='a'], rect:not(.b) {fill: red} p:nth-child(2) {} :lang(de) {} rect:not(.b) {} a:hover {}";
        let told: Vec<String> = unread(sheet).into_iter().collect();
        assert_eq!(told, [":lang(de)", "p:nth-child(2)", "rect:not(.b)", "rect[id^='a']"]);
    }

    #[test]
    fn rules_that_rule_over_each_other_are_told() {
        let codes = |sheet| of_sheet(sheet).iter().map(|finding| finding.code).collect::<Vec<_>>();
        assert!(codes("a { fill: red !important } b { stroke: red !important } .c { fill: blue }").is_empty());
        assert_eq!(codes("a { fill: red !important } b { fill: blue !important }"), ["unsupported-selector"]);
    }
}
