//! What a font's makers allow, as its own bits tell (OpenType specification, table OS/2, field `fsType`).

use ttf_parser::Permissions;

/// How a font may be put into a PDF.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rights {
    /// Cut down to the glyphs in use.
    Subset,
    /// Only whole: bit 8, no subsetting.
    Whole,
    /// Not at all: bit 1, restricted licence embedding.
    Restricted,
    /// Not at all, since outlines are what a press needs: bit 9, bitmap embedding only.
    BitmapOnly,
}

impl Rights {
    /// The rights of a font. Preview and print, editable and installable embedding all allow a printed document; a font
    /// without the table states no limit.
    pub fn of(face: &ttf_parser::Face) -> Self {
        if face.tables().os2.is_none() {
            return Self::Subset;
        }
        match face.permissions() {
            Some(Permissions::Restricted) | None => Self::Restricted,
            Some(_) if !face.is_outline_embedding_allowed() => Self::BitmapOnly,
            Some(_) if !face.is_subsetting_allowed() => Self::Whole,
            Some(_) => Self::Subset,
        }
    }

    /// Why a font may not be embedded, in words; `None` if it may.
    pub fn refusal(self) -> Option<&'static str> {
        match self {
            Self::Subset | Self::Whole => None,
            Self::Restricted => Some(words!("forbids-embedding")),
            Self::BitmapOnly => Some(words!("allows-only-bitmaps")),
        }
    }
}
