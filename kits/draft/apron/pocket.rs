//! Pieces 5 to 7: the divided pocket, the bar across it, the towel loop.

use super::body::SEAM;
use super::sizes::{SIZES, Size};
use super::{Draft, FOLD, STITCH};
use crate::curve::{self, Edge};
use crate::marks;
use kurbo::{BezPath, Point, Vec2};

const POCKET: &str = "pocket";
/// Middle of the pocket's opening of size 36.
const POCKET_ORIGIN: Point = Point::new(842.0, 228.0);
const BAR: &str = "pocket bar";
/// Middle of the bar's left edge of size 34.
const BAR_ORIGIN: Point = Point::new(1296.0, 254.0);
const LOOP: &str = "towel loop";
const LOOP_ORIGIN: Point = Point::new(1106.0, 440.0);

/// Facing that is turned down at the opening, in mm.
const TURN: f64 = 40.0;
/// Radius of the lower corners, in mm.
const ROUND: f64 = 45.0;
/// How far below the opening the bar lies, and how high it is when folded, in mm.
const BAR_DROP: f64 = 62.0;
const BAR_HEIGHT: f64 = 25.0;
/// Dividing seams, left and right of the middle, in mm.
const DIVIDERS: [f64; 2] = [-82.0, 96.0];

/// The pocket's finished width.
pub fn width(size: &Size) -> f64 {
    390.0 + 10.0 * size.steps()
}

/// The pocket's finished height.
pub fn height(size: &Size) -> f64 {
    240.0 + 6.0 * size.steps()
}

/// How much higher the opening lies than that of size 36.
fn rise(size: &Size) -> f64 {
    3.0 * size.steps()
}

/// The finished pocket, clockwise from the left end of its opening: opening, right side, lower edge, left side.
pub fn pocket_edges(size: &Size) -> Vec<Edge> {
    let (half, top, foot) = (width(size) / 2.0, -rise(size), height(size) - rise(size));
    let (left, right) = (Point::new(-half, top), Point::new(half, top));
    let side = |x: f64| Point::new(x, foot - ROUND);
    let under = |x: f64| Point::new(x, foot);
    // The handle length that makes a cubic closest to a quarter circle.
    let k = ROUND * 0.552_285;
    let down = Vec2::new(0.0, k);
    let across = Vec2::new(k, 0.0);
    let lower_right = curve::curve(side(half), side(half) + down, under(half - ROUND) + across, under(half - ROUND));
    let lower_left = curve::curve(under(ROUND - half), under(ROUND - half) - across, side(-half) + down, side(-half));
    let lower = curve::joined(&[lower_right, curve::line(under(half - ROUND), under(ROUND - half)), lower_left]);
    vec![
        Edge::cut("opening", curve::line(left, right), TURN),
        Edge::cut("right", curve::line(right, side(half)), SEAM),
        Edge::cut("lower", lower, SEAM),
        Edge::cut("left", curve::line(side(-half), left), SEAM),
    ]
}

/// The bar, clockwise from its lower left: as long as the pocket is wide, twice as high as when folded.
pub fn bar_edges(size: &Size) -> Vec<Edge> {
    let (half, high) = (width(size) / 2.0, BAR_HEIGHT * 2.0);
    let corners = [(0.0, half), (0.0, -half), (high, -half), (high, half)].map(Point::from);
    // The bar lies upright beside the other pieces: its long edges are left and right.
    let names = ["left", "upper", "right", "lower"];
    (0..4).map(|i| Edge::cut(names[i], curve::line(corners[i], corners[(i + 1) % 4]), SEAM)).collect()
}

/// Where the pocket goes on the body, whose nought lies on the fold at the armhole's depth: corner and ends of the curve.
pub fn placement(size: &Size) -> BezPath {
    let (half, top) = (width(size) / 2.0, 118.0 - rise(size));
    let foot = top + height(size);
    let mut path = marks::corner((half, top).into());
    path.extend(marks::cross((half, foot - ROUND).into()));
    path.extend(marks::cross((half - ROUND, foot).into()));
    path
}

/// Draws the pocket in all sizes.
pub fn draw(draft: &mut Draft) {
    for size in &SIZES {
        // The nest is centred: every size is cut wider and deeper on all sides, and no two lines touch.
        let edges = pocket_edges(size);
        draft.piece(size, POCKET, &edges, POCKET_ORIGIN);
        let side = curve::length(&edges[3].seam);
        draft.notches(size, POCKET, &edges[1], &[BAR_DROP, BAR_DROP + BAR_HEIGHT], POCKET_ORIGIN);
        draft.notches(size, POCKET, &edges[3], &[side - BAR_DROP - BAR_HEIGHT, side - BAR_DROP], POCKET_ORIGIN);
        let fold = format!("id=\"fold-pocket-{}\" {FOLD}", size.name);
        draft.fine(&size.layer(), POCKET, edges[0].seam.clone(), &fold, POCKET_ORIGIN);
        draft.size_name(size, POCKET, &edges[3], 60.0, 3.4, POCKET_ORIGIN);
        draft.size_name(size, POCKET, &edges[1], 120.0, 3.4, POCKET_ORIGIN);
    }
    // The dividing seams end inside the smallest size; the largest pocket needs a ruler for the rest.
    for x in DIVIDERS {
        draft.fine("pattern", POCKET, curve::line((x, 4.0).into(), (x, 226.0).into()), STITCH, POCKET_ORIGIN);
    }
    draft.fine(
        "pattern",
        POCKET,
        marks::grainline((140.0, 40.0).into(), (140.0, 200.0).into()),
        "id=\"grain-pocket\"",
        POCKET_ORIGIN,
    );
    let at = |x: f64, y: f64| Point::new(x, y) + POCKET_ORIGIN.to_vec2();
    draft.title(POCKET, at(-62.0, 112.0), 12.0, 0.0, &["5 · Pocket", "cut 1 in main cloth"]);
}

/// Draws the pocket bar in all sizes, upright.
pub fn draw_bar(draft: &mut Draft) {
    for size in &SIZES {
        // Bars differ in length alone; side by side their long edges stay apart.
        let origin = BAR_ORIGIN + Vec2::new(4.0 * size.index(), 0.0);
        let edges = bar_edges(size);
        draft.piece(size, BAR, &edges, origin);
        let half = width(size) / 2.0;
        draft.notches(size, BAR, &edges[0], &DIVIDERS.map(|divider| half + divider), origin);
        draft.notches(size, BAR, &edges[2], &DIVIDERS.map(|divider| half - divider), origin);
        draft.size_name(size, BAR, &edges[1], 32.0 + 1.5 * size.index(), 3.2, origin);
        // The bar is folded lengthwise: notches in the middle of its ends say where.
        draft.notches(size, BAR, &edges[1], &[BAR_HEIGHT], origin);
        draft.notches(size, BAR, &edges[3], &[BAR_HEIGHT], origin);
    }
    let at = |x: f64, y: f64| Point::new(x, y) + BAR_ORIGIN.to_vec2();
    draft.title(BAR, at(36.0, 20.0), 8.0, -90.0, &["6 · Pocket bar", "cut 1, fold lengthwise"]);
    draft.fine(
        "pattern",
        BAR,
        marks::grainline((40.0, 130.0).into(), (40.0, 50.0).into()),
        "id=\"grain-pocket-bar\"",
        BAR_ORIGIN,
    );
}

/// Draws the towel loop, which is one for all sizes and cut without allowance.
pub fn draw_loop(draft: &mut Draft) {
    let corners = [(0.0, 0.0), (140.0, 0.0), (140.0, 60.0), (0.0, 60.0)].map(Point::from);
    let edges: Vec<Edge> = (0..4).map(|i| Edge::cut("side", curve::line(corners[i], corners[(i + 1) % 4]), 0.0)).collect();
    draft.fine("pattern", LOOP, curve::cutting_line(&edges), "id=\"cut-towel-loop\" stroke-width=\"0.5\"", LOOP_ORIGIN);
    draft.fine("pattern", LOOP, curve::line((0.0, 30.0).into(), (140.0, 30.0).into()), FOLD, LOOP_ORIGIN);
    draft.fine(
        "pattern",
        LOOP,
        marks::grainline((76.0, 45.0).into(), (132.0, 45.0).into()),
        "id=\"grain-towel-loop\"",
        LOOP_ORIGIN,
    );
    let at = |x: f64, y: f64| Point::new(x, y) + LOOP_ORIGIN.to_vec2();
    draft.title(LOOP, at(6.0, 14.0), 8.0, 0.0, &["7 · Towel loop", "cut 1, all sizes"]);
}
