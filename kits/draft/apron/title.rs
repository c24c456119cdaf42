//! What stands beside the pieces: the name of the pattern, the key of sizes, the test squares.

use super::Draft;
use super::sizes::SIZES;
use crate::{curve, marks};
use kurbo::{Point, Vec2};

const TITLE: Point = Point::new(586.0, 590.0);
const SQUARES: Point = Point::new(1100.0, 196.0);

/// Draws all three.
pub fn draw(draft: &mut Draft) {
    draft.title("title", TITLE, 24.0, 0.0, &["Tansy apron"]);
    let lines = [
        "Cross-back work apron, sizes 34–48. Seam allowance of 10 mm",
        "and hem of 25 mm included. Cut along the line of your size.",
    ];
    for (index, line) in lines.iter().enumerate() {
        draft.note("title", TITLE + Vec2::new(0.0, 15.0 + 8.5 * index as f64), 5.5, 0.0, line);
    }
    key(draft);
    squares(draft);
}

/// One line a size: how it is drawn, what it is called, whom it fits.
fn key(draft: &mut Draft) {
    // The sample lies on the size's own layer: whoever prints one size sees how its line looks.
    for size in &SIZES {
        let at = TITLE + Vec2::new(0.0, 42.0 + 11.0 * size.index());
        draft.fine(&size.layer(), "key", curve::line(Point::ORIGIN, Point::new(96.0, 0.0)), "", at);
        let row = format!("bust {:.0} · hip {:.0} cm", size.bust / 10.0, size.hip / 10.0);
        draft.title("key", at + Vec2::new(104.0, 2.2), 6.5, 0.0, &[size.name]);
        draft.note("key", at + Vec2::new(120.0, 2.2), 5.5, 0.0, &row);
    }
}

fn squares(draft: &mut Draft) {
    let second = SQUARES + Vec2::new(0.0, 122.0);
    draft.fine(
        "pattern",
        "squares",
        marks::square(Point::ORIGIN, 100.0),
        "id=\"control-100-mm\" stroke-width=\"0.25\"",
        SQUARES,
    );
    draft.fine(
        "pattern",
        "squares",
        marks::square(Point::ORIGIN, marks::FOUR_INCHES),
        "id=\"control-4-in\" stroke-width=\"0.25\"",
        second,
    );
    draft.title("squares", SQUARES + Vec2::new(6.0, 14.0), 7.0, 0.0, &["100 mm"]);
    draft.title("squares", second + Vec2::new(6.0, 14.0), 7.0, 0.0, &["4 in"]);
}
