//! An order: what one kit shall become, and its making.

use super::args;
use super::build::{known, make, refuse_strangers};
use super::compare::package_at;
use super::depfile::{self, Rule};
use super::earlier::Earlier;
use super::key;
use super::kit::{Loaded, load_by};
use super::screen::Screen;
use super::store::Store;
use super::verify::folder;
use crate::diagnostic::{Diagnostic, Findings};
use crate::editions::digest;
use crate::files::{self, SourceFolder};
use crate::manifest::Kit;
use crate::package::{self, Names, Signer};
use crate::verify::Opened;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A kit, cut down to the wished papers and languages, and where its package goes.
pub(super) struct Order {
    loaded: Loaded,
    languages: Vec<String>,
    package: PathBuf,
}

/// What an order became.
pub(super) struct Built {
    /// Path of the package.
    pub(super) package: String,
    /// Its size.
    pub(super) bytes: usize,
    /// Its SHA-256.
    pub(super) sha256: String,
    /// Names of the files in it.
    pub(super) files: Vec<String>,
    /// What it was made from, if that is wished.
    pub(super) rule: Option<Rule>,
}

/// What all orders of a run have in common, besides their kits.
pub(super) struct Means {
    signer: Option<Signer>,
    since: Option<Opened>,
    /// The files behind these, if it is wished to know what packages are made from.
    sources: Option<BTreeSet<PathBuf>>,
}

impl Means {
    /// Reads key and earlier package, and makes sure that the dependency file may be written.
    pub(super) fn of(wish: &args::Build) -> Result<Self, Diagnostic> {
        let signer = wish.sign.as_deref().map(key::signer).transpose()?;
        let since = wish.since.as_deref().map(package_at).transpose()?;
        wish.depfile.as_deref().map(depfile::refuse_strangers).transpose()?;
        let sources = wish.depfile.as_ref().map(|_| sources(wish)).transpose()?;
        Ok(Self { signer, since, sources })
    }
}

/// The files of key and earlier package.
fn sources(wish: &args::Build) -> Result<BTreeSet<PathBuf>, Diagnostic> {
    let since = match &wish.since {
        Some(path) if path.is_dir() => folder(path)?.into_iter().map(|(name, _)| path.join(name)).collect(),
        since => Vec::from_iter(since.clone()),
    };
    Ok(since.into_iter().chain(wish.sign.clone()).collect())
}

impl Order {
    /// Reads a kit and keeps the wished papers and languages. Findings are complete even if there is no order to give.
    pub(super) fn of(kit: &Path, wish: &args::Build) -> (Option<Self>, Findings) {
        let (loaded, mut findings) =
            load_by(&args::KitFolder::of(kit, wish.room), wish.fonts.as_deref(), Store::of(kit, wish), false);
        let order = loaded.and_then(|loaded| Self::chosen(loaded, wish, &mut findings));
        (order, findings)
    }

    fn chosen(mut loaded: Loaded, wish: &args::Build, findings: &mut Findings) -> Option<Self> {
        let papers: Vec<String> = loaded.kit.papers.iter().map(|setup| setup.paper.id.clone()).collect();
        known("paper", &wish.paper, &papers, findings);
        known("language", &wish.language, &loaded.kit.languages, findings);
        let wished = |list: &[String], name: &String| list.is_empty() || list.contains(name);
        loaded.layouts.retain(|layout| wished(&wish.paper, &layout.setup.paper.id));
        let languages = loaded.kit.languages.iter().filter(|name| wished(&wish.language, name)).cloned().collect();
        let package = package_of(&loaded.kit, &loaded.folder, wish);
        (!findings.has_errors()).then_some(Self { loaded, languages, package })
    }

    /// Where its package goes.
    pub(super) fn package(&self) -> &Path {
        &self.package
    }

    /// The kit's folder, which knows all that was read for it.
    pub(super) fn sources(&self) -> &SourceFolder {
        &self.loaded.folder
    }

    /// Makes the package; it appears complete or not at all.
    pub(super) fn built(&self, means: &Means, screen: &Screen) -> Result<Built, Diagnostic> {
        let Self { loaded, languages, package } = self;
        let from = means.sources.as_ref().map(|sources| sources | &loaded.folder.sources());
        let rule = from.map(|from| Rule::of(package, &from)).transpose()?;
        let (entries, _) = make(loaded, languages, means.since.as_ref(), means.signer.as_ref(), screen)?;
        let files = entries.iter().map(|entry| entry.name.clone()).collect();
        let bytes = package::zip_by(entries, |entry| loaded.store.packed(loaded.kit.date, entry))?;
        package.parent().map(files::create_folder).transpose()?;
        refuse_strangers(package, &loaded.kit.name)?;
        Earlier::refuse_released(&loaded.folder, package, &bytes)?;
        files::replace(package, &bytes)?;
        loaded.store.finish();
        Ok(Built { package: package.display().to_string(), bytes: bytes.len(), sha256: digest(&bytes), files, rule })
    }
}

/// Where the package of a kit goes; one of some papers or languages says so in its name.
pub(super) fn package_of(kit: &Kit, folder: &Path, wish: &args::Build) -> PathBuf {
    let part: Vec<&str> = wish.paper.iter().chain(&wish.language).map(String::as_str).collect();
    let whole = Names::of(kit).package();
    let name = if part.is_empty() { whole } else { whole.replace(".zip", &format!("-only-{}.zip", part.join("-"))) };
    wish.out.clone().unwrap_or_else(|| folder.join("out")).join(name)
}
