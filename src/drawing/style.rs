//! What style sheets say of hiding and linking; everything else of CSS is the SVG library's business.

use super::linking::{known_key, link};
use super::outline::{Element, Link, Outline};
use super::prepass::visibility;
use super::source::Source;
use crate::diagnostic::{Diagnostic, Place};
use simplecss::{AttributeOperator, PseudoClass, Rule, StyleSheet};
use std::borrow::Cow;

/// An element as selectors see it.
struct Node<'o, 'a>(&'o Outline<'a>, usize);

impl Node<'_, '_> {
    fn element(&self) -> Option<&Element<'_>> {
        self.0.elements.get(self.1)
    }
}

impl simplecss::Element for Node<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        self.element()?.parent.map(|parent| Node(self.0, parent))
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        self.element()?.previous.map(|previous| Node(self.0, previous))
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.element().is_some_and(|element| element.tag.rsplit(':').next() == Some(name))
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        self.0.attribute(self.1, name).is_some_and(|value| operator.matches(&value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        class == PseudoClass::FirstChild && self.element().is_some_and(|element| element.previous.is_none())
    }
}

/// What the sheets change of one element.
#[derive(Default)]
struct Change {
    gone: Option<bool>,
    visible: Option<bool>,
    links: Vec<(&'static str, String)>,
}

/// Puts what the style sheets say of hiding and linking into the outline, unless they have too many rules for it.
pub fn apply(source: &Source, outline: &mut Outline) -> Result<(), Diagnostic> {
    let sheets = std::mem::take(&mut outline.sheets);
    let mut sheet = StyleSheet::new();
    sheets.iter().for_each(|text| sheet.parse_more(text));
    if sheet.rules.len().saturating_mul(outline.elements.len()) > source.limits.styled {
        let (rules, elements) = (sheet.rules.len(), outline.elements.len());
        return Err(error!("drawing-too-complex/rules", rules, elements).at(Place::file(source.file)));
    }
    sheet.rules.retain(|rule| rule.declarations.iter().any(|declaration| concerns(declaration.name)));
    if !sheet.rules.is_empty() {
        let changes: Vec<Change> = (0..outline.elements.len()).map(|element| change(outline, element, &sheet.rules)).collect();
        for (number, change) in changes.into_iter().enumerate() {
            enter(outline, number, change);
        }
    }
    outline.sheets = sheets;
    Ok(())
}

fn concerns(property: &str) -> bool {
    !matches!(known_key(property), "" | "transform" | "stroke-width" | "font-size" | "stroke-dasharray")
}

fn change(outline: &Outline, element: usize, rules: &[Rule]) -> Change {
    let mut change = Change::default();
    let node = Node(outline, element);
    let declarations = rules.iter().filter(|rule| rule.selector.matches(&node)).flat_map(|rule| &rule.declarations);
    for declaration in declarations {
        match declaration.name {
            "display" => change.gone = Some(declaration.value.trim() == "none"),
            "visibility" => change.visible = visibility(declaration.value),
            name if concerns(name) => change.links.push((known_key(name), declaration.value.to_owned())),
            _ => {}
        }
    }
    // What stands at the element itself rules over every sheet (CSS Cascading, "Specificity"), `!important` aside.
    let own = outline.attribute(element, "style").unwrap_or_default();
    for declaration in simplecss::DeclarationTokenizer::from(&*own) {
        match declaration.name {
            "display" => change.gone = None,
            "visibility" => change.visible = None,
            name => change.links.retain(|(key, _)| *key != name),
        }
    }
    change
}

fn enter(outline: &mut Outline, number: usize, change: Change) {
    let Some(element) = outline.elements.get_mut(number) else { return };
    element.gone = change.gone.unwrap_or(element.gone);
    element.visible = change.visible.or(element.visible);
    let start = element.start;
    let links = change.links.into_iter().filter_map(|(key, value)| link(number, key, Cow::Owned(value), start));
    outline.links.extend(links.collect::<Vec<Link>>());
}
