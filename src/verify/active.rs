//! A walk over every object of a PDF: nothing acts or reaches out, all fonts are inside, all streams unpack whole.

use crate::diagnostic::Diagnostic;
use hayro_interpret::hayro_syntax::object::{Dict, MaybeRef, Name, Object, Stream};
use hayro_interpret::hayro_syntax::{Filter, Pdf};
use std::io::Read;

/// Keys that make a file act, or that carry files (ISO 32000-1, 7.7.2, 7.11.4, 12.6.3, 12.6.4.16, 12.7.8).
const KEYS: [&str; 7] = ["JS", "JavaScript", "OpenAction", "AA", "EmbeddedFiles", "EF", "XFA"];
/// Kinds of action that run or reach something outside the file (ISO 32000-1, table 198).
const ACTIONS: [&str; 11] = [
    "JavaScript",
    "Launch",
    "URI",
    "GoToR",
    "GoToE",
    "SubmitForm",
    "ImportData",
    "Rendition",
    "Movie",
    "Sound",
    "RichMediaExecute",
];
/// Most bytes that one stream may unpack to.
const MAX_STREAM: u64 = 256 << 20;

type Faults = Vec<Diagnostic>;

/// What is wrong with the objects; an error if unpacking them would fill the memory.
pub(super) fn faults(pdf: &Pdf) -> Result<Faults, String> {
    let mut faults = Faults::new();
    for object in pdf.objects() {
        // Unreachable objects are looked at too: what is not there cannot be woken by a later change.
        // By hand and not by recursion: a hostile file may nest as deep as it likes.
        let mut open = vec![object];
        while let Some(object) = open.pop() {
            match object {
                Object::Dict(dict) => look(&dict, &mut open, &mut faults),
                Object::Array(array) => open.extend(array.raw_iter().filter_map(direct)),
                Object::Stream(stream) => {
                    unpacks(&stream, &mut faults)?;
                    look(stream.dict(), &mut open, &mut faults);
                }
                _ => {}
            }
        }
    }
    Ok(faults)
}

/// Objects behind a reference come round by themselves.
fn direct(item: MaybeRef<Object<'_>>) -> Option<Object<'_>> {
    match item {
        MaybeRef::NotRef(object) => Some(object),
        MaybeRef::Ref(_) => None,
    }
}

fn look<'a>(dict: &Dict<'a>, open: &mut Vec<Object<'a>>, faults: &mut Faults) {
    for key in KEYS.iter().filter(|key| dict.contains_key(key.as_bytes())) {
        faults.push(error!("pdf-active", key));
    }
    let action = name(dict, "S").filter(|kind| ACTIONS.contains(&kind.as_str()));
    faults.extend(action.map(|kind| error!("pdf-active/action", kind)));
    // The name `/Encrypt` can be written so that no search finds it; the dictionary behind it cannot hide.
    if name(dict, "Filter").as_deref() == Some("Standard") && dict.contains_key(b"V") {
        faults.push(error!("pdf-unreadable/encrypted"));
    }
    font(dict, faults);
    open.extend(dict.entries().filter_map(|(_, value)| direct(value)));
}

fn name(dict: &Dict<'_>, key: &str) -> Option<String> {
    dict.get::<Name<'_>>(key.as_bytes()).map(|name| String::from_utf8_lossy(name.as_ref()).into_owned())
}

/// A font's descriptor holds its program; only a font drawn by the file itself or one of many parts has none of its own.
fn font(dict: &Dict<'_>, faults: &mut Faults) {
    let inside = match name(dict, "Type").as_deref() {
        Some("Font") => {
            let own = matches!(name(dict, "Subtype").as_deref(), Some("Type0" | "Type3"));
            own || dict.contains_key(b"FontDescriptor")
        }
        Some("FontDescriptor") => ["FontFile", "FontFile2", "FontFile3"].iter().any(|key| dict.contains_key(key.as_bytes())),
        _ => true,
    };
    if !inside {
        let title = name(dict, "BaseFont").or_else(|| name(dict, "FontName")).unwrap_or_default();
        faults.push(error!("font-missing/outside", title));
    }
}

/// hayro mends a damaged stream without a word, and has no limit; so each packed stream is unpacked here once, to nowhere.
fn unpacks(stream: &Stream<'_>, faults: &mut Faults) -> Result<(), String> {
    let id = stream.obj_id().obj_number;
    if stream.dict().get::<Object<'_>>(b"F").is_some_and(|file| matches!(file, Object::String(_) | Object::Dict(_))) {
        faults.push(error!("pdf-active/elsewhere", id));
    }
    let packers = [Filter::FlateDecode, Filter::LzwDecode, Filter::RunLengthDecode];
    let filters = stream.filters();
    if filters.iter().filter(|filter| packers.contains(filter)).count() > 1 {
        return Err(say!("object-is-packed-more", id));
    }
    if filters.first() != Some(&Filter::FlateDecode) {
        return Ok(());
    }
    let data = stream.raw_data();
    let mut unpacked = flate2::read::ZlibDecoder::new(data.as_ref()).take(MAX_STREAM + 1);
    match std::io::copy(&mut unpacked, &mut std::io::sink()) {
        Ok(length) if length > MAX_STREAM => Err(say!("object-unpacks-to-more", id)),
        Ok(_) => Ok(()),
        // Damage in one stream leaves the rest to be judged.
        Err(_) => {
            faults.push(error!("pdf-unreadable/stream", id));
            Ok(())
        }
    }
}
