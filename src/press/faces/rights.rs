//! What a font's makers allow, as its own bits tell (OpenType specification, table OS/2, field `fsType`).

use skrifa::raw::TableProvider;

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
    pub fn of(font: &skrifa::Font) -> Self {
        font.tables().os2().map_or(Self::Subset, |os2| Self::stated(os2.version(), os2.fs_type()))
    }

    /// Version 1 knows neither bit 8 nor bit 9, and up to version 2 the most generous of several levels counts.
    fn stated(version: u16, bits: u16) -> Self {
        let allowed = match bits & 0xf {
            0 | 4 | 8 => true,
            several => version < 3 && several & 0xc != 0,
        };
        match (allowed, version > 1 && bits & 0x200 != 0, version > 1 && bits & 0x100 != 0) {
            (false, ..) => Self::Restricted,
            (true, true, _) => Self::BitmapOnly,
            (true, false, true) => Self::Whole,
            (true, false, false) => Self::Subset,
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
