//! Keys of jobs: whatever a file is made from is in its key, and what is left out of the key reaches no file and no plan.

use super::{Pressable, three_sheets, wide};
use crate::catalogue::Messages;
use crate::diagnostic::Place;
use crate::drawing::{Drawing, Fill, Item, Letter, PathShape, Role, Shape};
use crate::files::Key;
use crate::manifest::Colour;
use crate::plan::layouts;
use crate::plan::tests::sample::Sample;
use crate::press::{Artwork, Faces, Font, Forms, Job, home_pdf, projection_layout, projection_pdf, wide_pdf, wide_svg};
use kurbo::{Point, Vec2};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::Arc;

fn key(job: &Job) -> String {
    job.keyed(Key::default()).hex()
}

fn item(drawing: &mut Drawing) -> &mut Item {
    &mut drawing.pieces[0].items[0]
}

fn path(drawing: &mut Drawing) -> &mut PathShape {
    match &mut item(drawing).shape {
        Shape::Path(path) => path,
        Shape::Image(_) => panic!("a picture"),
    }
}

#[test]
fn whatever_is_pressed_is_in_the_key() {
    let one = Pressable::of(&three_sheets());
    let changes: [&dyn Fn(&mut Drawing); 14] = [
        &|drawing| drawing.layers[0].name.push('x'),
        &|drawing| drawing.layers[1].role = Role::Base,
        &|drawing| drawing.pieces[0].layer = 1,
        &|drawing| drawing.pieces[0].name = Some("cape".into()),
        &|drawing| drawing.pieces[0].bounds.x1 += 1e-9,
        &|drawing| drop(drawing.pieces.remove(0)),
        &|drawing| drawing.pieces.swap(0, 1),
        &|drawing| item(drawing).letter = Some(Letter::Words),
        &|drawing| item(drawing).bounds.x1 += 1e-9,
        &|drawing| path(drawing).path.line_to(Point::ZERO),
        &|drawing| path(drawing).stroke_first ^= true,
        &|drawing| path(drawing).fill = Some(Fill { colour: Colour::BLACK, opacity: 1.0, even_odd: false }),
        &|drawing| path(drawing).stroke.as_mut().unwrap().style.width += 1e-9,
        &|drawing| path(drawing).stroke.as_mut().unwrap().style.dash_pattern.push(1.0),
    ];
    let mut keys = BTreeSet::from([one.pressed(|job, _| key(job))]);
    for change in changes {
        let mut drawing = one.drawing.clone();
        change(&mut drawing);
        assert!(keys.insert(one.pressed(|job, _| key(&Job { drawing: &drawing, ground: &drawing, ..*job }))));
        // A drawing apart from its ground is another job, and so is its ground apart.
        assert!(keys.insert(one.pressed(|job, _| key(&Job { drawing: &drawing, ..*job }))));
        assert!(keys.insert(one.pressed(|job, _| key(&Job { ground: &drawing, ..*job }))));
    }
}

#[test]
fn clips_and_pictures_are_in_the_key() {
    let one = Pressable::of(&three_sheets());
    let clipped = |drawing: &Drawing| drawing.pieces.iter().position(|piece| !piece.items[0].clips.is_empty()).unwrap();
    let mut keys = BTreeSet::new();
    let changes: [&dyn Fn(&mut Item); 3] =
        [&|_| (), &|item| item.clips.clear(), &|item| Arc::make_mut(&mut item.clips[0]).even_odd ^= true];
    for change in changes {
        let mut drawing = one.drawing.clone();
        let index = clipped(&drawing);
        change(&mut drawing.pieces[index].items[0]);
        assert!(keys.insert(drawing.keyed(Key::default()).hex()));
    }
    let picture = |pixels: [u8; 3]| {
        let mut bytes = Vec::new();
        image::RgbImage::from_raw(1, 1, pixels.to_vec())
            .unwrap()
            .write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Png)
            .unwrap();
        Artwork::read("logo.png", &bytes).unwrap()
    };
    for logo in [picture([1, 2, 3]), picture([1, 2, 4])] {
        assert!(keys.insert(one.pressed(|job, _| key(&Job { logo: Some(&logo), ..*job }))));
    }
}

#[test]
fn kit_words_and_fonts_are_in_the_key() {
    let one = Pressable::of(&three_sheets());
    let german = Messages::builtin("de").unwrap();
    let mut titled = one.kit.clone();
    titled.title.push('x');
    let mut branded = Faces::built_in();
    branded.add_brand(Font::read("brand.ttf", Cow::Borrowed(notosans::BOLD_TTF)).unwrap());
    let keys = one.pressed(|job, _| {
        let others = std::slice::from_ref(&german);
        let jobs = [
            *job,
            Job { kit: &titled, ..*job },
            Job { messages: &german, ..*job },
            Job { others, ..*job },
            Job { faces: &branded, ..*job },
        ];
        jobs.iter().map(key).collect::<BTreeSet<_>>()
    });
    assert_eq!(keys.len(), 5);
}

/// Where things stand in a file, and what is measured in it, may change without a sheet being made anew.
#[test]
fn what_is_not_in_the_key_is_on_no_sheet() {
    let samples = [three_sheets(), Sample { setup: wide("a2"), ..three_sheets() }];
    for one in samples.iter().map(Pressable::of) {
        let mut bare =
            Drawing { pieces: one.drawing.pieces.clone(), layers: one.drawing.layers.clone(), ..Drawing::blank(&one.kit) };
        bare.pieces.iter_mut().flat_map(|piece| &mut piece.items).for_each(|item| item.origin = Place::at("other.svg", 99, 1));
        let files = |job: &Job| {
            let projected = projection_layout(job).unwrap();
            let pressed = [home_pdf(job, &one.layout), wide_pdf(job, &one.layout), projection_pdf(job, &projected)];
            (pressed.map(|pressed| pressed.unwrap().bytes), wide_svg(job, &one.layout).unwrap())
        };
        let forms = Forms::of(&bare);
        one.pressed(|job, _| {
            let other = Job { drawing: &bare, ground: &bare, forms: &forms, ..*job };
            assert_eq!(key(job), key(&other));
            assert!(files(job) == files(&other));
        });
        let plan = |drawing: &Drawing| format!("{:?}", layouts(&one.kit, drawing));
        assert_eq!(plan(&one.drawing), plan(&bare));
    }
    // The samples have something to be left out.
    assert_ne!(three_sheets().drawing(Vec2::ZERO).pieces[0].items[0].origin, Place::at("other.svg", 99, 1));
}
