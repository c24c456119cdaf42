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
    /// The signature over the checksums.
    pub const SIGNATURE: &'static str = "SHA256SUMS.minisig";
    /// What stands for the drawing in a translator's bundle, for kitwright.
    pub const BUNDLE: &'static str = "bundle.json";
    /// What a delta is, for programs.
    pub const DELTA: &'static str = "delta.json";
    /// How much cloth the kit takes and how its pieces lie on it, for programs.
    pub const LAYS: &'static str = "lays.json";
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

    /// Plain text to begin with, in a language; without its tag in the one that the publisher writes in.
    pub fn read_me(kit: &Kit, language: &str) -> String {
        if language == kit.source_language { Self::READ_ME.into() } else { format!("README-{language}.txt") }
    }

    /// A printed file with the words of another language than the one that the publisher writes in.
    pub fn in_language(name: &str, language: &str) -> String {
        match name.rsplit_once('.') {
            Some((stem, ending)) => format!("{stem}-{language}.{ending}"),
            None => format!("{name}-{language}"),
        }
    }

    /// The guide in a language.
    pub fn guide(&self, language: &str) -> String {
        format!("{}-guide-{language}.html", self.stem)
    }

    /// Home sheets for a paper.
    pub fn home(&self, paper: &str) -> String {
        format!("{}-home-{paper}.pdf", self.stem)
    }

    /// Home sheets for a paper with the lines of one size; sizes whose names cannot stand in a file name go by number.
    pub fn home_size(&self, paper: &str, kit: &Kit, size: usize) -> String {
        let plain = |name: &str| {
            let letters = name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' });
            letters.collect::<String>().trim_matches('-').to_owned()
        };
        let names: Vec<String> = kit.sizes.iter().map(|size| plain(&size.name)).collect();
        let own = names.get(size).cloned().unwrap_or_default();
        let clear = !own.is_empty() && names.iter().filter(|name| **name == own).count() == 1;
        let own = if clear { own } else { format!("no-{}", size + 1) };
        format!("{}-home-{paper}-size-{own}.pdf", self.stem)
    }

    /// The blank sheets of a paper, to be filled in.
    pub fn blank(&self, paper: &str) -> String {
        format!("{}-blank-{paper}.svg", self.stem)
    }

    /// The wide sheet for a paper as print shops want it.
    pub fn wide_flat(&self, paper: &str) -> String {
        format!("{}-wide-{paper}-flat.pdf", self.stem)
    }

    /// What a translator gets, in a zip.
    pub fn bundle(&self, language: &str) -> String {
        format!("{}-translate-{language}.zip", self.stem)
    }

    /// The drawing for projecting.
    pub fn projection(&self) -> String {
        format!("{}-projection.pdf", self.stem)
    }

    /// What a tester gets in a round, in a zip.
    pub fn review(&self, round: u32, tester: &str) -> String {
        format!("{}-review-{round}-{tester}.zip", self.stem)
    }

    /// What buyers of an earlier edition need of this one, in a zip.
    pub fn delta(&self, since: &str) -> String {
        format!("{}-from-{since}.zip", self.stem)
    }

    /// The sheets of a paper that an edition corrects.
    pub fn corrections(&self, paper: &str) -> String {
        format!("{}-corrections-{paper}.pdf", self.stem)
    }

    /// What a tester fills in.
    pub fn form(&self) -> String {
        format!("{}-feedback.html", self.stem)
    }

    /// The round of a bundle of this kit for a tester, whatever its edition, by the name of its zip.
    pub fn round_of(kit: &Kit, tester: &str, file: &str) -> Option<u32> {
        let rest =
            file.strip_prefix(&kit.name)?.strip_prefix('-')?.strip_suffix(".zip")?.strip_suffix(tester)?.strip_suffix('-')?;
        let (edition, round) = rest.rsplit_once("-review-")?;
        semver::Version::parse(edition).ok()?;
        round.parse().ok()
    }

    /// The page for the publisher's own eyes; it is no part of a package.
    pub fn proof(&self) -> String {
        format!("{}-proof.html", self.stem)
    }

    /// What testers say of a kit, ending in `html` or `csv`; it is no part of a package, and of no single edition.
    pub fn feedback(kit: &str, ending: &str) -> String {
        format!("{kit}-feedback.{ending}")
    }

    /// A picture of what it shows: `whole`, or a sheet.
    pub fn picture(&self, what: &str) -> String {
        format!("{}-{what}.png", self.stem)
    }

    /// A picture of a lay: its cloth by number, its size and its width in cm.
    pub fn lay(&self, what: &str) -> String {
        format!("{}-lay-{what}.svg", self.stem)
    }

    /// The wide sheet for a paper, ending in `pdf` or `svg`.
    pub fn wide(&self, paper: &str, ending: &str) -> String {
        format!("{}-wide-{paper}.{ending}", self.stem)
    }
}
