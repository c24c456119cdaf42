//! Names of the files in a package: they sort, and say what they are.

use crate::manifest::Kit;

/// The names of one kit's files.
#[derive(Clone, Debug)]
pub struct Names {
    stem: String,
}

impl Names {
    /// Plain text to begin with.
    pub const READ_ME: &'static str = "README.txt";
    /// Checksums of all other files.
    pub const SUMS: &'static str = "SHA256SUMS";
    /// What the kit promises, for programs.
    pub const PROMISES: &'static str = "promises.json";

    /// Names for a kit and its edition.
    pub fn of(kit: &Kit) -> Self {
        Self { stem: format!("{}-{}", kit.name, kit.edition) }
    }

    /// The package itself.
    pub fn package(&self) -> String {
        format!("{}.zip", self.stem)
    }

    /// The guide in a language.
    pub fn guide(&self, language: &str) -> String {
        format!("{}-guide-{language}.html", self.stem)
    }

    /// Home sheets for a paper.
    pub fn home(&self, paper: &str) -> String {
        format!("{}-home-{paper}.pdf", self.stem)
    }

    /// The wide sheet for a paper, ending in `pdf` or `svg`.
    pub fn wide(&self, paper: &str, ending: &str) -> String {
        format!("{}-wide-{paper}.{ending}", self.stem)
    }
}
