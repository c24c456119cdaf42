//! What a build remembers beside its package, so that nothing is made twice: from what it was made, by which program, and what was told.
//!
//! Nothing is taken on trust: a package counts as made if every file that it was made from still has the same digest, no file has come or
//! gone where one is looked for, and the package itself is the same to the byte. Else it is made anew, and so it is if the memory is damaged.

use super::args;
use super::order::{Built, Order};
use super::texts::locate;
use crate::diagnostic::{FindingRecord, Findings};
use crate::editions::digest;
use crate::files;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The folder beside packages that holds what is remembered.
const FOLDER: &str = ".kitwright-cache";
/// Largest such file, and largest file that a package is made from or is; larger ones are not remembered.
const MOST_BYTES: u64 = 1_000_000_000;

/// The memory of one package.
pub(super) struct Cache {
    kit: PathBuf,
    out: PathBuf,
    file: PathBuf,
    /// Who makes it, and what is wished; in other cases it is another package.
    maker: String,
    /// What lay in the kit's folders before anything was read.
    there: Vec<String>,
}

/// What is remembered.
#[derive(Serialize, Deserialize)]
struct Stamp {
    maker: String,
    there: Vec<String>,
    /// Digests by path from the kit's folder.
    sources: BTreeMap<PathBuf, String>,
    /// Name of the package.
    package: String,
    /// Its digest.
    sha256: String,
    /// Names of the files in it.
    files: Vec<String>,
    /// What was told of the kit.
    findings: Vec<FindingRecord>,
}

impl Cache {
    /// The memory of a kit's package; none if it is not wished, or if the package is made from more than the kit.
    pub(super) fn of(kit: &Path, wish: &args::Build) -> Option<Self> {
        let args::Build { no_cache, fonts, since, sign, depfile, .. } = wish;
        if *no_cache || [fonts, since, sign, depfile].iter().any(|more| more.is_some()) {
            return None;
        }
        let (_, kit) = locate(kit).ok()?;
        let (folder, program) = place(&kit, wish)?;
        let maker = format!("{program} {:?} {:?} {:?}", wish.room, wish.paper, wish.language);
        let out = wish.out.clone().unwrap_or_else(|| kit.join("out"));
        Some(Self { there: there(&kit, &out), kit, out, file: folder.with_extension("json"), maker })
    }

    /// What was made before, if it would come out the same.
    pub(super) fn unchanged(&self) -> Option<(Built, Findings)> {
        let bytes = |path: &Path| files::read(path, MOST_BYTES, code!("cannot-read")).ok();
        let stamp: Stamp = serde_json::from_slice(&bytes(&self.file)?).ok()?;
        let same = |(path, sha256): (&PathBuf, &String)| bytes(&self.kit.join(path)).is_some_and(|is| digest(&is) == *sha256);
        if stamp.maker != self.maker || stamp.there != self.there || !stamp.sources.iter().all(same) {
            return None;
        }
        let path = self.out.join(&stamp.package);
        let package = bytes(&path).filter(|package| digest(package) == stamp.sha256)?;
        let mut findings = Findings::new();
        findings.extend(stamp.findings.iter().map(FindingRecord::finding).collect::<Option<Vec<_>>>()?);
        let built = Built {
            package: path.display().to_string(),
            bytes: package.len(),
            files: stamp.files,
            sha256: stamp.sha256,
            rule: None,
        };
        Some((built, findings))
    }

    /// Remembers what was made. What cannot be remembered costs time at the next run, and nothing else.
    pub(super) fn keep(self, order: &Order, built: &Built, findings: &Findings) -> Option<()> {
        let sources = order.sources().digests()?;
        let from_kit = |(path, digest): (PathBuf, [u8; 32])| {
            let inner = path.strip_prefix(&self.kit).ok()?.to_path_buf();
            Some((inner, digest.iter().map(|byte| format!("{byte:02x}")).collect()))
        };
        let stamp = Stamp {
            sources: sources.into_iter().map(from_kit).collect::<Option<_>>()?,
            package: order.package().file_name()?.to_str()?.to_owned(),
            sha256: built.sha256.clone(),
            files: built.files.clone(),
            findings: findings.iter().map(FindingRecord::from).collect(),
            maker: self.maker,
            there: self.there,
        };
        files::create_folder(self.file.parent()?).ok()?;
        files::replace(&self.file, &serde_json::to_vec(&stamp).ok()?).ok()
    }
}

/// The folder of what is kept of a package's steps, and the program that makes them.
pub(super) fn place(kit: &Path, wish: &args::Build) -> Option<(PathBuf, String)> {
    let (manifest, kit) = locate(kit).ok()?;
    let name = digest(format!("{:?} {:?} {:?}", manifest.canonicalize().ok()?, wish.paper, wish.language).as_bytes());
    let out = wish.out.clone().unwrap_or_else(|| kit.join("out"));
    Some((out.join(FOLDER).join(name.get(..16)?), program()?))
}

/// This very program: another build of it may make other packages.
fn program() -> Option<String> {
    let about = std::fs::metadata(std::env::current_exe().ok()?).ok()?;
    let since = about.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
    Some(format!("{} {} {}", env!("CARGO_PKG_VERSION"), about.len(), since.as_nanos()))
}

/// The names of all that lies where something is looked for: in the kit's folder, but for its packages, and in those of its catalogues and fonts.
fn there(kit: &Path, out: &Path) -> Vec<String> {
    let names = |folder: &Path| -> Vec<PathBuf> {
        let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
        entries.map(|entry| entry.path()).filter(|path| path != out).collect()
    };
    let fonts = files::fonts_in(&kit.join("fonts"));
    let all = [names(kit), names(&kit.join("languages")), fonts].into_iter().flatten();
    let inner = all.filter_map(|path| Some(path.strip_prefix(kit).ok()?.to_string_lossy().into_owned()));
    let mut inner: Vec<String> = inner.collect();
    inner.sort();
    inner
}
