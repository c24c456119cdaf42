//! The second pass: serde_yaml reads every top level key by itself, so that one bad value does not hide the others.

use super::places::Places;
use super::section::{List, Section};
use super::yaml::{Node, item_path};
use crate::diagnostic::Findings;
use serde::Deserialize;
use serde::de::{DeserializeOwned, DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use std::collections::BTreeSet;
use std::fmt;
use std::marker::PhantomData;

/// Bytes of a text up to which lists with a bad entry are read entry by entry, so that no file costs more than a second.
const MAX_ITEMWISE: usize = 64_000;

/// Reads the sections of one document.
pub struct Sections<'a> {
    /// Normalised text.
    pub text: &'a str,
    /// The tree of the first pass.
    pub root: &'a Node,
    /// Where everything stands.
    pub places: &'a Places,
    /// Paths that were refused already.
    pub faults: &'a BTreeSet<String>,
    /// Takes what only serde_yaml finds.
    pub findings: &'a mut Findings,
}

impl Sections<'_> {
    /// The value of a top level key.
    pub fn read<T: DeserializeOwned>(&mut self, key: &str) -> Section<T> {
        if self.root.get(key).is_none() {
            return Section::Absent;
        }
        self.value(key, Pick { key, item: None, kind: PhantomData }).map_or(Section::Broken, Section::Read)
    }

    /// The list of a top level key; entry by entry only if one of them was refused, as that takes a reading of the text each.
    pub fn list<T: DeserializeOwned>(&mut self, key: &str) -> List<T> {
        let Some(node) = self.root.get(key) else { return Section::Absent };
        let faulty = self.is_faulty(key);
        // A fault of the list itself leaves no entries to read.
        if self.faults.contains(key) || (faulty && self.text.len() > MAX_ITEMWISE) {
            return Section::Broken;
        }
        if !faulty {
            let all = self.value(key, Pick { key, item: None, kind: PhantomData::<Vec<T>> });
            return all.map_or(Section::Broken, |all| Section::Read(all.into_iter().map(Some).collect()));
        }
        let item = |index| self.value(&item_path(key, index), Pick { key, item: Some(index), kind: PhantomData });
        Section::Read((0..node.list_len()).map(item).collect())
    }

    fn is_faulty(&self, path: &str) -> bool {
        let within = |rest: &str| rest.is_empty() || rest.starts_with(['.', '[']);
        self.faults.iter().any(|fault| fault.strip_prefix(path).is_some_and(within))
    }

    fn value<T: DeserializeOwned>(&mut self, path: &str, pick: Pick<'_, T>) -> Option<T> {
        if self.is_faulty(path) {
            return None;
        }
        let mut track = serde_path_to_error::Track::new();
        let yaml = serde_yaml::Deserializer::from_str(self.text);
        let result = pick.deserialize(serde_path_to_error::Deserializer::new(yaml, &mut track));
        let failure = match result {
            Ok(found) => return found,
            Err(failure) => failure,
        };
        // A key that stands twice was told of already, at its own place.
        if !failure.to_string().contains("duplicate") {
            let path = track.path().to_string();
            self.findings.push(error!("value-type", path, failure).at(self.places.of_path(&path)));
        }
        None
    }
}

/// Picks one key's value, or one entry of its list, out of a document.
struct Pick<'a, T> {
    key: &'a str,
    item: Option<usize>,
    kind: PhantomData<T>,
}

impl<'de, T: Deserialize<'de>> DeserializeSeed<'de> for Pick<'_, T> {
    type Value = Option<T>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        deserializer.deserialize_map(self)
    }
}

impl<'de, T: Deserialize<'de>> Visitor<'de> for Pick<'_, T> {
    type Value = Option<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(words!("a-mapping"))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut picked = None;
        while let Some(key) = map.next_key::<String>()? {
            // Of a key that stands twice the first counts; the second was refused already.
            if key != self.key || picked.is_some() {
                map.next_value::<IgnoredAny>()?;
            } else if let Some(index) = self.item {
                picked = map.next_value_seed(PickItem { index, kind: PhantomData })?;
            } else {
                picked = Some(map.next_value()?);
            }
        }
        Ok(picked)
    }
}

/// Picks one entry out of a list.
struct PickItem<T> {
    index: usize,
    kind: PhantomData<T>,
}

impl<'de, T: Deserialize<'de>> DeserializeSeed<'de> for PickItem<T> {
    type Value = Option<T>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        deserializer.deserialize_seq(self)
    }
}

impl<'de, T: Deserialize<'de>> Visitor<'de> for PickItem<T> {
    type Value = Option<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(words!("a-list"))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
        for _ in 0..self.index {
            list.next_element::<IgnoredAny>()?;
        }
        let picked = list.next_element()?;
        // Read to the end: serde_yaml takes a list that is left half read for an error.
        while list.next_element::<IgnoredAny>()?.is_some() {}
        Ok(picked)
    }
}
