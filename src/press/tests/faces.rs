//! Faces: order on the line, licence bits, damaged files and letters that nobody has. Other scripts are judged with fetched fonts.

use crate::press::faces::{Faces, Rights, Weight};
use crate::press::scene::Type;
use crate::press::{lacking, missing, supplied};

const TEXT: &str = "Größe 36 – Żółć, Ελλάδα, Привет";

/// The built-in regular face with other licence bits (OpenType specification, OS/2: `fsType` is at byte 8 of the table).
fn with_rights(bits: u16) -> Vec<u8> {
    let mut bytes = notosans::REGULAR_TTF.to_vec();
    let tables = u16::from_be_bytes([bytes[4], bytes[5]]) as usize;
    let record = (0..tables).map(|table| 12 + 16 * table).find(|at| &bytes[*at..at + 4] == b"OS/2").unwrap();
    let offset = u32::from_be_bytes(bytes[record + 8..record + 12].try_into().unwrap()) as usize;
    bytes[offset + 8..offset + 10].copy_from_slice(&bits.to_be_bytes());
    bytes
}

#[test]
fn licence_bits_are_honoured() {
    // 0: installable, 4: preview and print, 8: editable; 0x100: no subsetting.
    for (bits, rights) in [(0, Rights::Subset), (4, Rights::Subset), (8, Rights::Subset), (0x104, Rights::Whole)] {
        assert_eq!(supplied("a.ttf", with_rights(bits), &[TEXT.into()]).unwrap().rights, rights, "{bits:#x}");
    }
    // 2: restricted; 0x200: bitmaps only.
    for bits in [2, 0x200, 0x204] {
        let refused = supplied("a.ttf", with_rights(bits), &[TEXT.into()]).err().unwrap();
        assert_eq!(refused.code, "font-licence", "{bits:#x}");
    }
}

#[test]
fn damaged_fonts_are_refused_or_work() {
    let texts = [TEXT.to_owned()];
    let mut state = 7_u64;
    let mut next = |below: usize| {
        // Knuth's MMIX generator: any bytes will do, but the same ones on every run.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    let mut refused = 0;
    for round in 0..120 {
        let mut bytes = notosans::BOLD_TTF.to_vec();
        // The first rounds hit the table directory, the others anything.
        let reach = if round < 40 { 400 } else { bytes.len() };
        (0..=next(12)).for_each(|_| bytes[next(reach)] = next(256) as u8);
        if round % 5 == 0 {
            bytes.truncate(next(bytes.len()));
        }
        match supplied("a.ttf", bytes, &texts) {
            Err(finding) => {
                assert!(["font-bad", "font-licence"].contains(&finding.code));
                refused += 1;
            }
            Ok(font) => {
                let mut faces = Faces::built_in();
                faces.add_brand(font);
                assert!(faces.line(TEXT, Weight::Bold).width.is_finite());
            }
        }
    }
    assert!((10..120).contains(&refused), "{refused} of 120 were refused");
}

#[test]
fn letters_that_no_font_has_are_named() {
    let texts = ["fine".to_owned(), "型紙 A1".to_owned(), "باترون، 1".to_owned()];
    let faces = Faces::built_in();
    let lacking = lacking(&faces, &texts);
    assert_eq!(lacking.get(&'型'), Some(&"型紙 A1"));
    let findings = missing(&lacking);
    assert_eq!(findings.len(), 2, "one a script");
    let japanese = findings.iter().find(|finding| finding.message.contains("型紙 A1")).unwrap();
    assert!(japanese.code == "glyph-missing" && japanese.hints.iter().any(|hint| hint.contains("--fonts")));
    assert!(super::super::lacking(&faces, &[TEXT.to_owned()]).is_empty());
}

#[test]
fn glyphs_stand_in_the_order_of_the_paper() {
    let faces = Faces::built_in();
    let line = faces.line("fi 36", Weight::Regular);
    let texts: String = line.glyphs.iter().map(|glyph| glyph.text.as_str()).collect();
    assert_eq!(texts, "fi 36", "a ligature keeps both letters");
    assert!(line.glyphs.windows(2).all(|pair| pair[0].x < pair[1].x));
    // A mark from right to left before it turns the numbers of a list round, as an Arabic reader expects.
    let turned = faces.line("\u{200f}36, 38", Weight::Regular);
    let texts: String = turned.glyphs.iter().map(|glyph| glyph.text.as_str()).collect();
    assert_eq!(texts, "38 ,36");
}

#[test]
fn words_shrink_to_their_room_and_no_further() {
    let faces = Faces::built_in();
    let free = faces.width(TEXT, Type::regular(3.0));
    assert!((faces.width(TEXT, Type::regular(3.0).within(free / 2.0)) - free / 2.0).abs() < 1e-9);
    assert!((faces.width(TEXT, Type::regular(3.0).within(free * 2.0)) - free).abs() < 1e-9);
}
