//! PDF files: pages of forms and words in, bytes out; printpdf holds the document, lopdf completes it.

mod content;
mod finish;
mod font;
mod form;
mod links;
mod metadata;
mod page;
mod print;
mod profile;
mod tags;

pub use page::{Extras, Page, View};

use crate::diagnostic::Diagnostic;
use crate::drawing::{Drawing, Piece};
use crate::press::faces::Faces;
use crate::units::{Length, Size};
use form::Part;
use kurbo::Rect;
use page::{ground_id, layer_id, marks_id, marks_layer_id, piece_id};
use printpdf::{Layer, Op, PdfDocument, PdfSaveOptions, XObject, XObjectId};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// What a file tells about itself.
#[derive(Clone, Debug)]
pub struct About {
    /// Title, as viewers show it in the window's frame.
    pub title: String,
    /// The publisher.
    pub author: String,
    /// Kit and edition.
    pub subject: String,
    /// Language of the words.
    pub language: String,
    /// Copyright line.
    pub rights: String,
    /// Day of the edition.
    pub date: jiff::civil::Date,
}

/// A layer as viewers list it.
#[derive(Clone, Debug)]
pub struct LayerName {
    /// What the viewer shows.
    pub name: String,
    /// Whether the reader may switch it.
    pub switchable: bool,
    /// Whether it shows when the file is opened.
    pub shown: bool,
}

/// The drawing's pieces as forms, made once and put into every file.
pub struct Forms(Vec<Arc<Vec<Part>>>);

impl Forms {
    /// No forms, for what is not pressed into a PDF.
    pub const fn none() -> Self {
        Self(Vec::new())
    }

    /// The forms of all pieces, in the drawing's order; a piece without items has none.
    pub fn of(drawing: &Drawing) -> Self {
        Self::none().changed(drawing, |_| true)
    }

    /// The forms of a drawing of which some pieces have changed since these were made; all others are taken over.
    pub fn changed(&self, drawing: &Drawing, has_changed: impl Fn(usize) -> bool + Sync) -> Self {
        let one = |(index, piece): (usize, &Piece)| {
            let same = self.0.get(index).filter(|_| !has_changed(index));
            same.map_or_else(|| Arc::new(form::piece(piece)), Arc::clone)
        };
        Self(drawing.pieces.par_iter().enumerate().map(one).collect())
    }

    /// The forms of a piece, in paint order.
    fn parts(&self, piece: usize) -> &[Part] {
        self.0.get(piece).map_or(&[], |parts| parts.as_slice())
    }
}

/// Writes a file. `layers` are the drawing's, in its order, then the one that holds everything kitwright adds.
///
/// Fails only if the document model refuses what it was given, which is a bug of ours.
pub fn write(
    about: &About,
    layers: &[LayerName],
    drawing: &Drawing,
    forms: &Forms,
    faces: &Faces,
    pages: &[Page],
) -> Result<Vec<u8>, Diagnostic> {
    let layer_of = |piece: usize| Some(drawing.pieces.get(piece).map_or(0, |piece| piece.layer));
    let content = Content { forms, grounds: None, layer_of: &layer_of };
    press(about, layers, &content, faces, pages, false)
}

/// Writes a file for print shops: no layers, and nothing but greys, if `forms`, `grounds` and `pages` hold nothing else.
///
/// It is built to the rules of PDF/X-4 and PDF/A-2b. `grounds` are forms that lie beneath all others.
pub fn write_flat(about: &About, grounds: &Forms, forms: &Forms, faces: &Faces, pages: &[Page]) -> Result<Vec<u8>, Diagnostic> {
    let content = Content { forms, grounds: Some(grounds), layer_of: &|_| None };
    press(about, &[], &content, faces, pages, true)
}

/// What pages show of the drawing.
struct Content<'a> {
    forms: &'a Forms,
    /// Forms that lie beneath all others.
    grounds: Option<&'a Forms>,
    /// The layer of a piece; none in a file without layers.
    layer_of: &'a dyn Fn(usize) -> Option<usize>,
}

fn press(
    about: &About,
    layers: &[LayerName],
    content: &Content,
    faces: &Faces,
    pages: &[Page],
    flat: bool,
) -> Result<Vec<u8>, Diagnostic> {
    let mut document = PdfDocument::new(&about.title);
    // The last layer is that of the marks.
    for (index, _) in layers.iter().skip(1).enumerate() {
        document.resources.layers.map.insert(layer_id(index), Layer::new(""));
    }
    if !layers.is_empty() {
        document.resources.layers.map.insert(marks_layer_id(), Layer::new(""));
    }
    let used: BTreeSet<usize> =
        pages.iter().filter_map(|page| page.drawing.as_ref()).flat_map(|view| view.pieces.clone()).collect();
    let pieces = used.iter().flat_map(|&piece| named(content.parts(piece), move |part| piece_id(piece, part)));
    let grounds = used.iter().flat_map(|&piece| named(content.grounds(piece), move |part| ground_id(piece, part)));
    let marks: Vec<XObject> = pages.par_iter().map(|page| form::scene(&page.marks, sheet(page.size))).collect();
    let marks = marks.into_iter().enumerate().map(|(index, form)| (marks_id(index), form));
    document.resources.xobjects.map = pieces.chain(grounds).chain(marks).collect();
    let mut fonts = font::Fonts::of(faces);
    document.pages = pages.iter().enumerate().map(|(index, page)| page.pressed(index, content, &mut fonts)).collect();
    document.resources.fonts.map = fonts.embedded();
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    let mut written = document.to_lopdf_document(&options, &mut Vec::new());
    fonts.number_glyphs(&mut written);
    let failed = |error: lopdf::Error| error!("bug-pdf", error);
    finish::finish(written, about, layers, pages, flat).map_err(failed)
}

/// Forms with the names under which pages show them.
fn named(parts: &[Part], name: impl Fn(usize) -> XObjectId) -> impl Iterator<Item = (XObjectId, XObject)> {
    parts.iter().enumerate().map(move |(index, part)| (name(index), part.form.clone()))
}

impl Content<'_> {
    /// The forms of a piece.
    fn parts(&self, piece: usize) -> &[Part] {
        self.forms.parts(piece)
    }

    /// Opens the layer of the marks, in a file with layers.
    fn begin_marks(&self) -> Option<Op> {
        self.grounds.is_none().then(|| Op::BeginLayer { layer_id: marks_layer_id() })
    }

    /// Closes it.
    fn end_marks(&self) -> Option<Op> {
        self.grounds.is_none().then_some(Op::EndLayer)
    }

    /// The forms beneath a piece, if it has any there.
    fn grounds(&self, piece: usize) -> &[Part] {
        self.grounds.map_or(&[], |grounds| grounds.parts(piece))
    }
}

fn sheet(size: Size) -> Rect {
    crate::units::Rect::new(crate::units::Point::new(Length::ZERO, Length::ZERO), size).to_kurbo_mm()
}
