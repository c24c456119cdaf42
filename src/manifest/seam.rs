//! Lengths along lines of the drawing: seams, and what is sewn along them.

use crate::units::Length;

/// A seam, or binding, elastic and the like along one.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// What the guide calls it.
    pub name: String,
    /// What kind of binding or elastic serves.
    pub what: Option<String>,
    /// Names of the lines it runs along, one at least, as [`Seam::lines`] gives them for a size.
    pub along: Vec<String>,
    /// How often it runs there, from 1.
    pub times: u32,
    /// How long it is for each length of the lines: 0.9 for elastic that is stretched by a ninth.
    pub share: f64,
    /// What is added for ends and joins.
    pub extra: Length,
    /// To which step the length is rounded up.
    pub round_up: Length,
    /// Path of its entry in the manifest, for findings.
    pub entry: String,
}

/// What stands for the name of each size in names of lines.
pub const SIZE: &str = "<size>";

impl Seam {
    /// The names of its lines in a size; without a size as they are written.
    pub fn lines<'a>(&'a self, size: Option<&'a str>) -> impl Iterator<Item = String> + 'a {
        self.along.iter().map(move |line| size.map_or_else(|| line.clone(), |size| line.replace(SIZE, size)))
    }
}
