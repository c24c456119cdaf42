//! What each file of a package is, in words; the guide and the read-me say it the same way.

use crate::catalogue::Messages;
use crate::plan::Layout;
use crate::press::paper_title;
use crate::units::Size;
use serde::{Deserialize, Serialize};

/// A file of the package.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackedFile {
    /// Its name in the package.
    pub name: String,
    /// What it is.
    pub kind: FileKind,
    /// Tag of the language of its words, for printed files that are there once more in that language.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
}

/// The files that readers of a language are told of: those of other languages are left out, and so are those that are there
/// in the reader's own.
pub fn files_in(files: &[PackedFile], language: &str) -> Vec<PackedFile> {
    let own = |file: &&PackedFile| file.language.as_deref() == Some(language);
    let has_own = |kind: &FileKind| files.iter().filter(own).any(|file| file.kind == *kind);
    let told = files.iter().filter(|file| own(file) || file.language.is_none() && !has_own(&file.kind));
    told.cloned().collect()
}

/// What a file of the package is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum FileKind {
    /// Plain text to begin with, in a language.
    ReadMe {
        /// Tag of the language.
        language: String,
    },
    /// The guide in a language, by its tag.
    Guide {
        /// Tag of the language, as in `en`.
        language: String,
    },
    /// What a tester fills in and sends back.
    Feedback,
    /// Sheets for a home printer.
    Home {
        /// Id of the paper, as in `a4`.
        paper: String,
    },
    /// Sheets of one size only, for a home printer; laid out for that size, with labels of their own.
    HomeSize {
        /// Id of the paper, as in `a4`.
        paper: String,
        /// Name of the size, as in `36`.
        size: String,
        /// How many sheets it has, without the check page.
        sheets: usize,
    },
    /// The sheets alone that an edition corrects, for buyers who have printed the one before.
    Corrections {
        /// Id of the paper, as in `a4`.
        paper: String,
        /// How many sheets it has, without the check page.
        sheets: usize,
    },
    /// The wide sheet to be printed.
    WidePdf {
        /// Id of the paper, as in `a0`.
        paper: String,
    },
    /// The same in greys, without layers, for print shops.
    WideFlat {
        /// Id of the paper, as in `a0`.
        paper: String,
    },
    /// The drawing in thick lines, for projecting onto cloth.
    Projection,
    /// The wide sheet as a layered drawing.
    WideSvg {
        /// Id of the paper, as in `a0`.
        paper: String,
    },
    /// The empty sheets of a blank kit as a layered drawing.
    BlankSvg {
        /// Id of the paper, as in `a4`.
        paper: String,
    },
    /// How much cloth the kit takes, for programs.
    Lays,
    /// What the kit promises, for programs.
    Promises,
    /// Checksums of the other files.
    Checksums,
    /// The publisher's signature over the checksums.
    Signature,
}

impl FileKind {
    /// Whether the drawing is in it, words and all.
    pub const fn holds_drawing(&self) -> bool {
        match self {
            Self::Home { .. }
            | Self::HomeSize { .. }
            | Self::Corrections { .. }
            | Self::WidePdf { .. }
            | Self::WideFlat { .. } => true,
            Self::WideSvg { .. } | Self::BlankSvg { .. } | Self::Projection => true,
            Self::ReadMe { .. } | Self::Guide { .. } | Self::Feedback => false,
            Self::Lays | Self::Promises | Self::Checksums | Self::Signature => false,
        }
    }
}

/// What a file is, in a sentence without a full stop; a paper that no layout has is called by its id.
pub fn describe(kind: &FileKind, layouts: &[Layout], messages: &Messages) -> String {
    match kind {
        FileKind::ReadMe { language } => messages.text("file.readme", &[("language", &name_of(language))]),
        FileKind::Guide { language } => messages.text("file.guide", &[("language", &name_of(language))]),
        FileKind::Feedback => messages.text("file.feedback", &[]),
        FileKind::Home { paper } => {
            let layout = layout_of(paper, layouts);
            let sheets = layout.map_or(0, |layout| layout.sheets.len());
            messages.count("file.home", sheets, &[("paper", &title_of(paper, layout, messages))])
        }
        FileKind::HomeSize { paper, size, sheets } => {
            let title = title_of(paper, layout_of(paper, layouts), messages);
            messages.count("file.home-size", *sheets, &[("paper", &*title), ("size", size)])
        }
        FileKind::Corrections { paper, .. } => {
            messages.text("file.corrections", &[("paper", &title_of(paper, layout_of(paper, layouts), messages))])
        }
        FileKind::WidePdf { paper } => {
            let layout = layout_of(paper, layouts);
            let size = layout.map(|layout| wide_size(layout, messages)).unwrap_or_default();
            let parts = layout.map_or(1, |layout| layout.sheets.len());
            messages.count("file.wide-pdf", parts, &[("paper", &title_of(paper, layout, messages)), ("size", &size)])
        }
        FileKind::WideFlat { .. } => messages.text("file.wide-flat", &[]),
        FileKind::Projection => messages.text("file.projection", &[]),
        FileKind::WideSvg { .. } => messages.text("file.wide-svg", &[]),
        FileKind::BlankSvg { paper } => {
            messages.text("file.blank-svg", &[("paper", &title_of(paper, layout_of(paper, layouts), messages))])
        }
        FileKind::Lays => messages.text("file.lays", &[]),
        FileKind::Promises => messages.text("file.promises", &[]),
        FileKind::Checksums => messages.text("file.checksums", &[]),
        FileKind::Signature => messages.text("file.signature", &[]),
    }
}

/// What a language calls itself; its tag where that is not known.
fn name_of(language: &str) -> String {
    Messages::builtin(language).map_or_else(|| language.to_owned(), |own| own.text("language.name", &[]))
}

/// The layout for a paper, by the paper's id.
pub fn layout_of<'a>(paper: &str, layouts: &'a [Layout]) -> Option<&'a Layout> {
    layouts.iter().find(|layout| layout.setup.paper.id == paper)
}

/// Size of a wide sheet to the millimetre, which is all that a counter needs.
pub fn wide_size(layout: &Layout, messages: &Messages) -> String {
    let Size { width, height } = layout.sheet_size;
    messages.size(Size::mm(width.to_mm().round(), height.to_mm().round()))
}

fn title_of(id: &str, layout: Option<&Layout>, messages: &Messages) -> String {
    layout.map_or_else(|| id.to_owned(), |layout| paper_title(&layout.setup.paper, messages))
}
