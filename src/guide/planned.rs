//! What a guide needs of the drawing: layouts, pictures made from it, and the list of the package's files.
//!
//! It can be written to a file, so that translators can make the guide without having the drawing.

use super::PackedFile;
use crate::lays::LayBook;
use crate::plan::Layout;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Everything about a kit's drawing that its guide shows.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Planned {
    /// Those of the files with all sizes, in the manifest's order.
    pub layouts: Vec<Layout>,
    /// By language, one inline SVG for each home layout.
    pub maps: BTreeMap<String, Vec<String>>,
    /// For each size its name and an inline SVG with a sample of its line.
    pub samples: Vec<(String, String)>,
    /// All files of the package, in the order in which they are listed.
    pub files: Vec<PackedFile>,
    /// How the pieces lie on cloth, if the manifest tells of any.
    #[serde(default)]
    pub lays: Option<LayBook>,
}

impl Planned {
    /// The maps in a language; in a language that has none, those of any other, since a map has few words.
    pub fn maps(&self, language: &str) -> &[String] {
        self.maps.get(language).or_else(|| self.maps.values().next()).map(Vec::as_slice).unwrap_or_default()
    }
}
