//! Frames: cut where the manifest's joins want it, glue edges that stay off the tile, names and notes clear of the drawing.

use super::{Pressable, three_sheets};
use crate::manifest::{Colour, Joins, Press};
use crate::plan::Layout;
use crate::plan::tests::sample::{Sample, any_sample, cases};
use crate::press::Faces;
use crate::press::edges::{gaps, reach};
use crate::press::marks::{assembled_frame, frame, join_marks, neighbour_names, plate, wide_frame};
use crate::press::scene::{Inked, Scene, Words};
use kurbo::{Rect, Shape, Vec2};
use proptest::prelude::*;

fn framed(pressable: &mut Pressable, joins: Joins, sheet: usize) -> Scene {
    pressable.kit.joins = joins;
    pressable.pressed(|job, layout| frame(job, layout, sheet))
}

/// Lines with a chain dash.
fn cuts(scene: &Scene) -> Vec<Rect> {
    let dashed = |inked: &&Inked| inked.line.as_ref().is_some_and(|(_, line)| !line.dash_pattern.is_empty());
    scene.strokes.iter().filter(dashed).map(|inked| inked.path.bounding_box()).collect()
}

/// Lines paler than the marks.
fn hatching(scene: &Scene) -> Vec<Rect> {
    let pale = |inked: &&Inked| inked.line.as_ref().is_some_and(|(colour, _)| colour.red > 0);
    scene.strokes.iter().filter(pale).map(|inked| inked.path.bounding_box()).collect()
}

/// The box of a line of words; letters reach 0.8 of the em up and 0.25 down.
fn boxed(words: &Words) -> Rect {
    let placed = Faces::built_in().place(words);
    let width = Faces::built_in().width(&words.text, words.style);
    let (x, y) = (placed.at.x, placed.at.y);
    Rect::new(x, y - 0.8 * placed.size, x + width, y + 0.25 * placed.size)
}

/// The same for capitals and digits, which are 0.72 of the em high and have no descenders.
fn capitals(words: &Words) -> Rect {
    let placed = Faces::built_in().place(words);
    Rect { y0: placed.at.y - 0.72 * placed.size, y1: placed.at.y, ..boxed(words) }
}

#[test]
fn butt_joins_are_cut_on_both_sides_and_lapped_ones_on_the_second_only() {
    let mut pressable = Pressable::of(&three_sheets());
    let tile = pressable.layout.tile.to_kurbo_mm();
    let (left, right) = (Rect::new(tile.x0, tile.y0, tile.x0, tile.y1), Rect::new(tile.x1, tile.y0, tile.x1, tile.y1));
    let mut of = |joins, sheet| cuts(&framed(&mut pressable, joins, sheet));
    assert_eq!([of(Joins::Butt, 0), of(Joins::Butt, 1), of(Joins::Butt, 2)], [vec![right], vec![right, left], vec![left]]);
    assert_eq!([of(Joins::Lapped, 0), of(Joins::Lapped, 1), of(Joins::Lapped, 2)], [vec![], vec![left], vec![left]]);
}

#[test]
fn glue_edges_are_hatched_beside_the_tile_and_nowhere_else() {
    let mut pressable = Pressable::of(&three_sheets());
    let (tile, reach) = (pressable.layout.tile.to_kurbo_mm(), reach(&pressable.layout));
    assert!(hatching(&framed(&mut pressable, Joins::Butt, 1)).is_empty());
    let lines = hatching(&framed(&mut pressable, Joins::Lapped, 1));
    assert!(lines.len() > 50, "{} lines", lines.len());
    let edge = Rect::new(tile.x1, reach.y0, reach.x1, reach.y1).inflate(1e-9, 1e-9);
    assert!(lines.iter().all(|line| edge.union(*line) == edge), "{lines:?}");
    assert!(hatching(&framed(&mut pressable, Joins::Lapped, 2)).is_empty(), "the last sheet has no neighbour to its right");
}

#[test]
fn the_border_says_which_sheet_lies_on_top() {
    let mut sample = three_sheets();
    sample.setup.border = crate::units::Length::mm(4.0);
    let mut pressable = Pressable::of(&sample);
    let mut said = |joins, sheet| {
        let words = framed(&mut pressable, joins, sheet).words;
        words.into_iter().map(|words| words.text).collect::<Vec<_>>().join("|")
    };
    assert!(said(Joins::Lapped, 0).contains("A1|A2|the next sheet lies on top"), "{}", said(Joins::Lapped, 0));
    assert!(!said(Joins::Lapped, 0).contains("trim"), "the first sheet is not cut");
    assert!(said(Joins::Lapped, 2).contains("trim") && !said(Joins::Lapped, 2).contains("on top"));
    assert!(said(Joins::Butt, 0).contains("trim") && !said(Joins::Butt, 0).contains("on top"));
}

/// Three parts of wide paper.
fn parts(joins: Joins) -> Pressable {
    let mut sample = three_sheets();
    sample.setup.paper.press = Press::Wide;
    sample.setup.border = if joins == Joins::Lapped { sample.setup.glue_edge } else { crate::units::Length::ZERO };
    let mut pressable = Pressable::of(&sample);
    pressable.kit.joins = joins;
    pressable
}

#[test]
fn parts_of_wide_paper_are_joined_as_home_sheets_are() {
    for (joins, wanted) in [(Joins::Butt, [1, 2, 1]), (Joins::Lapped, [0, 1, 1])] {
        let pressable = parts(joins);
        let glued = |sheet| hatching(&pressable.pressed(|job, layout| wide_frame(job, layout, sheet))).len() > 50;
        let cut = |sheet| cuts(&pressable.pressed(|job, layout| wide_frame(job, layout, sheet))).len();
        assert_eq!([0, 1, 2].map(cut), wanted, "{joins:?}");
        assert_eq!([0, 1, 2].map(glued), [joins == Joins::Lapped, joins == Joins::Lapped, false], "{joins:?}");
    }
}

#[test]
fn joined_parts_have_nothing_of_their_frames_on_their_neighbours() {
    let pressable = parts(Joins::Lapped);
    let tile = pressable.layout.tile.to_kurbo_mm();
    for sheet in 0..3 {
        let scene = assembled_frame(&pressable.layout, sheet, Colour::BLACK);
        assert!(!scene.strokes.is_empty() && scene.words.is_empty());
        assert!(scene.strokes.iter().all(|inked| tile.inflate(1e-9, 1e-9).contains_rect(inked.path.bounding_box())), "{sheet}");
    }
}

/// Whether some ink of a sample surely lies on a rectangle of a sheet.
fn wet(sample: &Sample, layout: &Layout, sheet: usize, area: Rect) -> bool {
    let back: Vec2 = layout.sheets[sheet].area.to_kurbo_mm().origin() - layout.tile.to_kurbo_mm().origin();
    sample.drawn.iter().any(|drawn| drawn.surely_on(area + back))
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn every_sheet_has_a_scale_of_its_own(sample in any_sample()) {
        let pressable = Pressable { kit: sample.kit(), drawing: sample.drawing(Vec2::ZERO), layout: sample.layout() };
        let tile = pressable.layout.tile.to_kurbo_mm();
        for (sheet, own) in pressable.layout.sheets.iter().enumerate() {
            let promises = pressable.pressed(|job, layout| plate(job, layout, sheet)).promises;
            let lengths: Vec<f64> = promises.iter().map(|mark| mark.from.distance(mark.to)).collect();
            let holds = |unit: f64, least: f64| {
                lengths.iter().map(|length| length / unit).any(|count| count > least - 0.1 && (count - count.round()).abs() < 1e-9)
            };
            let (metric, inches) = (holds(10.0, 4.0), holds(25.4, 1.0));
            prop_assert!(metric && inches, "{:?} of sheet {} has no rule: {lengths:?}", own.plate.form, own.label);
            prop_assert!(promises.iter().all(|mark| tile.contains(mark.from) && tile.contains(mark.to)), "{} is cut", own.label);
        }
    }

    #[test]
    fn neighbours_are_named_in_the_room_of_their_marks(sample in any_sample()) {
        let layout = sample.layout();
        for sheet in 0..layout.sheets.len() {
            let mut wanted: Vec<String> = Vec::new();
            for join in layout.joins.iter().filter(|join| join.first == sheet || join.second == sheet) {
                let other = if join.first == sheet { join.second } else { join.first };
                wanted.extend(join.marks.iter().map(|_| layout.sheets[other].label.clone()));
                let alone = Layout { joins: vec![join.clone()], ..layout.clone() };
                let numbers = join_marks(&Faces::built_in(), &alone, sheet, Colour::BLACK).words;
                let names = neighbour_names(&Faces::built_in(), &alone, sheet, Colour::BLACK).words;
                for ((name, number), mark) in names.iter().zip(&numbers).zip(&join.marks) {
                    let (area, beside, tile) = (capitals(name), capitals(number), layout.tile.to_kurbo_mm());
                    prop_assert!(area.intersect(beside).is_zero_area(), "{} stands on its number", name.text);
                    prop_assert!(mark.over_ink || !wet(&sample, &layout, sheet, area), "{} is printed over ink", name.text);
                    prop_assert!(tile.union(area) == tile, "{} at {area} leaves its tile", name.text);
                }
            }
            let mut named: Vec<String> = neighbour_names(&Faces::built_in(), &layout, sheet, Colour::BLACK).words.into_iter().map(|words| words.text).collect();
            wanted.sort();
            named.sort();
            prop_assert_eq!(named, wanted);
        }
    }

    #[test]
    fn notes_stand_clear_of_the_drawing_if_there_is_room(mut sample in any_sample(), lapped in any::<bool>()) {
        sample.setup.border = crate::units::Length::mm(3.0);
        let mut pressable = Pressable { kit: sample.kit(), drawing: sample.drawing(Vec2::ZERO), layout: sample.layout() };
        let tile = pressable.layout.tile.to_kurbo_mm();
        for sheet in 0..pressable.layout.sheets.len() {
            let scene = framed(&mut pressable, if lapped { Joins::Lapped } else { Joins::Butt }, sheet);
            for words in &scene.words {
                let area = boxed(words);
                prop_assert!(area.y0 >= tile.y1 || area.y1 <= tile.y0, "{} lies on the tile", words.text);
            }
            // What is said first finds all the room there is.
            let first = boxed(&scene.words[0]);
            if wet(&sample, &pressable.layout, sheet, first) {
                let strip = |y: f64| Rect::new(tile.x0 + 5.2, y, tile.x1 - 5.2, y + 2.2);
                let room = |y| gaps(&pressable.drawing, &pressable.layout, sheet, strip(y));
                let widest = room(tile.y0 - 2.6).into_iter().chain(room(tile.y1 + 0.4)).map(|(from, to)| to - from).fold(0.0, f64::max);
                prop_assert!(widest < first.width() + 3.3, "{widest} mm were free");
            }
        }
    }
}
