//! The zip, read safely: names and kinds of entries checked, sizes limited by reading, nothing unpacked to disk.

use super::names;
use super::verdict::{Check, Verdict};
use crate::diagnostic::{Diagnostic, Place};
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::sync::Arc;
use unicode_normalization::UnicodeNormalization;
use zip::ZipArchive;
use zip::read::ZipFile;

/// The files of a package by name; shared, because the PDF reader keeps its own hold on the bytes.
pub(super) type Files = BTreeMap<String, Arc<Vec<u8>>>;

/// Most bytes that all files may have together, unpacked: they are held in memory.
const MAX_TOTAL: u64 = 640 << 20;
/// Most bytes that one file may have, unpacked.
const MAX_ENTRY: u64 = 256 << 20;
/// Bytes of a zip's end, without a comment.
const END: usize = 22;
/// Most files in a package.
pub(super) const MAX_ENTRIES: usize = 10_000;

/// Reads all files of a zip; `None` if it cannot be read at all.
pub(super) fn unpack(bytes: &[u8], verdict: &mut Verdict) -> Option<Files> {
    let opened = ZipArchive::new(Cursor::new(bytes)).map_err(|error| unreadable(verdict, &error.to_string()));
    let mut archive = verdict.take(Check::Package, opened)?;
    verdict.judge(Check::Package, count(archive.len(), verdict));
    verdict.judge(Check::Package, nothing_around(bytes, archive.offset(), verdict));
    // Readers disagree on which of two files with one name counts, or whether the list or the file's own header does:
    // such a zip can show one thing here and another to the buyer.
    if archive.has_duplicate_names() {
        verdict.judge(Check::Package, Err(error!("package-name").at(Place::file(&verdict.package))));
    } else if let Err(error) = archive.validate_header_consistency() {
        verdict.judge(Check::Package, Err(unreadable(verdict, &error.to_string())));
    }
    let mut store = Store::default();
    // One bad file is no reason to keep silent about the others.
    for index in 0..archive.len().min(MAX_ENTRIES) {
        let read = archive.by_index(index).map_err(|error| unreadable(verdict, &error.to_string()));
        let entry = read.and_then(|mut file| entry(&mut file, &mut store, verdict));
        // Here more of the same may follow without end.
        let full = entry.as_ref().is_err_and(|finding| finding.code == "package-too-large");
        if let Some((name, bytes)) = verdict.take(Check::Package, entry) {
            store.add(name, bytes, verdict);
        }
        if full {
            return None;
        }
    }
    Some(store.files)
}

/// The same for files that were read one by one.
pub(super) fn gather(list: Vec<(String, Vec<u8>)>, verdict: &mut Verdict) -> Option<Files> {
    verdict.take(Check::Package, count(list.len(), verdict))?;
    let mut store = Store::default();
    for (name, bytes) in list {
        let fits = named(name.as_bytes(), verdict).and_then(|name| Ok((name.clone(), limited(&name, bytes, &store, verdict)?)));
        if let Some((name, bytes)) = verdict.take(Check::Package, fits) {
            store.total += bytes.len() as u64;
            store.add(name, bytes, verdict);
        }
    }
    Some(store.files)
}

/// Files read so far, with their size.
#[derive(Default)]
struct Store {
    files: Files,
    /// Names as they are compared, each with the name as written.
    folded: BTreeMap<String, String>,
    /// All bytes that came out, those of files that turned out to be damaged among them.
    total: u64,
}

impl Store {
    fn left(&self) -> u64 {
        MAX_TOTAL.saturating_sub(self.total).min(MAX_ENTRY)
    }

    /// Some file systems take two names for one that differ only in case, or in how an accent is written.
    fn add(&mut self, name: String, bytes: Vec<u8>, verdict: &mut Verdict) {
        let folded = name.to_lowercase().nfc().collect();
        if let Some(twin) = self.folded.insert(folded, name.clone()) {
            verdict.judge(Check::Package, Err(error!("package-name/case", name, twin).at(verdict.place(&name))));
        }
        self.files.insert(name, Arc::new(bytes));
    }
}

fn count(entries: usize, verdict: &Verdict) -> Result<(), Diagnostic> {
    let finding = || error!("package-too-large/files", entries, most = MAX_ENTRIES).at(Place::file(&verdict.package));
    (entries <= MAX_ENTRIES).then_some(()).ok_or_else(finding)
}

/// A zip starts with its first file and ends with its own end and what that says is a comment: another reader may take what
/// lies around it for the zip (PKWARE, APPNOTE.TXT 6.3.10, 4.3.16).
fn nothing_around(bytes: &[u8], start: u64, verdict: &Verdict) -> Result<(), Diagnostic> {
    let ends = |at: &usize| {
        let end = bytes.get(*at..).and_then(|end| end.strip_prefix(b"PK\x05\x06"));
        let comment = end.and_then(|end| end.get(16..18)?.try_into().ok()).map(u16::from_le_bytes);
        comment.is_some_and(|comment| at + END + usize::from(comment) == bytes.len())
    };
    let last = bytes.len().saturating_sub(END);
    let whole = start == 0 && (last.saturating_sub(usize::from(u16::MAX))..=last).rev().any(|at| ends(&at));
    whole.then_some(()).ok_or_else(|| unreadable(verdict, words!("bytes-around-it")))
}

/// The size that a zip states is only a claim: what counts is how much comes out.
fn entry<R: Read>(file: &mut ZipFile<'_, R>, store: &mut Store, verdict: &Verdict) -> Result<(String, Vec<u8>), Diagnostic> {
    let name = named(file.name_raw(), verdict)?;
    plain(file, &name, verdict)?;
    let (mut bytes, left) = (Vec::new(), store.left());
    // One byte more than allowed, to tell full from too full.
    let (stated, read) = (file.size(), file.take(left + 1).read_to_end(&mut bytes));
    store.total += bytes.len() as u64;
    if bytes.len() as u64 > left {
        return Err(too_large(&name, verdict));
    }
    read.map_err(|error| unreadable(verdict, &format!("`{name}`: {error}")))?;
    let as_stated = stated == bytes.len() as u64;
    as_stated.then_some(()).ok_or_else(|| unreadable(verdict, &say!("another-size", name)))?;
    Ok((name, bytes))
}

/// Names are judged as they are stored: the zip crate's own readings of them mend what should be refused.
fn named(raw: &[u8], verdict: &Verdict) -> Result<String, Diagnostic> {
    // Old zips may use the code page of the computer that made them: nobody could tell what name is meant.
    let name = String::from_utf8_lossy(raw).into_owned();
    let fault = if name.as_bytes() == raw { names::fault(&name) } else { Some(words!("is-not-written")) };
    let refused = |why| error!("package-name/refused", name, why).at(Place::file(&verdict.package));
    fault.map_or(Ok(()), |why| Err(refused(why)))?;
    Ok(name)
}

/// Only plain files: a link could point anywhere. Types by POSIX `sys/stat.h`, as zips carry them.
fn plain<R: Read>(file: &ZipFile<'_, R>, name: &str, verdict: &Verdict) -> Result<(), Diagnostic> {
    let kind = file.unix_mode().unwrap_or(0) & 0o170_000;
    if !file.is_symlink() && (kind == 0 || kind == 0o100_000) {
        return Ok(());
    }
    Err(error!("package-name/link", name).at(verdict.place(name)))
}

fn limited(name: &str, bytes: Vec<u8>, store: &Store, verdict: &Verdict) -> Result<Vec<u8>, Diagnostic> {
    if bytes.len() as u64 > store.left() { Err(too_large(name, verdict)) } else { Ok(bytes) }
}

fn too_large(name: &str, verdict: &Verdict) -> Diagnostic {
    error!("package-too-large", name).at(verdict.place(name))
}

fn unreadable(verdict: &Verdict, why: &str) -> Diagnostic {
    error!("package-unreadable", why = why.trim_end_matches('.')).at(Place::file(&verdict.package))
}
