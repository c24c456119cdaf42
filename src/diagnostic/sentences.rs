//! Every sentence that the program says to its user, from `templates/messages`; a file is parsed only once it is needed.

use serde_yaml::{Mapping, Value};
use std::collections::BTreeMap;
use std::fmt::Display;
use std::sync::{LazyLock, OnceLock};

/// A file of sentences.
struct Source {
    text: &'static str,
    parsed: OnceLock<Mapping>,
}

macro_rules! sources {
    ($($name:literal),* $(,)?) => {
        static SOURCES: [Source; [$($name),*].len()] = [$(Source {
            text: include_str!(concat!("../../templates/messages/", $name, ".yaml")),
            parsed: OnceLock::new(),
        }),*];
    };
}

// In the order of docs/messages.md; the last four hold what belongs to no code.
sources![
    "kit-files",
    "manifest-form",
    "manifest-values",
    "guide-texts",
    "drawing-scale",
    "drawing-ink",
    "drawing-layers",
    "drawing-elements",
    "plan",
    "lays",
    "package",
    "translations",
    "rounds",
    "editions",
    "faults",
    "shared",
    "screen",
    "translators",
    "changes",
];

impl Source {
    fn parsed(&'static self) -> &'static Mapping {
        // A test holds that all of them can be read.
        self.parsed.get_or_init(|| serde_yaml::from_str(self.text).unwrap_or_default())
    }

    /// A code or a line.
    fn find(&'static self, name: &str) -> Option<&'static Value> {
        ["codes", "lines"].iter().find_map(|list| self.parsed().get(*list)?.get(name))
    }
}

/// The files that may have a code or a line, told from the beginnings of their lines: this saves parsing all others.
static PLACES: LazyLock<BTreeMap<&'static str, Vec<&'static Source>>> = LazyLock::new(|| {
    let mut places: BTreeMap<&str, Vec<&Source>> = BTreeMap::new();
    for source in &SOURCES {
        let names = source.text.lines().filter_map(|line| Some(line.strip_prefix("  ")?.split_once(':')?.0));
        names.for_each(|name| places.entry(name).or_default().push(source));
    }
    places
});

/// What stands at a key: `code`, `code/variant` or the name of a line.
fn at(key: &str) -> Option<&'static Value> {
    let (name, variant) = key.split_once('/').map_or((key, None), |(name, variant)| (name, Some(variant)));
    let entry = PLACES.get(name)?.iter().find_map(|source| source.find(name))?;
    variant.map_or(Some(entry), |variant| entry.get("variants")?.get(variant))
}

/// A text, or the entry of a map; the key itself where there is neither, so that something is said at least.
fn said(key: &'static str) -> &'static str {
    at(key).and_then(|value| value.as_str().or_else(|| value.get("says")?.as_str())).unwrap_or(key)
}

/// The sentence at a key, which has no holes.
pub fn words(key: &'static str) -> &'static str {
    said(key)
}

/// The sentence at a key, with its holes filled.
pub fn filled(key: &'static str, holes: &[(&str, &dyn Display)]) -> String {
    fill(said(key), holes)
}

/// What to do about a finding, filled alike.
pub(super) fn fixes(key: &'static str, holes: &[(&str, &dyn Display)]) -> Vec<String> {
    at(key).map_or_else(Vec::new, |entry| texts(entry.get("fix")).map(|text| fill(text, holes)).collect())
}

/// One text, or each of a list.
fn texts(value: Option<&'static Value>) -> impl Iterator<Item = &'static str> {
    let list = value.and_then(Value::as_sequence).into_iter().flatten();
    value.filter(|value| value.is_string()).into_iter().chain(list).filter_map(Value::as_str)
}

/// Fills `{name}`; braces around anything else stay, and so do those of what is filled in.
fn fill(text: &str, holes: &[(&str, &dyn Display)]) -> String {
    let mut filled = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once('{') {
        filled.push_str(before);
        let hole = behind.split_once('}').and_then(|(name, after)| {
            let (_, value) = holes.iter().find(|(known, _)| *known == name)?;
            Some((value, after))
        });
        rest = match hole {
            Some((value, after)) => {
                filled.push_str(&value.to_string());
                after
            }
            None => {
                filled.push('{');
                behind
            }
        };
    }
    filled + rest
}

/// A section of codes, as docs/messages.md and `kitwright explain` show it.
#[derive(Clone, Debug)]
pub struct Section {
    /// Heading.
    pub title: &'static str,
    /// Markdown above the table; may be empty.
    pub intro: &'static str,
    /// Markdown below the table; may be empty.
    pub outro: &'static str,
    /// The codes, in order.
    pub codes: Vec<Told>,
}

/// What is told about a code.
#[derive(Clone, Copy, Debug)]
pub struct Told {
    /// The code.
    pub code: &'static str,
    /// What is wrong.
    pub means: &'static str,
    /// What to do, in short.
    pub action: &'static str,
    /// Why it matters on paper or to the buyer.
    pub why: &'static str,
    /// How to mend it, step by step.
    pub mend: &'static str,
}

/// All sections with codes, in the order of docs/messages.md.
pub fn sections() -> Vec<Section> {
    let sections = SOURCES.iter().map(|source| {
        let text = |key: &str| source.parsed().get(key).and_then(Value::as_str).unwrap_or_default();
        let codes = source.parsed().get("codes").and_then(Value::as_mapping).into_iter().flatten();
        Section {
            title: text("title"),
            intro: text("intro"),
            outro: text("outro"),
            codes: codes.filter_map(|(code, entry)| Some(told(code.as_str()?, entry))).collect(),
        }
    });
    sections.filter(|section| !section.codes.is_empty()).collect()
}

fn told(code: &'static str, entry: &'static Value) -> Told {
    let text = |key: &str| entry.get(key).and_then(Value::as_str).unwrap_or_default();
    Told { code, means: text("means"), action: text("do"), why: text("why"), mend: text("mend") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_file_of_the_folder_is_embedded_and_can_be_read() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/messages");
        let files = std::fs::read_dir(folder)
            .unwrap()
            .filter(|entry| entry.as_ref().unwrap().path().extension().is_some_and(|extension| extension == "yaml"));
        assert_eq!(files.count(), SOURCES.len());
        for source in &SOURCES {
            let read: Result<Mapping, _> = serde_yaml::from_str(source.text);
            assert!(read.is_ok_and(|file| !file.is_empty()), "{:?}", source.text.lines().next());
        }
    }

    #[test]
    fn holes_are_filled_once_and_other_braces_stay() {
        let holes: [(&str, &dyn Display); 2] = [("a", &"{b}"), ("b", &2)];
        assert_eq!(fill("{a} and {b}, {paper: {b}, c} {", &holes), "{b} and 2, {paper: 2, c} {");
    }

    #[test]
    fn an_unknown_key_is_said_itself() {
        assert_eq!(words("no-such-key"), "no-such-key");
        assert_eq!(filled("paper-unknown/no-such-variant", &[]), "paper-unknown/no-such-variant");
        assert!(fixes("no-such-key", &[]).is_empty());
    }
}
