//! The text of a page: glyphs put together to words by where they stand.

use hayro_interpret::font::Glyph;
use hayro_interpret::hayro_cmap::BfString;
use kurbo::{Affine, Point, Rect};

/// A gap wider than this part of the font size parts two words: common practice, no published source.
const GAP: f64 = 0.2;
/// Units in the em of a glyph's space (ISO 32000-1, 9.2.4).
const EM: f64 = 1000.0;

/// Text in the order in which it is painted.
#[derive(Debug, Default)]
pub(super) struct Words {
    text: String,
    pen: Option<Point>,
    /// Where each run of letters begins: byte of the text, place and height of the em in mm.
    starts: Vec<(usize, Point, f64)>,
}

impl Words {
    /// Adds a visible glyph; `place` takes the glyph's space to page millimetres.
    pub fn add(&mut self, glyph: &Glyph<'_>, place: Affine, clip: Rect) {
        let at = place * Point::ZERO;
        let Some(unicode) = glyph.as_unicode().filter(|_| clip.contains(at)) else { return };
        // The height, not the width, of the em: letters may be set narrow.
        let em = (place * Point::new(0.0, EM)).distance(at);
        if self.pen.is_none_or(|pen| pen.distance(at) > GAP * em) {
            self.text.push_str(if self.text.is_empty() { "" } else { " " });
            self.starts.push((self.text.len(), at, em));
        }
        match unicode {
            BfString::Char(c) => self.text.push(c),
            BfString::String(s) => self.text.push_str(&s),
        }
        // Type set tight or loose moves the pen by little; a new line or column moves it by a lot.
        self.pen = Some(place * Point::new(advance(glyph), 0.0));
    }

    /// Letters that were set without a gap, each with the place where they begin, in mm.
    pub fn runs(&self) -> impl Iterator<Item = (Point, &str)> {
        self.sized_runs().map(|(at, _, run)| (at, run))
    }

    fn sized_runs(&self) -> impl Iterator<Item = (Point, f64, &str)> {
        let ends = self.starts.iter().skip(1).map(|(start, ..)| *start).chain([self.text.len()]);
        self.starts.iter().zip(ends).filter_map(|((start, at, em), end)| Some((*at, *em, self.text.get(*start..end)?)))
    }

    /// Whether a label stands there in the largest letters of all: smaller ones are the names of neighbours.
    pub fn have_label(&self, label: &str) -> bool {
        let largest = self.sized_runs().max_by(|a, b| a.1.total_cmp(&b.1));
        largest.is_some_and(|(.., run)| run.trim() == label)
    }

    /// Whether a title stands there, however it is spaced. One that runs from right to left is set in another order than it is
    /// written, and taken for granted.
    pub fn have_title(&self, title: &str) -> bool {
        let plain = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        let turned = |c: char| ('\u{590}'..'\u{900}').contains(&c) || ('\u{fb1d}'..'\u{ff00}').contains(&c);
        title.chars().any(turned) || plain(&self.text).contains(&plain(title))
    }

    /// Whether an edition stands there, not as a part of a longer number.
    pub fn have_edition(&self, edition: &str) -> bool {
        // `v1.0.0` and a full stop after it are fine.
        self.have(edition, |c| c.is_ascii_digit())
    }

    fn have(&self, sought: &str, joins: impl Fn(char) -> bool) -> bool {
        let free = |neighbour: Option<char>| neighbour.is_none_or(|c| !joins(c));
        let alone = |&(at, found): &(usize, &str)| {
            let (before, after) = (self.text.get(..at), self.text.get(at + found.len()..));
            free(before.and_then(|text| text.chars().next_back())) && free(after.and_then(|text| text.chars().next()))
        };
        !sought.is_empty() && self.text.match_indices(sought).any(|hit| alone(&hit))
    }
}

fn advance(glyph: &Glyph<'_>) -> f64 {
    let width = match glyph {
        Glyph::Outline(outline) => outline.advance_width(),
        Glyph::Type3(drawn) => drawn.advance_width(),
    };
    f64::from(width.unwrap_or(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(runs: &[(&str, f64)]) -> Words {
        let mut words = Words::default();
        for (run, em) in runs {
            words.text.push_str(if words.text.is_empty() { "" } else { " " });
            words.starts.push((words.text.len(), Point::new(*em, 0.0), *em));
            words.text.push_str(run);
        }
        words
    }

    #[test]
    fn a_label_is_what_stands_there_in_the_largest_letters() {
        let sheet = words(&[("A2", 2.0), (" A1 ", 9.0), ("B1", 2.0)]);
        assert!(sheet.have_label("A1") && !sheet.have_label("A2") && !sheet.have_label("B1"));
        assert!(!words(&[]).have_label("A1"));
        let runs: Vec<(f64, &str)> = sheet.runs().map(|(at, run)| (at.x, run)).collect();
        assert_eq!(runs, [(2.0, "A2 "), (9.0, " A1  "), (2.0, "B1")]);
    }

    #[test]
    fn a_title_stands_there_however_it_is_spaced() {
        let sheet = words(&[("Rope", 3.0), ("walk to", 3.0), ("te", 3.0)]);
        assert!(sheet.have_title("Ropewalk tote") && sheet.have_title("Rope walk") && !sheet.have_title("Ropewalk totes"));
        // Hebrew and Arabic, also in presentation forms, come in another order; what lies around them does not.
        for title in ["קיט", "\u{590}", "\u{8ff}", "\u{fb1d}", "\u{fefc}"] {
            assert!(sheet.have_title(title), "{title}");
        }
        for title in ["\u{58f}", "\u{900}", "\u{fb1c}", "\u{ff21}"] {
            assert!(!sheet.have_title(title), "{title}");
        }
    }

    #[test]
    fn an_edition_is_no_part_of_a_longer_number() {
        for (text, found) in [("v1.2.0.", true), ("11.2.0", false), ("1.2.00", false), ("21.2.0 1.2.0", true), ("1.2", false)] {
            assert_eq!(words(&[(text, 2.0)]).have_edition("1.2.0"), found, "{text}");
        }
        assert!(!words(&[("x", 2.0)]).have_edition(""));
    }
}
