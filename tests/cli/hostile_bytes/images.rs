//! Pictures made to do harm or only to look strange: as a logo, in a guide and in a drawing.

use super::{bounded, refuses};
use crate::scene::Scene;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, RgbImage};
use std::io::Cursor;

/// A place where a kit shows a picture, and the code by which a bad one is refused there.
const PLACES: [(&str, &str); 3] = [("logo", "logo-unreadable"), ("guide", "picture-bad"), ("drawing", "image-bad")];

/// A kit that shows one picture, under a name, in one place.
fn kit(place: &str, name: &str, bytes: &[u8]) -> Scene {
    let image = if place == "drawing" {
        format!("<image href=\"{name}\" x=\"20\" y=\"20\" width=\"40\" height=\"40\"/>")
    } else {
        String::new()
    };
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"140mm\" height=\"100mm\" viewBox=\"0 0 140 100\">\
         <g id=\"pattern\"><path d=\"M2 2H138V98\" fill=\"none\" stroke=\"#000\" stroke-width=\".5\"/>{image}</g></svg>\n"
    );
    let more = match place {
        "logo" => format!("logo: {name}\n"),
        "guide" => format!("guide: {{chapters: [{{title: One, text: \"![It]({name})\"}}]}}\n"),
        _ => String::new(),
    };
    let manifest = format!(
        "name: small\ntitle: Small\npublisher: Example\ncopyright: none\nedition: 1.0.0\ndate: 2026-11-20\npapers: [a4]\n\
         languages: [en]\ndrawing: {{file: small.svg}}\nbase-layers: [pattern]\n{more}"
    );
    let scene = Scene::new().file("kit/small.svg", &svg).file("kit/kit.yaml", &manifest);
    std::fs::write(scene.path(&format!("kit/{name}")), bytes).unwrap();
    scene
}

/// Refused in every place.
#[track_caller]
fn refused(name: &str, bytes: &[u8]) {
    for (place, code) in PLACES {
        refuses(&kit(place, name, bytes), &["check", "kit"], code);
    }
}

/// Taken in every place.
#[track_caller]
fn taken(name: &str, bytes: &[u8]) {
    for (place, _) in PLACES {
        let outcome = bounded(&kit(place, name, bytes), &["build", "kit", "--out", "out"]);
        assert_eq!(outcome.code, 0, "{place}: {}", outcome.stderr);
    }
}

fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, _| image::Rgb(if x * 2 < width { [20, 20, 20] } else { [200, 30, 30] }))
}

fn encoded(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn png() -> Vec<u8> {
    encoded(&picture(600, 400).into(), ImageFormat::Png)
}

fn jpeg() -> Vec<u8> {
    encoded(&picture(600, 400).into(), ImageFormat::Jpeg)
}

/// A PNG with another head: width, height, bits and kind of its pixels, with the right checksum (PNG, 3rd edition, 11.2.1).
fn headed(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = png();
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let mut crc = flate2::Crc::new();
    crc.update(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&crc.sum().to_be_bytes());
    bytes
}

/// A JPEG whose frame claims another size (ITU-T T.81, B.2.2: lines, then samples a line, five bytes behind the marker).
fn framed(width: u16, height: u16) -> Vec<u8> {
    let mut bytes = jpeg();
    let at = bytes.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    bytes[at + 5..at + 7].copy_from_slice(&height.to_be_bytes());
    bytes[at + 7..at + 9].copy_from_slice(&width.to_be_bytes());
    bytes
}

#[test]
fn heads_that_claim_billions_of_pixels() {
    refused("it.png", &headed(60_000, 60_000));
    refused("it.png", &headed(u32::MAX >> 1, u32::MAX >> 1));
    refused("it.png", &headed(0, 400));
    refused("it.jpg", &framed(60_000, 60_000));
    // A row more than a hundred million pixels.
    refused("it.png", &headed(10_000, 10_001));
}

#[test]
fn damage() {
    let mut sum = png();
    let end = sum.len() - 30;
    sum[end] ^= 0x10;
    refused("it.png", &sum);
    let mut head = png();
    head[29] ^= 1;
    refused("it.png", &head);
    refused("it.png", &png()[..200]);
    refused("it.jpg", &jpeg()[..300]);
    for nothing in [&b""[..], b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF89a", b"RIFF\0\0\0\0WEBP", b"no picture"] {
        refused("it.png", nothing);
    }
}

#[test]
fn names_do_not_count_but_what_is_in_the_file() {
    taken("it.jpg", &png());
    taken("it.png", &jpeg());
}

#[test]
fn sixteen_bits_and_grey() {
    let deep = DynamicImage::from(picture(600, 400));
    for picture in [deep.to_rgb16().into(), deep.to_rgba16().into(), deep.to_luma16().into(), deep.to_luma_alpha8().into()] {
        taken("it.png", &encoded(&picture, ImageFormat::Png));
    }
}

#[test]
fn four_inks() {
    taken("it.jpg", &cmyk());
    let scene = kit("guide", "it.jpg", &cmyk());
    // Half of each ink: half of the light, of which black takes half again.
    let grey = first(&page(&scene)).to_rgb8().get_pixel(4, 4).0;
    assert!(grey.iter().all(|part| part.abs_diff(64) < 4), "{grey:?}");
}

/// A JPEG of four planes, as Adobe writes it (Technical Note 5116): tables with one code each, so that every block is a single zero difference and an end of block.
fn cmyk() -> Vec<u8> {
    let mut bytes = vec![0xff, 0xd8];
    let mut segment = |marker: u8, data: &[u8]| {
        bytes.extend([0xff, marker]);
        bytes.extend((data.len() as u16 + 2).to_be_bytes());
        bytes.extend(data);
    };
    segment(0xee, b"Adobe\0\x64\0\0\0\0\0");
    segment(0xdb, &[&[0][..], &[1; 64]].concat());
    segment(0xc0, &[8, 0, 8, 0, 8, 4, 1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0, 4, 0x11, 0]);
    for class in [0x00, 0x10] {
        segment(0xc4, &[&[class, 1][..], &[0; 15], &[0]].concat());
    }
    segment(0xda, &[4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0]);
    // Four times the code 0 for no difference and 0 for the end; the rest are ones, as is usual.
    bytes.extend([0x00, 0xff, 0xd9]);
    bytes
}

/// A JPEG, wide, dark on the left, that says it must be turned by a quarter to stand upright (Exif 2.32, 4.6.4: tag 0x0112 is 6).
fn lying() -> Vec<u8> {
    let mut bytes = Vec::new();
    picture(600, 200).write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 95)).unwrap();
    let exif = b"\xff\xe1\x00\x22Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";
    [&bytes[..2], exif, &bytes[2..]].concat()
}

#[test]
fn photos_stand_as_their_camera_held_them() {
    for place in ["logo", "guide"] {
        let shown = first(&page(&kit(place, "it.jpg", &lying())));
        assert!(shown.height() == 3 * shown.width(), "{place}: {} × {}", shown.width(), shown.height());
        let dark = shown.to_luma8().get_pixel(shown.width() / 2, 5).0[0] < 90;
        assert!(dark, "{place}: what was left is on top");
    }
}

#[test]
fn photos_in_a_drawing_stand_upright_too() {
    let scene = kit("drawing", "it.jpg", &lying());
    bounded(&scene, &["picture", "kit", "--out", "out", "--size", "1600"]);
    let name = scene.names().into_iter().find(|name| name.starts_with("out/")).expect("a picture");
    let shown = image::load_from_memory(&scene.bytes(&name)).unwrap().to_rgb8();
    let found = |is: fn([u8; 3]) -> bool| {
        let places: Vec<(u32, u32)> = shown.enumerate_pixels().filter(|(.., p)| is(p.0)).map(|(x, y, _)| (x, y)).collect();
        let side = |all: Vec<u32>| (all.iter().min().copied().unwrap_or(0), all.iter().max().copied().unwrap_or(0));
        (side(places.iter().map(|place| place.0).collect()), side(places.iter().map(|place| place.1).collect()))
    };
    // Lying, 600 × 200; upright, 200 × 600, of which the lower half is red.
    let (across, down) = found(|[red, green, _]| red > 150 && green < 90);
    let sides = f64::from(down.1 - down.0 + 1) / f64::from(across.1 - across.0 + 1);
    assert!((sides - 1.5).abs() < 0.05, "{across:?} {down:?}");
    assert!(shown.get_pixel(u32::midpoint(across.0, across.1), down.0 - 20).0[0] < 90, "what was left is on top");
}

/// The guide of a kit.
fn page(scene: &Scene) -> String {
    bounded(scene, &["guide", "kit", "--out", "out"]);
    let name = scene.names().into_iter().find(|name| name.ends_with(".html")).expect("a guide");
    String::from_utf8(scene.bytes(&name)).unwrap()
}

/// The first picture that a page holds.
fn first(page: &str) -> DynamicImage {
    use base64::Engine;
    let data = page.split("base64,").nth(1).expect("a picture").split(['"', ')']).next().unwrap();
    let bytes = base64::engine::general_purpose::STANDARD.decode(data).unwrap();
    image::load_from_memory(&bytes).unwrap()
}
