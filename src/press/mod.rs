//! The press: layouts, drawing and words in, bytes out: home sheets, wide sheets, check pages and maps.

mod blank;
mod decimal;
mod edges;
mod faces;
mod flat;
mod home;
mod illustration;
mod key;
mod lay;
mod logo;
mod map;
mod marks;
mod names;
mod pdf;
mod picture;
mod projection;
mod proof;
mod scene;
mod single;
mod svg;
#[cfg(test)]
mod tests;
mod texts;
mod wide;

pub use blank::blank_svg;
pub use faces::{Faces, Font, adds_to, bounded, group, is_file_of, known_fonts, lacking, missing, supplied};
pub use home::{home_pdf, some_sheets_pdf};
pub use illustration::{Halves, illustration};
pub use lay::{LAY_MARK, LayPicture, lay_file, lay_picture};
pub use logo::Artwork;
pub use map::{MAP_MARK, assembly_map, map_file};
pub use marks::size_samples;
pub use pdf::Forms;
pub use picture::{sheet_picture, whole_picture};
pub use projection::{projection_layout, projection_pdf};
pub use proof::{ProofPictures, proof_pictures};
pub use scene::ScaleMark;
pub use single::sheet_pdf;
pub use texts::{paper_title, texts};
pub use wide::{wide_flat_pdf, wide_pdf, wide_svg};

use crate::catalogue::Messages;
use crate::drawing::Drawing;
use crate::manifest::Kit;
use crate::plan::Layout;
use kurbo::Rect;
use pdf::{About, Extras, LayerName};
use scene::Scene;

/// Everything that all files of one language are made from.
#[derive(Clone, Copy)]
pub struct Job<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// Its drawing.
    pub drawing: &'a Drawing,
    /// The same with the words of all languages, on whose ink no mark may stand; the marks of all languages then lie alike.
    pub ground: &'a Drawing,
    /// The drawing's pieces as PDF forms.
    pub forms: &'a Forms,
    /// Words on paper.
    pub messages: &'a Messages,
    /// The kit's other languages, for the check page.
    pub others: &'a [Messages],
    /// The fonts to set words with.
    pub faces: &'a Faces,
    /// The publisher's logo.
    pub logo: Option<&'a Artwork>,
}

/// A pressed file with the lengths that its pages promise.
#[derive(Clone, Debug)]
pub struct Pressed {
    /// The file.
    pub bytes: Vec<u8>,
    /// Page, from 1, and what is promised on it.
    pub promises: Vec<(usize, ScaleMark)>,
}

impl Job<'_> {
    /// Sets the logo into the right-hand end of a box and gives the width it took, in mm.
    fn logo(&self, scene: &mut Scene, place: Rect) -> f64 {
        self.logo.map_or(0.0, |logo| logo.set(scene, place))
    }

    /// Whose copy this is, in a test round.
    fn copy(&self) -> Option<String> {
        let review = self.kit.review.as_ref()?;
        Some(self.messages.text("sheet.copy", &[("round", &review.round.to_string()), ("tester", &review.tester)]))
    }

    /// The sizes on a sheet in words: a span if they follow each other.
    fn sizes_line(&self, layout: &Layout, sheet: usize) -> String {
        let sizes = layout.sheets.get(sheet).map(|sheet| sheet.sizes.clone()).unwrap_or_default();
        if self.kit.sizes.is_empty() {
            return self.messages.text("sheet.one-size", &[]);
        }
        let names: Vec<String> =
            sizes.iter().filter_map(|&size| self.kit.sizes.get(size)).map(|size| size.name.clone()).collect();
        let (Some(first), Some(last)) = (names.first(), names.last()) else {
            return self.messages.text("sheet.sizes.every", &[]);
        };
        let in_turn = sizes.windows(2).all(|pair| matches!(pair, [a, b] if a + 1 == *b));
        let listed = if in_turn && names.len() > 2 { format!("{first} – {last}") } else { self.messages.list(&names) };
        self.messages.count("sheet.sizes", names.len(), &[("sizes", &listed)])
    }

    fn about(&self, title: String) -> About {
        let edition = self.kit.edition.to_string();
        About {
            title,
            author: self.kit.publisher.clone(),
            subject: self.messages.text("pdf.subject", &[("edition", &edition)]),
            language: self.messages.language().to_owned(),
            rights: self.kit.copyright.clone(),
            date: self.kit.date,
        }
    }

    /// Bookmark and description of a sheet's page.
    fn extras(&self, layout: &Layout, sheet: usize) -> Extras {
        let Some(this) = layout.sheets.get(sheet) else { return Extras::default() };
        let title = self.messages.text("sheet.label", &[("label", &this.label)]);
        let row = this.label.trim_end_matches(|c: char| c.is_ascii_digit());
        let row = (layout.rows > 1).then(|| self.messages.text("bookmark.row", &[("row", row)]));
        let (n, total) = ((sheet + 1).to_string(), layout.sheets.len().to_string());
        let count = self.messages.text("sheet.count", &[("n", &n), ("total", &total)]);
        let sizes = self.sizes_line(layout, sheet);
        let what = self.messages.text("sheet.alt", &[("label", &this.label), ("count", &count), ("sizes", &sizes)]);
        let joined: Vec<String> = [what].into_iter().chain(self.joined(layout, sheet)).collect();
        Extras { title, row, alt: joined.join(" "), ground: None }
    }

    /// The sheets that a sheet joins, in words.
    fn joined(&self, layout: &Layout, sheet: usize) -> Option<String> {
        let across = |join: &crate::plan::Join| match sheet {
            _ if join.first == sheet => layout.sheets.get(join.second),
            _ if join.second == sheet => layout.sheets.get(join.first),
            _ => None,
        };
        let labels: Vec<String> = layout.joins.iter().filter_map(across).map(|other| other.label.clone()).collect();
        let list = self.messages.list(&labels);
        (!labels.is_empty()).then(|| self.messages.count("sheet.alt.joins", labels.len(), &[("sheets", &list)]))
    }

    /// The drawing's layers, then that of the marks; one can switch sizes, not the rest.
    fn layer_names(&self) -> Vec<LayerName> {
        let marks = LayerName { name: self.messages.text("layer.marks", &[]), switchable: false, shown: true };
        self.drawing.layers.iter().map(|layer| self.layer_name(layer)).chain([marks]).collect()
    }

    /// A size's layer is called as buyers know the size, in the language of the sheets; others keep their names.
    fn layer_name(&self, layer: &crate::drawing::Layer) -> LayerName {
        let size = match layer.role {
            crate::drawing::Role::Size(size) => self.kit.sizes.get(size),
            crate::drawing::Role::Base => None,
        };
        match size {
            Some(size) => {
                let name = size_layer(self.messages, &size.name);
                LayerName { name, switchable: true, shown: size.shown }
            }
            None => LayerName { name: layer.name.clone(), switchable: false, shown: true },
        }
    }
}

/// The name of a size's layer in PDFs.
pub fn size_layer(messages: &Messages, size: &str) -> String {
    messages.text("layer.size", &[("size", size)])
}
