//! Fonts for the words of a drawing: what draws those follows every glyph without bounds, so that each is looked at before.

use super::font::draw;
use super::supply::damaged;
use crate::diagnostic::Diagnostic;
use skrifa::font::Source;
use skrifa::raw::model::Error;
use skrifa::{Font, GlyphId, PathSink, ScalerFont};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// Most fonts in one file. A file can claim billions, for which a reader would make room before it looks for the first.
const MOST_FONTS: u32 = 1_000;
/// Most glyphs that are looked at: more than one font can have, and not all of a collection of fonts for ideographs.
const MOST_GLYPHS: usize = 100_000;
/// Most lines and curves of them together: fonts for ideographs have some ten million.
const MOST_STEPS: u64 = 30_000_000;

/// Refuses a file with a glyph that is made to keep a reader busy: parts within parts, or subroutines within subroutines, without
/// number. What is no font is told by who opens it.
pub fn bounded(file: &str, bytes: &[u8]) -> Result<(), Diagnostic> {
    let endless = catch_unwind(AssertUnwindSafe(|| has_endless(bytes)));
    if endless.unwrap_or(true) { Err(damaged(file)) } else { Ok(()) }
}

fn has_endless(bytes: &[u8]) -> bool {
    let fonts = claimed(bytes);
    let bytes: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::new(bytes.to_vec());
    let open = |index| Some(ScalerFont::force_unhinted(Font::new(Source::from(Arc::clone(&bytes)), index)?, None));
    let glyphs = |font: ScalerFont| (0..font.font().num_glyphs()).map(move |id| drawn(&font, GlyphId::new(id)));
    let mut each = (0..fonts.min(MOST_FONTS)).filter_map(open).flat_map(glyphs).take(MOST_GLYPHS);
    let all = each.try_fold(0_u64, |sum, steps| Some(sum + steps?).filter(|sum| *sum <= MOST_STEPS));
    fonts > MOST_FONTS || all.is_none()
}

/// The lines and curves of a glyph; `None` if it comes to no end.
fn drawn(font: &ScalerFont, id: GlyphId) -> Option<u64> {
    let mut steps = Steps(0);
    (draw(font, id, &mut steps) != Err(Error::LimitExceeded)).then_some(steps.0)
}

/// Counts lines and curves.
struct Steps(u64);

impl PathSink for Steps {
    fn move_to(&mut self, _: f32, _: f32) {
        self.0 += 1;
    }

    fn line_to(&mut self, _: f32, _: f32) {
        self.0 += 1;
    }

    fn quad_to(&mut self, _: f32, _: f32, _: f32, _: f32) {
        self.0 += 1;
    }

    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, _: f32, _: f32) {
        self.0 += 1;
    }

    fn close(&mut self) {}
}

/// How many fonts a file says that it holds, whether there is room for them or not (OpenType specification, "Font Collections").
fn claimed(bytes: &[u8]) -> u32 {
    let number = bytes.strip_prefix(b"ttcf").and_then(|rest| rest.get(4..8)?.try_into().ok());
    number.map_or(1, u32::from_be_bytes)
}
