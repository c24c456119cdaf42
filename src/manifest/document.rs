//! One manifest file, read but not yet checked for meaning.

use super::checks::files;
use super::merge::KIT_ONLY;
use super::places::Places;
use super::raw::RawManifest;
use super::schema::schema;
use super::section::Section;
use super::sections::Sections;
use super::shape::Shape;
use super::yaml;
use crate::diagnostic::{Diagnostic, Findings, Place};
use serde::de::IgnoredAny;

/// A manifest file that could be read; it may still have findings.
#[derive(Clone, Debug)]
pub struct Document {
    pub(super) raw: RawManifest,
    pub(super) places: Places,
}

impl Document {
    /// The path at `shared:`, relative to the manifest's folder, if there is a usable one.
    pub fn shared(&self) -> Option<&str> {
        self.raw.shared.value().map(|path| path.0.as_str())
    }

    /// Whether it says anything that only a kit says; a file that several kits share does not.
    pub fn is_of_kit(&self) -> bool {
        KIT_ONLY.iter().any(|key| self.places.has(key))
    }
}

/// Reads a manifest or a shared file; `name` is the file as findings shall call it.
///
/// There is a document whenever the text is YAML throughout, so that later checks can find more; findings of severity error
/// stop the build all the same. Refuses texts of more than 1 MB, and more than 32 levels.
pub fn parse(name: &str, text: &str) -> (Option<Document>, Findings) {
    let mut findings = Findings::new();
    let text = yaml::normalised(text);
    let outcome = yaml::read(name, &text, &mut findings);
    let document = outcome.root.and_then(|root| of_tree(name, &text, &root, outcome.whole, &mut findings));
    if document.is_none() && findings.is_empty() {
        findings.push(empty(name));
    }
    (document, findings)
}

fn of_tree(name: &str, text: &str, root: &yaml::Node, whole: bool, findings: &mut Findings) -> Option<Document> {
    if matches!(root.value, yaml::Value::Null { .. }) {
        return None;
    }
    let (places, schema) = (root.places(name), schema());
    let faults = Shape::check(root, &schema, &places, findings);
    // The tree of a text with aliases or half read is good for findings only.
    if !whole || faults.contains("") || !is_yaml(name, text, findings) {
        return None;
    }
    let sections = Sections { text, root, places: &places, faults: &faults, findings };
    let mut raw = RawManifest::read(sections);
    check_shared(&mut raw, &places, findings);
    Some(Document { raw, places })
}

/// The two YAML readers differ in rare cases; what the second one refuses is told once, not for every key.
pub(super) fn is_yaml(name: &str, text: &str, findings: &mut Findings) -> bool {
    let Err(error) = serde_yaml::from_str::<IgnoredAny>(text) else { return true };
    if !findings.has_errors() {
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let at = error.location().map(|at| Place::at(name, number(at.line()), number(at.column())));
        findings.push(error!("yaml-syntax", error).at(at.unwrap_or_else(|| Place::file(name))));
    }
    false
}

/// The caller opens the shared file next, so its path is checked here already.
fn check_shared(raw: &mut RawManifest, places: &Places, findings: &mut Findings) {
    let Section::Read(path) = &mut raw.shared else { return };
    match files::inside(&path.0) {
        Ok(clean) => path.0 = clean,
        Err(refusal) => {
            findings.push(refusal.at(places.of_path("shared")));
            raw.shared = Section::Broken;
        }
    }
}

fn empty(name: &str) -> Diagnostic {
    error!("yaml-empty").at(Place::at(name, 1, 1))
}

impl RawManifest {
    /// Every top level key by its name.
    fn read(mut sections: Sections<'_>) -> Self {
        Self {
            name: sections.read("name"),
            title: sections.read("title"),
            shared: sections.read("shared"),
            publisher: sections.read("publisher"),
            edition: sections.read("edition"),
            date: sections.read("date"),
            copyright: sections.read("copyright"),
            logo: sections.read("logo"),
            mark_colour: sections.read("mark-colour"),
            source_language: sections.read("source-language"),
            languages: sections.list("languages"),
            untranslated: sections.read("untranslated"),
            drawing: sections.read("drawing"),
            blank: sections.read("blank"),
            sizes: sections.list("sizes"),
            base_layers: sections.list("base-layers"),
            never_printed: sections.list("never-printed"),
            papers: sections.list("papers"),
            margins: sections.read("margins"),
            margin_sets: sections.read("margin-sets"),
            border: sections.read("border"),
            layouts: sections.read("layouts"),
            joins: sections.read("joins"),
            join_error: sections.read("join-error"),
            size_files: sections.read("size-files"),
            projection: sections.read("projection"),
            size_lines: sections.read("size-lines"),
            size_names: sections.read("size-names"),
            fills: sections.read("fills"),
            control_measurements: sections.list("control-measurements"),
            cloths: sections.list("cloths"),
            seams: sections.list("seams"),
            fonts: sections.list("fonts"),
            brand_font: sections.read("brand-font"),
            guide: sections.read("guide"),
        }
    }
}
