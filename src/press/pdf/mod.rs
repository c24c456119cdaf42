//! PDF files: pages of forms and words in, bytes out; printpdf holds the document, lopdf completes it.

mod content;
mod finish;
mod font;
mod form;
mod page;

pub use page::{Page, View};

use crate::diagnostic::Diagnostic;
use crate::drawing::Drawing;
use crate::press::faces::Faces;
use crate::units::{Length, Size};
use kurbo::Rect;
use page::{layer_id, marks_id, marks_layer_id, piece_id};
use printpdf::{Layer, PdfDocument, PdfSaveOptions, XObject};
use rayon::prelude::*;
use std::collections::BTreeSet;

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
}

/// The drawing's pieces as forms, made once and put into every file.
pub struct Forms(Vec<XObject>);

impl Forms {
    /// The forms of all pieces, in the drawing's order.
    pub fn of(drawing: &Drawing) -> Self {
        Self(drawing.pieces.par_iter().map(form::piece).collect())
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
    let mut document = PdfDocument::new(&about.title);
    for (index, _) in drawing.layers.iter().enumerate() {
        document.resources.layers.map.insert(layer_id(index), Layer::new(""));
    }
    document.resources.layers.map.insert(marks_layer_id(), Layer::new(""));
    let used: BTreeSet<usize> =
        pages.iter().filter_map(|page| page.drawing.as_ref()).flat_map(|view| view.pieces.clone()).collect();
    let pieces = used.into_iter().filter_map(|piece| Some((piece_id(piece), forms.0.get(piece)?.clone())));
    let marks: Vec<XObject> = pages.par_iter().map(|page| form::scene(&page.marks, sheet(page.size))).collect();
    let marks = marks.into_iter().enumerate().map(|(index, form)| (marks_id(index), form));
    document.resources.xobjects.map = pieces.chain(marks).collect();
    let mut fonts = font::Fonts::of(faces);
    let layer_of = |piece: usize| drawing.pieces.get(piece).map_or(0, |piece| piece.layer);
    document.pages = pages.iter().enumerate().map(|(index, page)| page.pressed(index, &layer_of, &mut fonts)).collect();
    document.resources.fonts.map = fonts.embedded();
    let options = PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    let mut written = document.to_lopdf_document(&options, &mut Vec::new());
    fonts.number_glyphs(&mut written);
    let failed = |error: lopdf::Error| Diagnostic::error("bug-pdf", format!("the PDF could not be completed: {error}"));
    finish::finish(written, about, layers, pages).map_err(failed)
}

fn sheet(size: Size) -> Rect {
    crate::units::Rect::new(crate::units::Point::new(Length::ZERO, Length::ZERO), size).to_kurbo_mm()
}
