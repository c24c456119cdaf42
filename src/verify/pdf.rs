//! Reading a PDF with hayro, guarded: on a thread of its own, with room for deep files and no way to take the program down.

use super::active;
use super::boxes::Boxes;
use super::ink::{Ink, TooMuch, UNITS, Wanted};
use super::mark::Mark;
use super::trails::Trail;
use super::words::Words;
use crate::diagnostic::Diagnostic;
use hayro_interpret::hayro_syntax::object::{Dict, Name};
use hayro_interpret::hayro_syntax::page::Page as PdfPage;
use hayro_interpret::hayro_syntax::{LoadPdfError, Pdf};
use hayro_interpret::{Context, InterpreterCache, InterpreterSettings, InterpreterWarning, interpret_page};
use kurbo::{Affine, Point, Rect};
use std::any::Any;
use std::sync::{Arc, Mutex};

/// Room for the deepest nesting that hayro follows, several times over.
const STACK: usize = 256 << 20;

/// What was read of one page.
pub(super) struct Page {
    /// Its boxes.
    pub boxes: Boxes,
    /// Visible ends of lines near the wanted places, in mm from the page's top left, y down.
    pub ends: Vec<Point>,
    /// All that is painted on it, in that order.
    pub marks: Vec<Mark>,
    /// Boxes of white areas that lie over marks, in mm.
    pub whites: Vec<Rect>,
    /// Lines that may run past wanted points.
    pub trails: Vec<Trail>,
    /// Its text.
    pub words: Words,
}

/// What was read of a file.
pub(super) struct Reading {
    /// Page by page.
    pub pages: Vec<Page>,
    /// Whether the file asks viewers to print at 100 %.
    pub true_size: bool,
    /// What the file must not hold, still without its place.
    pub faults: Vec<Diagnostic>,
}

/// Reads a whole PDF; `wanted` holds, page by page, what is looked for.
pub(super) fn read(bytes: &Arc<Vec<u8>>, wanted: &[Wanted]) -> Result<Reading, String> {
    guarded(|| reading(Arc::clone(bytes), wanted))
}

/// The thread is waited for, so nothing depends on its pace; if it panics, that is an answer like any other.
pub(super) fn guarded<T: Send>(read: impl FnOnce() -> Result<T, String> + Send) -> Result<T, String> {
    let joined = std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().stack_size(STACK).spawn_scoped(scope, read);
        thread.map(|thread| thread.join())
    });
    match joined {
        Ok(Ok(result)) => result,
        Ok(Err(panic)) => Err(why(panic.as_ref()).to_owned()),
        Err(error) => Err(say!("no-thread-can", error)),
    }
}

fn why(panic: &(dyn Any + Send)) -> &'static str {
    match panic.downcast_ref() {
        Some(TooMuch::Steps) => words!("too-many-steps"),
        Some(TooMuch::Reach) => words!("path-reaches-too-far"),
        None => words!("damage-brings-reader-down"),
    }
}

fn reading(bytes: Arc<Vec<u8>>, wanted: &[Wanted]) -> Result<Reading, String> {
    if encrypted(&bytes) {
        return Err(words!("is-encrypted").to_owned());
    }
    let pdf = Pdf::new(all_shown(&bytes)).map_err(|error| match error {
        LoadPdfError::Decryption(_) => words!("is-encrypted").to_owned(),
        LoadPdfError::Invalid => words!("is-no-pdf").to_owned(),
    })?;
    // What a stream unpacks to must be known before anything interprets it.
    let mut faults = active::faults(&pdf)?;
    let warnings = Arc::new(Mutex::new(Vec::new()));
    let cache = InterpreterCache::new();
    let (mut pages, nothing) = (Vec::new(), Wanted::default());
    for (number, page) in (1..).zip(pdf.pages().iter()) {
        // A file may have more pages than were promised; they are painted too, for their boxes.
        let wanted = wanted.get(number - 1).unwrap_or(&nothing);
        pages.push(paint(page, &cache, settings(number, &warnings), wanted));
        // hayro takes a page whose content cannot be read for an empty one.
        if page.raw().contains_key(b"Contents") && page.page_stream().is_none() {
            faults.push(error!("pdf-unreadable/content", number));
        }
    }
    faults.extend(warnings.lock().map(|mut list| std::mem::take(&mut *list)).unwrap_or_default());
    Ok(Reading { pages, true_size: true_size(&pdf), faults })
}

/// The same file with all its layers shown: a size that is hidden at first is printed once its buyer shows it.
///
/// hayro takes layers as the file has them. The key of the hidden ones is made unknown where it follows the base state, as
/// kitwright writes it; nothing else moves.
fn all_shown(bytes: &Arc<Vec<u8>>) -> Arc<Vec<u8>> {
    let (written, unknown) = (b"/BaseState/ON/OFF", b"/BaseState/ON/Off");
    let Some(at) = bytes.windows(written.len()).position(|window| window == written) else { return Arc::clone(bytes) };
    let mut changed = bytes.to_vec();
    if let Some(place) = changed.get_mut(at..at + unknown.len()) {
        place.copy_from_slice(unknown);
    }
    Arc::new(changed)
}

/// The trailer itself is out of reach, but its key stands in the open even where cross-references are packed.
fn encrypted(bytes: &[u8]) -> bool {
    bytes.windows(b"/Encrypt".len()).any(|window| window == b"/Encrypt")
}

type Warnings = Arc<Mutex<Vec<Diagnostic>>>;

fn settings(number: usize, warnings: &Warnings) -> InterpreterSettings {
    let warnings = Arc::clone(warnings);
    let sink = move |warning| {
        let fault = match warning {
            InterpreterWarning::UnsupportedFont => error!("font-missing/page", number),
            InterpreterWarning::ImageDecodeFailure => error!("pdf-unreadable/image", number),
            _ => error!("pdf-unreadable/part", number),
        };
        warnings.lock().map(|mut list| list.push(fault)).unwrap_or_default();
    };
    InterpreterSettings { warning_sink: Arc::new(sink), ..InterpreterSettings::default() }
}

fn paint<'a>(page: &PdfPage<'a>, cache: &InterpreterCache<'a>, settings: InterpreterSettings, wanted: &Wanted) -> Page {
    let boxes = Boxes::read(page.raw());
    let (size, place) = space(&boxes);
    // Fonts and forms are kept from page to page in the cache; layers begin anew with each context.
    let mut ink = Ink::new(size, wanted);
    let mut context = Context::new(place, size.scale_from_origin(UNITS), cache, page.xref(), settings);
    interpret_page(page, &mut context, &mut ink);
    let Ink { ends, marks, whites, trails, words, .. } = ink;
    Page { boxes, ends, marks, whites, trails, words }
}

/// The page in mm, and the way from its own space, y up, to the device's, y down; a turned page is a finding, and measured
/// unturned.
fn space(boxes: &Boxes) -> (Rect, Affine) {
    let shown = boxes.shown();
    let place = Affine::new([boxes.unit, 0.0, 0.0, -boxes.unit, -shown.x0, shown.y1]).then_scale(UNITS);
    (Rect::from_origin_size(Point::ORIGIN, shown.size()), place)
}

/// `/ViewerPreferences << /PrintScaling /None >>` (ISO 32000-1, 12.2).
fn true_size(pdf: &Pdf) -> bool {
    let catalog = pdf.xref().get::<Dict<'_>>(pdf.xref().root_id());
    let preferences = catalog.and_then(|catalog| catalog.get::<Dict<'_>>(b"ViewerPreferences"));
    preferences.and_then(|dict| dict.get::<Name<'_>>(b"PrintScaling")).is_some_and(|name| name.as_ref() == b"None")
}
