//! Fonts made to trap a reader: glyphs within glyphs and subroutines within subroutines, without end or without number.

use crate::fonts::{collection, compact, composite, glyphs, number, ordinary_compact, program, truetype};
use crate::setting;
use kitwright::press::{Font, supplied};
use std::time::{Duration, Instant};

/// What comes of a font that has to set all of its glyphs; opened in every other way as well.
#[track_caller]
fn opened(bytes: Vec<u8>) -> Result<Font, &'static str> {
    let start = Instant::now();
    setting::open(&bytes);
    let font = supplied("it.ttf", bytes, &["AB ab cC".to_owned()]).map_err(|finding| finding.code);
    assert!(start.elapsed() < Duration::from_secs(2), "{:?}", start.elapsed());
    font
}

// The made fonts are what they are meant to be: readers that did not make them take them whole.
#[test]
fn made_fonts_are_good() {
    let whole = truetype(&composite(&[2, 3]));
    for seed in [collection(&whole), whole, ordinary_compact()] {
        let font = opened(seed).unwrap_or_else(|code| panic!("{code}"));
        assert!("AB ab Ä".chars().all(|c| font.has(c)) && font.bold && font.name == "Made-Bold");
        let mut path = kurbo::BezPath::new();
        (2..5).for_each(|glyph| font.outline(glyph, kurbo::Point::ORIGIN, 1.0, &mut path).expect("an outline"));
        assert!(path.elements().iter().filter(|part| matches!(part, kurbo::PathEl::MoveTo(_))).count() >= 3);
    }
}

/// Every glyph from the third on is put together from the same number of the next.
fn nested(levels: u16, width: usize) -> Vec<u8> {
    let last = truetype_leaf();
    let inner = (0..levels).map(|level| composite(&vec![level + 3; width]));
    let all: Vec<Vec<u8>> = [last.clone(), Vec::new()].into_iter().chain(inner).chain([last]).collect();
    glyphs(&all.iter().map(Vec::as_slice).collect::<Vec<_>>())
}

/// A glyph of one contour of three points.
fn truetype_leaf() -> Vec<u8> {
    [0, 1, 0, 0, 0, 0, 2, 88, 2, 188, 0, 2, 0, 0, 1, 1, 1, 0, 0, 2, 88, 255, 38, 0, 0, 0, 0, 2, 188].to_vec()
}

#[test]
fn glyphs_within_glyphs() {
    assert!(opened(nested(5, 2)).is_ok(), "a few levels are fine");
    let fonts = [truetype(&composite(&[4])), truetype(&composite(&[2, 4, 4])), nested(5_000, 1), nested(12, 20)];
    let codes = fonts.map(|font| opened(font).err());
    assert_eq!(codes, [Some("font-bad"); 4]);
}

#[test]
fn subroutines_within_subroutines() {
    let call: &[u8] = &[10];
    let local = |which: i16| program(&[&number(which - 107), call]);
    let routines = |levels: i16, width: usize| -> Vec<Vec<u8>> {
        let inner = (1..levels).map(|level| [local(level).repeat(width), vec![11]].concat());
        inner.chain([vec![11]]).collect()
    };
    let font = |list: &[Vec<u8>]| {
        let last = program(&[&number(0), &[22], &local(0), &[14]]);
        compact(&last, &list.iter().map(Vec::as_slice).collect::<Vec<_>>(), &[&[11]])
    };
    assert!(opened(font(&routines(5, 2))).is_ok(), "a few levels are fine");
    for list in [vec![local(0)], vec![local(1), local(0)], routines(60, 1), routines(9, 40)] {
        assert_eq!(opened(font(&list)).err(), Some("font-bad"));
    }
}

#[test]
fn collections_that_claim_more_than_they_hold() {
    for claimed in [2_u32, 70_000, u32::MAX] {
        let mut font = collection(&truetype(&composite(&[2, 3])));
        font[8..12].copy_from_slice(&claimed.to_be_bytes());
        let _ = opened(font);
    }
}
