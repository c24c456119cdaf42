//! The SVG library at work: styles, `use`, units and text resolved, on fonts and pictures of the kit alone.

use super::fonts;
use super::outline::Outline;
use super::pictures::{self, Refused};
use super::request::Resources;
use super::scale::Scale;
use super::source::Source;
use super::splice::Spliced;
use crate::diagnostic::{Diagnostic, Place};
use std::sync::Arc;
use usvg::fontdb::Database;
use usvg::{FontResolver, Options, Tree};

/// What the library needs besides the text.
pub struct Means<'a> {
    /// The kit's files.
    pub resources: &'a dyn Resources,
    /// The kit's fonts.
    pub fonts: Arc<Database>,
    /// Takes the pictures that cannot be had.
    pub refused: &'a Refused,
}

/// Reads the spliced text; one unit of the tree's canvas is a millimetre on paper.
pub fn tree(spliced: &Spliced, scale: &Scale, means: &Means) -> Result<Tree, usvg::Error> {
    let options = Options {
        dpi: scale.per_inch as f32,
        font_family: fonts::BUILT_IN.into(),
        image_href_resolver: pictures::resolver(means.resources, means.refused),
        font_resolver: font_resolver(),
        fontdb: means.fonts.clone(),
        ..Options::default()
    };
    Tree::from_str(&spliced.text, &options)
}

/// Words whose font is missing get the built-in one, so that they stay in the tree and the finding can name them.
fn font_resolver() -> FontResolver<'static> {
    FontResolver {
        select_font: Box::new(|font, database| match fonts::choose(font, database) {
            fonts::Choice::Found(id) => Some(id),
            _ => database.faces().next().map(|face| face.id),
        }),
        // No other font steps in for a missing glyph: that would be a silent substitute.
        select_fallback: Box::new(|_, _, _| None),
    }
}

/// A refusal of the library, at its place in the user's file.
pub fn refusal(error: &usvg::Error, spliced: &Spliced, source: &Source, outline: &Outline) -> Diagnostic {
    match error {
        usvg::Error::ParsingFailed(usvg::roxmltree::Error::NodesLimitReached) | usvg::Error::ElementsLimitReached => {
            let place = source.place(outline.elements.first().map_or(0, |root| root.start));
            error!("drawing-too-complex/library").at(place)
        }
        usvg::Error::ParsingFailed(error) => {
            let at = error.pos();
            let place = source.place(spliced.origin(at.row, at.col));
            let text = error.to_string();
            // The library's own position is one in the spliced text.
            let text = text.rsplit_once(" at ").map_or(text.as_str(), |(what, _)| what);
            error!("xml-syntax", what = text).at(place)
        }
        other => error!("drawing-size", other).at(Place::file(source.file)),
    }
}
