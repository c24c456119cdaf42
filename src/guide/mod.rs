//! The guide: one self-contained HTML page a language, from the templates in `templates/guide`; knows nothing of PDF.
//!
//! Here it is decided what a guide says and in which order; how it looks is left to the templates and the style sheet. The
//! page asks nothing of the network. Its one small script helps to pick paper and size; without it the page is as whole.

mod files;
mod joining;
mod lays;
mod lengths;
mod own;
mod pages;
mod planned;
mod review;
mod script;
mod seams;
mod section;
mod steps;
mod tables;
mod templates;
mod terms;
mod texts;
mod view;

pub use files::{FileKind, PackedFile, describe, files_in};
pub use lays::lay_pictures;
pub use pages::page_ranges;
pub use planned::Planned;
pub use review::review;
pub use script::script_hash;
pub use section::ids;
pub use steps::{Step, steps};
pub use templates::speaking;
pub use texts::{OwnText, own_texts, picture_path};

use crate::catalogue::{KitWords, Messages};
use crate::diagnostic::Diagnostic;
use crate::lays::LayBook;
use crate::manifest::{Kit, Press};
use crate::plan::Layout;
use std::collections::BTreeMap;

/// The publisher's logo as HTML: an inline `svg` or an `img` with a `data:` address, its text alternative the publisher's name.
///
/// It is put on the page as it stands: trusted markup, made by the press.
#[derive(Clone, Debug)]
pub struct Logo {
    /// The element.
    pub html: String,
}

/// A picture of the publisher's: trusted markup in two parts, between which the escaped text alternative goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Illustration {
    /// Up to the quote before the text alternative.
    pub before: String,
    /// From the quote behind it.
    pub after: String,
}

/// Pictures of a guide: trusted markup, made by the press.
#[derive(Clone, Copy, Debug, Default)]
pub struct Pictures<'a> {
    /// One inline SVG for each home layout, in the order of the layouts.
    pub maps: &'a [String],
    /// For each size its name and an inline SVG with a sample of its line.
    pub samples: &'a [(String, String)],
    /// The publisher's logo; it stands in the place of the publisher's name above the title.
    pub logo: Option<&'a Logo>,
    /// Pictures that the publisher's texts show, by their path from the kit's folder.
    pub shown: Option<&'a BTreeMap<String, Illustration>>,
    /// How the pieces lie on cloth, if that is known.
    pub lays: Option<&'a LayBook>,
}

/// Makes the guide of a kit in the language of the messages; `words` are the publisher's in that language.
///
/// A map is an element `svg` with `role="img"`, a `title` of its own and ids that no other map uses, which keeps the page valid.
/// `layouts` are those of the files with all sizes, `files` are all files of the package, in the order in which they are listed.
///
/// Fails with `guide-map` if the maps do not fit the layouts, and with `guide-template` if a template is faulty; both are
/// faults of kitwright, not of the kit.
#[allow(clippy::result_large_err, reason = "a finding is the error of every step; one guide a run makes no difference")]
pub fn html(
    kit: &Kit,
    layouts: &[Layout],
    pictures: &Pictures,
    files: &[PackedFile],
    messages: &Messages,
    words: &KitWords,
) -> Result<String, Diagnostic> {
    let homes = layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home).count();
    if pictures.maps.len() != homes {
        return Err(error!("guide-map", count = pictures.maps.len(), homes));
    }
    let page = view::Page::new(&view::Source { kit, layouts, pictures: *pictures, files, messages, words });
    templates::render(&page, messages).map_err(|fault| error!("guide-template", fault))
}

#[cfg(test)]
mod own_tests;
#[cfg(test)]
#[allow(clippy::single_range_in_vec_init, reason = "a list of one block is meant")]
mod plan_tests;
#[cfg(test)]
mod tests;
