//! The zip: entries sorted by name, all with the edition's date, the same bytes on every run and machine.

use super::{Entry, Names};
use crate::diagnostic::Diagnostic;
use rayon::prelude::*;
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter};

/// How hard entries are packed, of 9.
const LEVEL: i64 = 5;

/// Packs entries, which are sorted first.
///
/// Fails only for a package that the zip format cannot hold.
pub fn zip(entries: Vec<Entry>, date: jiff::civil::Date) -> Result<Vec<u8>, Diagnostic> {
    zip_by(entries, |entry| zip_of(entry, date))
}

/// The same with entries that are packed by somebody who may know them already; `pack` gives what [`zip_of`] does.
pub fn zip_by(
    mut entries: Vec<Entry>,
    pack: impl Fn(&Entry) -> Result<Vec<u8>, Diagnostic> + Sync + Send,
) -> Result<Vec<u8>, Diagnostic> {
    entries.sort_by(|a, b| a.name.cmp(&b.name));
    // Packing takes nearly all the time, and entries do not know of each other: each is packed alone and then copied as it is.
    let packed: Vec<Vec<u8>> = entries.par_iter().map(pack).collect::<Result<_, _>>()?;
    drop(entries);
    joined(packed).map_err(beyond)
}

/// A zip of a single entry. PDFs are stored as they are: their streams are packed already.
pub fn zip_of(entry: &Entry, date: jiff::civil::Date) -> Result<Vec<u8>, Diagnostic> {
    alone(entry, date).map_err(beyond)
}

/// Whether packing an entry is work.
pub fn is_packed(entry: &Entry) -> bool {
    !entry.name.ends_with(".pdf")
}

fn beyond(error: zip::result::ZipError) -> Diagnostic {
    error!("package-limit", error)
}

fn joined(packed: Vec<Vec<u8>>) -> zip::result::ZipResult<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::with_capacity(packed.iter().map(Vec::len).sum())));
    for bytes in packed {
        writer.raw_copy_file(ZipArchive::new(Cursor::new(bytes))?.by_index_raw(0)?)?;
    }
    Ok(writer.finish()?.into_inner())
}

fn alone(entry: &Entry, date: jiff::civil::Date) -> zip::result::ZipResult<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    writer.start_file(entry.name.as_str(), options(entry, date))?;
    writer.write_all(&entry.bytes)?;
    Ok(writer.finish()?.into_inner())
}

fn options(entry: &Entry, date: jiff::civil::Date) -> SimpleFileOptions {
    let part = |number: i8| u8::try_from(number).unwrap_or(1);
    // The format knows no year before 1980 and none after 2107: such a date becomes its first day.
    let stamp = u16::try_from(date.year())
        .ok()
        .map(|year| DateTime::from_date_and_time(year, part(date.month()), part(date.day()), 0, 0, 0));
    let stamp = stamp.and_then(Result::ok).unwrap_or_default();
    let method = if is_packed(entry) { CompressionMethod::Deflated } else { CompressionMethod::Stored };
    let level = is_packed(entry).then_some(LEVEL);
    SimpleFileOptions::default()
        .compression_method(method)
        .compression_level(level)
        .last_modified_time(stamp)
        .unix_permissions(0o644)
}

/// Whether bytes are a package of this kit that kitwright made, and may replace.
pub fn is_ours(bytes: &[u8], kit: &str) -> bool {
    let bundle = format!("{kit}/{}", Names::BUNDLE);
    if ZipArchive::new(Cursor::new(bytes)).is_ok_and(|archive| archive.index_for_name(&bundle).is_some()) {
        return true;
    }
    [Names::PROMISES, Names::DELTA].iter().any(|name| {
        let text = ZipArchive::new(Cursor::new(bytes)).ok().and_then(|mut archive| {
            let file = archive.by_name(name).ok()?;
            let mut text = String::new();
            file.take(50_000_000).read_to_string(&mut text).ok()?;
            Some(text)
        });
        let record: Option<serde_json::Value> = text.and_then(|text| serde_json::from_str(&text).ok());
        record.is_some_and(|record| record.get("kit").and_then(serde_json::Value::as_str) == Some(kit))
    })
}
