//! Pieces 2 and 3, the facings of neck and armhole: cut from the very seam lines of the body.

use super::Draft;
use super::body::{self, Body, SEAM, TAB_SIDE};
use super::sizes::{SIZES, Size};
use crate::curve::{self, Edge};
use crate::marks;
use kurbo::{BezPath, Point, Vec2};

/// Depth of the facings, in mm.
const DEPTH: f64 = 55.0;
/// How much of the armhole the neck facing takes, in mm.
const SHOULDER: f64 = 70.0;

const NECK_ORIGIN: Point = Point::new(330.0, 305.0);
const NECK: &str = "neck facing";
const ARMHOLE_ORIGIN: Point = Point::new(884.0, 764.0);
const ARMHOLE: &str = "armhole facing";

/// The seam between both facings, from the armhole inwards, and the direction of the armhole there.
fn seam_between(body: &Body) -> (BezPath, Vec2) {
    let (point, travel) = curve::at(&body.armhole, SHOULDER);
    (curve::line(point, point - curve::outward(travel) * DEPTH), travel)
}

/// The neck facing, clockwise from the fold.
pub fn neck_edges(body: &Body) -> Vec<Edge> {
    let (between, travel) = seam_between(body);
    let (low, fold) = (curve::end(&between), curve::start(&body.neckline));
    let deep = fold + Vec2::new(0.0, DEPTH);
    // It leaves in the direction of the join, so that no corner turns inwards.
    let away = -curve::outward(travel);
    let inner = curve::curve(low, low + away * (low.x * 0.5), deep + Vec2::new(low.x * 0.45, 0.0), deep);
    let seam = |name, path: BezPath| Edge::cut(name, path, SEAM);
    vec![
        seam("neckline", body.neckline.clone()),
        seam("bib", body.top.clone()),
        seam("armhole", curve::split(&body.armhole, SHOULDER).0),
        seam("join", between),
        seam("inner", inner),
        Edge::fold(deep, fold),
    ]
}

/// The armhole facing, clockwise from the neck facing's seam.
pub fn armhole_edges(body: &Body) -> Vec<Edge> {
    let (between, _) = seam_between(body);
    let (_, armhole) = curve::split(&body.armhole, SHOULDER);
    let (tab_side, _) = curve::split(&body.side, TAB_SIDE);
    let seam = |name, path: BezPath| Edge::cut(name, path, SEAM);
    let inner = inner_edge(&armhole, &tab_side, curve::end(&between));
    let join = between.reverse_subpaths();
    vec![
        seam("armhole", armhole),
        seam("tab", body.tab.clone()),
        seam("side", tab_side),
        seam("inner", inner),
        seam("join", join),
    ]
}

/// From the side, beneath the armhole at the facing's depth, up to the neck facing.
fn inner_edge(armhole: &BezPath, tab_side: &BezPath, to: Point) -> BezPath {
    // Beside the tab the facing is only as wide as the tab, so there it leaves the offset for a curve of its own.
    let down = BezPath::from_path_segments(armhole.segments().take(1));
    let under = curve::offset(&down, -DEPTH).reverse_subpaths();
    let (from, travel) = curve::at(tab_side, curve::length(tab_side));
    let low = curve::start(&under);
    // Slanting down from the side, so that the lines of neighbouring sizes stay apart.
    let reach = from.x - low.x;
    let away = (-curve::outward(travel) + travel).normalize();
    let sweep = curve::curve(from, from + away * (reach * 0.4), low + Vec2::new(reach * 0.4, 0.0), low);
    debug_assert!(curve::end(&under).distance(to) < 0.01);
    curve::joined(&[sweep, under])
}

/// Draws the neck facing in all sizes.
pub fn draw_neck(draft: &mut Draft) {
    for size in &SIZES {
        let body = Body::new(size);
        let edges = neck_edges(&body);
        draft.piece(size, NECK, &edges, NECK_ORIGIN);
        let [neck, top, ..] = body::notches(&body);
        draft.notches(size, NECK, &edges[0], &neck, NECK_ORIGIN);
        draft.notches(size, NECK, &edges[1], &top, NECK_ORIGIN);
        draft.size_name(size, NECK, &edges[1], 38.0 + 2.0 * size.index(), 3.0, NECK_ORIGIN);
    }
    let mark = Point::new;
    let bracket = marks::fold_bracket(mark(0.0, -192.0), mark(0.0, -158.0), Vec2::new(1.0, 0.0));
    draft.fine("pattern", NECK, bracket, "", NECK_ORIGIN);
    draft.fine(
        "pattern",
        NECK,
        marks::grainline(mark(128.0, -254.0), mark(128.0, -222.0)),
        "id=\"grain-neck-facing\"",
        NECK_ORIGIN,
    );
    let at = mark(20.0, -180.0) + NECK_ORIGIN.to_vec2();
    draft.title(NECK, at, 6.0, 0.0, &["2 · Neck facing", "cut 1 on the fold"]);
}

/// Draws the armhole facing in all sizes.
pub fn draw_armhole(draft: &mut Draft) {
    for size in &SIZES {
        let body = Body::new(size);
        let edges = armhole_edges(&body);
        draft.piece(size, ARMHOLE, &edges, ARMHOLE_ORIGIN);
        draw_armhole_notches(draft, size, &body, &edges);
        draft.size_name(size, ARMHOLE, &edges[1], 5.0, 4.0, ARMHOLE_ORIGIN);
        draft.size_name(size, ARMHOLE, &edges[4], 32.0 + 1.5 * size.index(), 3.0, ARMHOLE_ORIGIN);
    }
    let mark = Point::new;
    draft.fine(
        "pattern",
        ARMHOLE,
        marks::grainline(mark(126.0, -196.0), mark(126.0, -132.0)),
        "id=\"grain-armhole-facing\"",
        ARMHOLE_ORIGIN,
    );
    let at = mark(141.0, -184.0) + ARMHOLE_ORIGIN.to_vec2();
    draft.title(ARMHOLE, at, 7.5, 90.0, &["3 · Armhole facing", "cut 2, mirrored, in main cloth"]);
}

fn draw_armhole_notches(draft: &mut Draft, size: &Size, body: &Body, edges: &[Edge]) {
    let [_, _, armhole, tab, _] = body::notches(body);
    // The body's armhole starts at the bib, the facing's where the neck facing ends.
    let armhole: Vec<f64> = armhole.iter().map(|along| along - SHOULDER).collect();
    draft.notches(size, ARMHOLE, &edges[0], &armhole, ARMHOLE_ORIGIN);
    draft.notches(size, ARMHOLE, &edges[1], &tab, ARMHOLE_ORIGIN);
}
