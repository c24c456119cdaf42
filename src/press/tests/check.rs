//! The check page stays on its paper, whichever way the paper lies.

use super::{Mark, Pressable, drawn, home};
use crate::plan::tests::sample::Sample;
use crate::press::Faces;
use crate::press::marks::check_page;

/// A drawing as large as this makes the paper stand upright, or lie on its side.
const DRAWINGS: [(f64, f64); 2] = [(120.0, 130.0), (190.0, 110.0)];

#[test]
fn everything_on_the_check_page_lies_on_the_paper() {
    // ISO 216 (A5, A4, A3) and ANSI/ASME Y14.1 size A (US Letter), in mm.
    for (width, height) in [(148.0, 210.0), (210.0, 297.0), (215.9, 279.4), (297.0, 420.0)] {
        for (across, down) in DRAWINGS {
            let bar = Mark::Bar((0.0, 0.0).into(), (across * width / 148.0, down * height / 210.0).into(), 0.5, None);
            let sample =
                Sample { drawn: vec![drawn(bar, 0)], sizes: 2, setup: home(width, height, [5.7, 6.4, 17.1, 6.4], 3.0) };
            let pressable = Pressable::of(&sample);
            let page = pressable.pressed(check_page);
            let size = pressable.layout.sheet_size;
            let (right, foot) = (size.width.to_mm(), size.height.to_mm());
            let faces = Faces::built_in();
            for words in &page.words {
                let left = faces.place(words).at.x;
                let end = left + faces.width(&words.text, words.style);
                let inside = left > 0.0 && end < right && words.at.y > 0.0 && words.at.y < foot;
                assert!(inside, "`{}` leaves the {right} × {foot} mm sheet at {:?}", words.text, words.at);
            }
            assert!(page.promises.iter().all(|mark| mark.to.x < right && mark.to.y < foot && mark.from.x > 0.0));
        }
    }
}
