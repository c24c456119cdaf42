//! Twenty lines for twenty sizes: ten rhythms of dashes in two weights, black.
//!
//! Neighbours differ in weight and in rhythm. The first ten lines have ten rhythms, the surest first, so that a kit of few sizes
//! gets the lines that are easiest to tell apart; tests measure every pair on strips rendered at 300 dpi in grey. docs/lines-and-ink.md shows them.

use kurbo::{Cap, Join, Stroke};

/// Most sizes that lines can tell apart.
pub const MOST_SIZES: usize = 20;

/// Widths in mm, wide to narrow 2 : 1 as ISO 128-2 has it, and the narrow one four dots at 300 dpi.
const THIN: f64 = 0.35;
const HEAVY: f64 = 0.7;

/// Dashes and gaps, in mm. No gap is longer than 3 mm, so that scissors find their way, and no rhythm is longer than 12 mm, so
/// that a short stretch shows it.
type Rhythm = &'static [f64];

const SOLID: Rhythm = &[];
const MEDIUM: Rhythm = &[5.0, 3.0];
const SHORT: Rhythm = &[3.0, 3.0];
const EVEN: Rhythm = &[2.0, 2.0];
const DOTS: Rhythm = &[1.0, 2.5];
const FINE: Rhythm = &[0.6, 1.2];
const DASH_DOT: Rhythm = &[6.0, 2.5, 1.0, 2.5];
const SHORT_DOT: Rhythm = &[3.0, 1.5, 1.0, 1.5];
const PAIRS: Rhythm = &[1.0, 1.0, 1.0, 3.0];
const FOURS: Rhythm = &[1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 3.0];

/// Width and rhythm, by size.
const PATTERNS: [(f64, Rhythm); MOST_SIZES] = [
    (THIN, SOLID),
    (HEAVY, PAIRS),
    (THIN, DOTS),
    (HEAVY, EVEN),
    (THIN, FINE),
    (HEAVY, SHORT_DOT),
    (THIN, FOURS),
    (HEAVY, MEDIUM),
    (THIN, SHORT),
    (HEAVY, DASH_DOT),
    (THIN, PAIRS),
    (HEAVY, SHORT),
    (THIN, EVEN),
    (HEAVY, FOURS),
    (THIN, DASH_DOT),
    (HEAVY, DOTS),
    (THIN, SHORT_DOT),
    (HEAVY, FINE),
    (THIN, MEDIUM),
    (HEAVY, SOLID),
];

/// The line of a size, counted from 0; beyond [`MOST_SIZES`] the lines begin anew.
///
/// It starts in the middle of a dash, so that a corner where a path begins is inked. Round joins keep its ink within half its
/// width of the path, however sharp the corner.
pub fn pattern(size: usize) -> Stroke {
    let (width, rhythm) = PATTERNS.get(size % MOST_SIZES).copied().unwrap_or((THIN, SOLID));
    let start = rhythm.first().map_or(0.0, |dash| dash / 2.0);
    Stroke::new(width).with_caps(Cap::Butt).with_join(Join::Round).with_dashes(start, rhythm.iter().copied())
}
