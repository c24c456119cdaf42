//! The record of released editions: YAML that kitwright adds to and never rewrites.

use super::digest;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::manifest::{Line, Places, small_file};
use schemars::JsonSchema;
use serde::Deserialize;

/// What a new file begins with.
const HEAD: &str = "# What was released, the last one at the end. `kitwright release` adds to this file and changes nothing that stands in it.\neditions:\n";

/// All released editions of a kit.
#[derive(Clone, Debug, Default)]
pub struct Editions {
    /// In the order of their release.
    pub list: Vec<Released>,
    /// Where each value stands.
    pub places: Places,
}

/// A released edition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Released {
    /// Its version.
    pub edition: semver::Version,
    /// Its day, as the manifest said it.
    pub date: jiff::civil::Date,
    /// Path of its package from the kit's folder, with `/` between its parts.
    pub package: String,
    /// SHA-256 of the package.
    pub sha256: String,
    /// SHA-256 of what the guide said was changed.
    pub changes: String,
}

#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(title = "kitwright editions", deny_unknown_fields)]
struct RawEditions {
    /// The last one stands at the end.
    #[schemars(length(min = 1, max = 1000))]
    editions: Vec<RawReleased>,
}

#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Released", deny_unknown_fields)]
struct RawReleased {
    /// Version, as in `1.2.0`.
    edition: Line,
    /// Day of the edition, as in `2026-11-20`.
    date: Line,
    /// Path of the package, from the kit's folder.
    package: Line,
    /// SHA-256 of the package.
    sha256: Line,
    /// SHA-256 of the text about what has changed.
    changes: Line,
}

impl Editions {
    /// Reads a record; `name` is the file as findings shall call it. There is one only if nothing is wrong with it.
    pub fn read(name: &str, text: &str) -> (Option<Self>, Findings) {
        let (raw, places, mut findings) = small_file::<RawEditions>(name, text);
        let Some(raw) = raw else { return (None, findings) };
        let list = raw.editions.iter().enumerate().filter_map(|(index, raw)| findings.take(released(raw, index, &places)));
        let editions = Self { list: list.collect(), places };
        (Some(editions).filter(|_| !findings.has_errors()), findings)
    }

    /// The largest one, if there is any.
    pub fn largest(&self) -> Option<&Released> {
        self.list.iter().max_by(|a, b| a.edition.cmp(&b.edition))
    }

    /// The one of this very version.
    pub fn of(&self, edition: &semver::Version) -> Option<&Released> {
        self.list.iter().find(|released| released.edition == *edition)
    }

    /// The largest one before a version.
    pub fn before(&self, edition: &semver::Version) -> Option<&Released> {
        self.list.iter().filter(|released| released.edition < *edition).max_by(|a, b| a.edition.cmp(&b.edition))
    }

    /// The one of this very version, or else the largest before it.
    pub fn until(&self, edition: &semver::Version) -> Option<&Released> {
        self.of(edition).or_else(|| self.before(edition))
    }

    /// Fails with `edition-package` if the package of an edition is not at hand, or is another than was released.
    pub fn intact(&self, released: &Released, package: Option<&[u8]>) -> Result<(), Diagnostic> {
        let index = self.list.iter().position(|other| other == released).unwrap_or(0);
        let place = || self.places.of_path(&format!("editions[{index}].package"));
        let Released { edition, package: name, .. } = released;
        match package {
            None => Err(error!("edition-package", edition, name).at(place())),
            Some(bytes) if digest(bytes) == released.sha256 => Ok(()),
            Some(_) => Err(error!("edition-package/changed", edition, name).at(place())),
        }
    }

    /// The text of the record with one more edition; what stood in it stays as it was. None if the old text is written in a form
    /// that cannot be added to at its end.
    pub fn added(name: &str, text: Option<&str>, new: &Released) -> Option<String> {
        let head = text.unwrap_or(HEAD);
        let blank = if head.ends_with('\n') { "" } else { "\n" };
        let Released { edition, date, package, sha256, changes } = new;
        let package = serde_json::to_string(package).ok()?;
        // Texts that look like numbers or dates are quoted, so that no reader takes them for one.
        let entry = format!(
            "  - edition: \"{edition}\"\n    date: \"{date}\"\n    package: {package}\n    sha256: \"{sha256}\"\n    changes: \"{changes}\"\n"
        );
        let all = format!("{head}{blank}{entry}");
        let before = text.map_or(Some(Self::default()), |text| Self::read(name, text).0)?;
        let whole = Self::read(name, &all).0?;
        let expected = before.list.into_iter().chain([new.clone()]);
        whole.list.iter().cloned().eq(expected).then_some(all)
    }
}

fn released(raw: &RawReleased, index: usize, places: &Places) -> Result<Released, Diagnostic> {
    let place = |key: &str| -> Place { places.of_path(&format!("editions[{index}].{key}")) };
    let bad = |key: &str, text: &str| error!("editions-value", key, text).at(place(key));
    let sum = |key: &str, line: &Line| -> Result<String, Diagnostic> {
        let is_sum = line.0.len() == 64 && line.0.bytes().all(|byte| byte.is_ascii_hexdigit());
        is_sum.then(|| line.0.to_ascii_lowercase()).ok_or_else(|| bad(key, &line.0))
    };
    Ok(Released {
        edition: raw.edition.0.trim().parse().map_err(|_| bad("edition", &raw.edition.0))?,
        date: raw.date.0.trim().parse().map_err(|_| bad("date", &raw.date.0))?,
        package: raw.package.0.trim().to_owned(),
        sha256: sum("sha256", &raw.sha256)?,
        changes: sum("changes", &raw.changes)?,
    })
}
