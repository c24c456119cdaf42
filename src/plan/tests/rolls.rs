//! Rolls: as short as can be, in whole millimetres, and in parts where one piece would be too long.

use super::sample::{Drawn, Sample};
use super::shapes::Mark;
use crate::manifest::{Paper, PaperSetup};
use crate::plan::{Layout, layouts};
use crate::units::{Length, Margins};
use kurbo::{Point, Vec2};

/// A frame of lines of a size in mm on a roll.
fn on_roll(width: f64, height: f64, longest: f64) -> Layout {
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(Point::from);
    let sides = (0..4).map(|side| Mark::Bar(corners[side], corners[(side + 1) % 4], 0.4, None));
    let margins = Margins::even(Length::mm(5.0));
    let (paper, longest) = (Paper::known("roll-914").unwrap(), Length::mm(longest));
    let setup = PaperSetup { paper, margins, border: Length::ZERO, glue_edge: Length::mm(3.0), pin: None, longest };
    let sample = Sample { drawn: sides.map(|mark| Drawn { mark, clip: None, layer: 0 }).collect(), sizes: 0, setup };
    let (kit, drawing) = (sample.kit(), sample.drawing(Vec2::ZERO));
    layouts(&kit, &drawing).0.remove(0)
}

#[test]
fn a_roll_is_as_short_as_the_drawing_lets_it_be() {
    // Ink of 1500.4 by 800.4 mm on a roll of 914.4 mm, of which 904.4 mm print: it fits across, one way only.
    let layout = on_roll(1500.0, 800.0, 5080.0);
    assert_eq!(layout.sheets.len(), 1);
    assert!(layout.facts.lying);
    // Ink, 20 mm of air and twice 5 mm of margin, rounded up: the next whole millimetre, not one more.
    assert_eq!(layout.sheet_size.width, Length::mm(1531.0));
    // Both ways fit: the long side goes across.
    let layout = on_roll(880.0, 500.0, 5080.0);
    assert_eq!((layout.sheets.len(), layout.facts.lying), (1, false));
    assert_eq!(layout.sheet_size.height, Length::mm(531.0));
    let layout = on_roll(500.0, 880.0, 5080.0);
    assert_eq!((layout.sheets.len(), layout.facts.lying), (1, true));
    assert_eq!(layout.sheet_size.width, Length::mm(531.0));
}

#[test]
fn a_roll_that_would_be_too_long_comes_in_equal_parts() {
    for (length, longest, parts) in [
        (5000.0, 5080.0, 1),
        (5100.0, 5080.0, 2),
        (5000.0, 3000.0, 2),
        (2900.0, 1000.5, 3),
        (1977.0, 1000.0, 2),
        (1985.0, 1000.0, 3),
    ] {
        let layout = on_roll(length, 800.0, longest);
        assert_eq!(layout.sheets.len(), parts, "{length} in pieces of {longest}");
        assert!(layout.sheet_size.width <= Length::mm(longest));
        assert_eq!(layout.sheet_size.width.to_mm().fract(), 0.0);
        // Every part carries all marks that it shares with the next one.
        assert_eq!(layout.joins.len(), parts - 1);
        assert!(layout.joins.iter().all(|join| !join.marks.is_empty()));
        // Together they are hardly longer than one piece: a margin of 5 mm at each end, air, and what rounding adds.
        let whole = layout.sheet_size.width.to_mm() * parts as f64;
        assert!(whole <= length + 0.4 + 20.0 + 11.0 * parts as f64, "{whole}");
    }
}
