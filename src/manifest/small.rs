//! Other YAML files that stand beside a manifest: held against their schema like it, every value with its place.

use super::document::is_yaml;
use super::places::Places;
use super::schema;
use super::shape::Shape;
use super::yaml;
use crate::diagnostic::{Findings, Place};
use schemars::JsonSchema;
use serde::de::DeserializeOwned;

/// Reads a file of known keys; `name` is the file as findings shall call it.
///
/// There is a value only if nothing is wrong with its form; the places are there whenever the text is YAML. Refuses what a
/// manifest may not have either: more than 1 MB, more than 32 levels, anchors, tags, keys that stand twice or that are unknown.
pub fn small_file<T: DeserializeOwned + JsonSchema>(name: &str, text: &str) -> (Option<T>, Places, Findings) {
    let mut findings = Findings::new();
    let text = yaml::normalised(text);
    let outcome = yaml::read(name, &text, &mut findings);
    let root = outcome.root.filter(|root| !matches!(root.value, yaml::Value::Null { .. }));
    let Some(root) = root else {
        if findings.is_empty() {
            findings.push(error!("yaml-empty/bare").at(Place::at(name, 1, 1)));
        }
        return (None, Places::of(name), findings);
    };
    let places = root.places(name);
    Shape::check(&root, &schema::of::<T>(), &places, &mut findings);
    let sound = outcome.whole && !findings.has_errors() && is_yaml(name, &text, &mut findings);
    let value = sound.then(|| read(name, &text, &mut findings)).flatten();
    (value, places, findings)
}

/// The second pass, in which only what the schema cannot tell is found.
fn read<T: DeserializeOwned>(name: &str, text: &str, findings: &mut Findings) -> Option<T> {
    let read = serde_yaml::from_str(text);
    findings.take(read.map_err(|error| error!("yaml-syntax", error).at(Place::file(name))))
}
