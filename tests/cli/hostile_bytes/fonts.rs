//! Fonts made to do harm: as the brand's own, and named for the words of a drawing.

// The maker has more than is used here.
#[allow(dead_code)]
#[path = "../../fuzz/fonts.rs"]
mod made;

use super::refuses;
use crate::scene::Scene;
use made::{collection, compact, composite, glyphs, number, ordinary_compact, program, truetype};

/// A kit with one font, as the brand's (`brand-font: it.ttf`) or named for its drawing (`fonts: [it.ttf]`).
fn kit(line: &str, font: &[u8]) -> Scene {
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"140mm\" height=\"100mm\" viewBox=\"0 0 140 100\"><g id=\"pattern\">\
               <path d=\"M2 2H138V98\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>\
               <text x=\"20\" y=\"40\" font-family=\"Made\" font-weight=\"700\" font-size=\"9\">ABC abc</text></g></svg>\n";
    let manifest = format!(
        "name: small\ntitle: ABC abc\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\npapers: [a4]\n\
         languages: [en]\ndrawing: {{file: small.svg}}\nbase-layers: [pattern]\n{line}\n"
    );
    let scene = Scene::new().file("kit/small.svg", svg).file("kit/kit.yaml", &manifest);
    std::fs::write(scene.path("kit/it.ttf"), font).unwrap();
    scene
}

const LINES: [&str; 2] = ["brand-font: it.ttf", "fonts: [it.ttf]"];

#[track_caller]
fn refused(font: &[u8], code: &str) {
    for line in LINES {
        refuses(&kit(line, font), &["check", "kit"], code);
    }
}

#[test]
fn good_ones_are_taken() {
    for font in [truetype(&composite(&[2, 3])), ordinary_compact(), collection(&truetype(&composite(&[2, 3])))] {
        kit("fonts: [it.ttf]\nbrand-font: it.ttf", &font).run(&["build", "kit", "--out", "out"]).expect_code(0);
    }
}

#[test]
fn what_is_no_font() {
    for bytes in
        [&b""[..], b"no font", b"wOFF\0\x01\0\0", b"wOF2\0\x01\0\0", b"OTTO", b"ttcf", b"\0\x01\0\0\xff\xff", b"%!PS-AdobeFont"]
    {
        refused(bytes, "font-bad");
    }
}

#[test]
fn more_bytes_than_any_font_has() {
    for line in LINES {
        let scene = kit(line, b"");
        std::fs::File::create(scene.path("kit/it.ttf")).unwrap().set_len(200_000_000).unwrap();
        refuses(&scene, &["check", "kit"], "font-unreadable");
    }
}

#[test]
fn glyphs_and_subroutines_that_multiply() {
    let leaf = truetype(&[]);
    assert!(leaf.len() < 3_000);
    // Twelve levels of twenty parts each: 20^12 of the last.
    let inner = (0..12).map(|level| composite(&[level + 3; 20]));
    let list: Vec<Vec<u8>> = [vec![], vec![]].into_iter().chain(inner).chain([composite(&[0])]).collect();
    refused(&glyphs(&list.iter().map(Vec::as_slice).collect::<Vec<_>>()), "font-bad");
    // Nine levels of forty calls each, as deep as a reader follows.
    let call = |which: i16| program(&[&number(which - 107), &[10]]);
    let routines: Vec<Vec<u8>> = (1..9).map(|level| [call(level).repeat(40), vec![11]].concat()).chain([vec![11]]).collect();
    let list: Vec<&[u8]> = routines.iter().map(Vec::as_slice).collect();
    refused(&compact(&program(&[&number(0), &[22], &call(0), &[14]]), &list, &[&[11]]), "font-bad");
}

#[test]
fn a_collection_that_claims_billions() {
    let mut font = collection(&truetype(&composite(&[2, 3])));
    font[8..12].copy_from_slice(&u32::MAX.to_be_bytes());
    refuses(&kit("fonts: [it.ttf]", &font), &["check", "kit"], "font-bad");
}

#[test]
fn licences_that_forbid_it() {
    let mut font = truetype(&composite(&[2, 3]));
    let record = font.windows(4).position(|name| name == b"OS/2").unwrap();
    let table = u32::from_be_bytes(font[record + 8..record + 12].try_into().unwrap()) as usize;
    // Restricted licence embedding (OpenType specification, table OS/2, field fsType: bit 1).
    font[table + 9] = 2;
    refuses(&kit("brand-font: it.ttf", &font), &["check", "kit"], "font-licence");
}

#[test]
fn damage_that_brings_a_reader_down_is_a_finding_and_no_more() {
    // A glyph without contours, but with points.
    let hollow = [vec![0; 12], vec![1; 8]].concat();
    let outcome = refuses(&kit("fonts: [it.ttf]", &truetype(&hollow)), &["check", "kit"], "drawing-too-complex");
    assert!(!outcome.stderr.contains("this is a bug"), "{}", outcome.stderr);
}
