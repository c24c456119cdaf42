//! Shaping: the glyphs of a run, placed, each with the letters that it stands for.

use super::font::Font;
use super::runs::Run;
use harfrust::{BufferClusterLevel, Direction, GlyphBuffer, UnicodeBuffer};

/// One placed glyph of a line of words, in ems from the line's left end.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// Number of its font among the faces.
    pub font: usize,
    /// Number in the font.
    pub id: u16,
    /// Distance from the left end.
    pub x: f64,
    /// Height above the base line.
    pub y: f64,
    /// The letters that it stands for; none for a part of a letter whose other part has them.
    pub text: String,
}

/// Adds the glyphs of a run behind the pen, and moves the pen on.
pub fn shape(font: &Font, run: &Run, pen: &mut f64, glyphs: &mut Vec<Glyph>) {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(&run.text);
    buffer.guess_segment_properties();
    buffer.set_direction(if run.rtl { Direction::RightToLeft } else { Direction::LeftToRight });
    // Each mark on a letter keeps its own place in the text, so that it can be told what it stands for.
    buffer.set_cluster_level(BufferClusterLevel::MonotoneCharacters);
    let Some(shaped) = font.shaped(buffer) else { return };
    let texts = texts(&shaped, &run.text);
    let placed = shaped.glyph_infos().iter().zip(shaped.glyph_positions()).zip(texts);
    for ((info, position), text) in placed {
        let id = u16::try_from(info.glyph_id).unwrap_or(0);
        let (x, y) = (*pen + f64::from(position.x_offset) / font.em(), f64::from(position.y_offset) / font.em());
        *pen += f64::from(position.x_advance) / font.em();
        glyphs.push(Glyph { font: run.font, id, x, y, text });
    }
}

/// What each glyph stands for. Glyphs that share one stretch of the text leave it to the widest among them.
fn texts(shaped: &GlyphBuffer, text: &str) -> Vec<String> {
    let starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    let widths: Vec<i32> = shaped.glyph_positions().iter().map(|position| position.x_advance).collect();
    let mut ordered = starts.clone();
    ordered.sort_unstable();
    ordered.dedup();
    let end = |start: usize| ordered.get(ordered.partition_point(|other| *other <= start)).copied().unwrap_or(text.len());
    let mut texts = vec![String::new(); starts.len()];
    let mut from = 0;
    // Glyphs of one stretch lie side by side, whichever way they run.
    for group in starts.chunk_by(|a, b| a == b) {
        let range = from..from + group.len();
        let widest = range.clone().rev().max_by_key(|index| widths.get(*index)).unwrap_or(from);
        if let (Some(start), Some(place)) = (group.first(), texts.get_mut(widest)) {
            *place = text.get(*start..end(*start)).unwrap_or_default().into();
        }
        from = range.end;
    }
    texts
}
