//! Pictures for the proof: each page shows its own part of the drawing, and nothing is written twice.

use super::{Pressable, three_sheets};
use crate::manifest::Press;
use crate::press::proof_pictures;
use std::collections::BTreeSet;

/// Values of an attribute, in reading order.
fn values<'a>(markup: &'a str, name: &str) -> Vec<&'a str> {
    let opened = format!(" {name}=\"");
    markup.split(&opened).skip(1).map(|rest| rest.split('"').next().unwrap()).collect()
}

#[test]
fn each_page_shows_its_own_part_of_the_drawing() {
    let pressable = Pressable::of(&three_sheets());
    let layout = &pressable.layout;
    assert_eq!(layout.setup.paper.press, Press::Home);
    let drawn = pressable.pressed(|job, layout| proof_pictures(job, std::slice::from_ref(layout)).unwrap());
    let pages = &drawn.pages[0];
    assert_eq!(pages.len(), layout.sheets.len() + 1, "the check page comes first");
    assert!(values(&pages[0], "viewBox").is_empty());
    let border = layout.setup.border.to_mm();
    for (page, sheet) in pages[1..].iter().zip(&layout.sheets) {
        let shown: Vec<f64> = values(page, "viewBox")[0].split(' ').map(|side| side.parse().unwrap()).collect();
        let area = sheet.area.to_kurbo_mm().inflate(border, border);
        for (shown, wanted) in shown.iter().zip([area.x0, area.y0, area.width(), area.height()]) {
            assert!((shown - wanted).abs() < 1e-3, "{}: {shown} for {wanted}", sheet.label);
        }
        for piece in &sheet.pieces {
            assert!(page.contains(&format!("<use href=\"#p{piece}\"/>")), "{} lacks piece {piece}", sheet.label);
        }
    }
}

#[test]
fn what_is_called_is_there_and_stands_once() {
    let pressable = Pressable::of(&three_sheets());
    let drawn = pressable.pressed(|job, layout| proof_pictures(job, &[layout.clone(), layout.clone()]).unwrap());
    let ids = values(&drawn.store, "id");
    assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len());
    for page in drawn.pages.iter().flatten() {
        for id in values(page, "href") {
            assert!(ids.contains(&&id[1..]), "{id}");
        }
    }
    // The second layout is the same, so that it adds nothing.
    let once = pressable.pressed(|job, layout| proof_pictures(job, std::slice::from_ref(layout)).unwrap());
    assert!(once.store == drawn.store && once.pages[0] == drawn.pages[1]);
}
