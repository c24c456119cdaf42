//! Runs: stretches of a line that one font sets in one direction and one script, in the order of the paper.

use unicode_bidi::{Level, ParagraphBidiInfo};
use unicode_script::{Script, UnicodeScript};

/// A stretch of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// Its letters in the order of reading, without signs that only steer direction.
    pub text: String,
    /// Whether it is read from right to left.
    pub rtl: bool,
    /// Number of its font.
    pub font: usize,
}

/// The runs of a line from left to right (Unicode Standard Annex 9, rules P1 to L2). The line's first letter that has a
/// direction sets the line's own. `font` chooses the font of a letter, knowing that of the letter before it.
pub fn runs(line: &str, font: &dyn Fn(char, Option<usize>) -> usize) -> Vec<Run> {
    let line: String = line.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let bidi = ParagraphBidiInfo::new(&line, None);
    let (levels, stretches) = bidi.visual_runs(0..line.len());
    let stretch = |range: std::ops::Range<usize>| {
        let rtl = levels.get(range.start).is_some_and(Level::is_rtl);
        let mut parts = parts(line.get(range).unwrap_or_default(), rtl, font);
        if rtl {
            parts.reverse();
        }
        parts
    };
    stretches.into_iter().flat_map(stretch).collect()
}

/// Cuts a stretch of one direction where font or script change, in the order of reading.
fn parts(text: &str, rtl: bool, font: &dyn Fn(char, Option<usize>) -> usize) -> Vec<Run> {
    let mut parts: Vec<(Run, Script)> = Vec::new();
    for c in text.chars().filter(|c| !steers(*c)) {
        let own = c.script();
        let before = parts.last().map(|(run, script)| (run.font, *script));
        let chosen = font(c, before.map(|(font, _)| font));
        let shared = |script: Script| matches!(script, Script::Common | Script::Inherited);
        let fits = before.is_some_and(|(font, script)| font == chosen && (shared(own) || shared(script) || script == own));
        match parts.last_mut().filter(|_| fits) {
            Some((run, script)) => {
                run.text.push(c);
                *script = if shared(*script) { own } else { *script };
            }
            None => parts.push((Run { text: c.into(), rtl, font: chosen }, own)),
        }
    }
    parts.into_iter().map(|(run, _)| run).collect()
}

/// Marks, isolates and embeddings: they order the letters and have no picture.
pub fn steers(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a line is read from right to left, by its first letter that has a direction; isolated stretches do not count.
pub fn reads_rtl(line: &str) -> bool {
    unicode_bidi::get_base_direction(line) == unicode_bidi::Direction::Rtl
}
