//! A YAML document as a tree in which every value knows its line and column.

use crate::diagnostic::Place;
use crate::manifest::Places;

/// A line and a column in characters, both from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

impl Spot {
    /// The spot as a place of a file.
    pub fn place(self, file: &str) -> Place {
        Place::at(file, self.line, self.column)
    }
}

/// A value and where it begins.
#[derive(Clone, Debug)]
pub struct Node {
    /// First character of the value; of a block below its key, the key.
    pub spot: Spot,
    /// The value.
    pub value: Value,
}

/// What a manifest can hold.
#[derive(Clone, Debug)]
pub enum Value {
    /// Nothing after the colon, `~` or `null`.
    Null {
        /// Whether there is a word to point at.
        written: bool,
    },
    /// A text as written, without its quotes.
    Scalar(String),
    /// A list.
    List(Vec<Node>),
    /// A mapping in the order of the file.
    Map(Vec<(Key, Node)>),
    /// Something that was refused already, and is not worth a second finding.
    Refused,
}

/// A key and where it stands.
#[derive(Clone, Debug)]
pub struct Key {
    /// The key as written, without quotes.
    pub text: String,
    /// Its first character.
    pub spot: Spot,
}

impl Node {
    /// The value of a key of a mapping.
    pub fn get(&self, key: &str) -> Option<&Self> {
        match &self.value {
            Value::Map(entries) => entries.iter().find(|(k, _)| k.text == key).map(|(_, node)| node),
            _ => None,
        }
    }

    /// How many entries a list has; anything else has none.
    pub fn list_len(&self) -> usize {
        match &self.value {
            Value::List(items) => items.len(),
            _ => 0,
        }
    }

    /// Where every value stands, by path; the document itself has the empty path.
    pub fn places(&self, file: &str) -> Places {
        let mut places = Places::of(file);
        self.note(String::new(), file, &mut places);
        places
    }

    fn note(&self, path: String, file: &str, places: &mut Places) {
        match &self.value {
            Value::List(items) => items.iter().enumerate().for_each(|(i, n)| n.note(item_path(&path, i), file, places)),
            Value::Map(entries) => entries.iter().for_each(|(k, n)| n.note(key_path(&path, &k.text), file, places)),
            _ => {}
        }
        places.insert(path, self.spot.place(file));
    }
}

/// The path of a key's value: `drawing` and `file` make `drawing.file`.
pub fn key_path(parent: &str, key: &str) -> String {
    if parent.is_empty() { key.to_owned() } else { format!("{parent}.{key}") }
}

/// The path of a list's entry, counted from 0: `papers` and 1 make `papers[1]`.
pub fn item_path(parent: &str, index: usize) -> String {
    format!("{parent}[{index}]")
}
