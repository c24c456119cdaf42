//! The Ropewalk tote: one size, three pieces, drawn the way a program that thinks in px would write it.
//!
//! The drawing says its size in cm, counts its own units at 96 an inch, and holds mm inside a scaled group, with notches
//! that are used over and over and looks that hang on CSS classes: all of it legal, and all of it met in the wild.

use crate::curve::{self, Edge};
use crate::marks;
use crate::svg::{self, Sheet};
use kurbo::{BezPath, Point, Vec2};

/// Half of the finished width at the top and at the foot, and the finished height, in mm.
const TOP: f64 = 196.0;
const FOOT: f64 = 190.0;
const HEIGHT: f64 = 430.0;
/// Side of the square that is cut from the lower corner; it makes a floor of twice this depth.
const BOX: f64 = 55.0;
/// Allowances in mm.
const SEAM: f64 = 10.0;
const HEM: f64 = 30.0;
/// Half of the handle's finished length, and half of its width at the fold and at the end.
const HANDLE: (f64, f64, f64) = (285.0, 15.0, 22.0);
/// Finished width and height of the pocket, and the radius of its lower corners.
const POCKET: (f64, f64, f64) = (180.0, 205.0, 34.0);

/// Where each piece's nought lies, in mm.
const PLACES: [(&str, Point); 5] = [
    ("body", Point::new(9.0, 40.0)),
    ("handle", Point::new(250.0, 46.0)),
    ("pocket", Point::new(344.0, 140.0)),
    ("squares", Point::new(456.0, 130.0)),
    ("title", Point::new(250.0, 430.0)),
];

/// The whole drawing as SVG.
pub fn svg() -> String {
    let mut sheet = Sheet::new(["construction", "cutting", "pattern", "words"]);
    draw_body(&mut sheet);
    draw_handle(&mut sheet);
    draw_pocket(&mut sheet);
    draw_rest(&mut sheet);
    format!("{HEAD}{}</g>\n</svg>\n", sheet.groups(layer_tag, piece_tag))
}

/// 22.25 in by 19.5 in: 2136 by 1872 units at 96 an inch, 565.15 by 495.3 mm.
const HEAD: &str = r##"<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="56.515cm" height="49.53cm" viewBox="0 0 2136 1872">
<style>
  .cut { fill: none; stroke: #000; stroke-width: .5; stroke-linejoin: miter }
  .seam { fill: none; stroke: #888; stroke-width: .2 }
  .mark { fill: none; stroke: #000; stroke-width: .35 }
  .fine { fill: none; stroke: #000; stroke-width: .25 }
  .fold { fill: none; stroke: #000; stroke-width: .3; stroke-dasharray: 9 1.5 1.5 1.5 }
  .stitch { fill: none; stroke: #000; stroke-width: .3; stroke-dasharray: 2.5 1.5 }
  text { font-family: "Noto Sans"; fill: #000 }
  .name { font-weight: bold }
</style>
<defs>
  <path id="notch" class="mark" d="M0,0 V6"/>
</defs>
<g transform="scale(3.77952755906)">
"##;

fn layer_tag(layer: &svg::Layer) -> String {
    match layer.label.as_str() {
        "construction" => "<g id=\"construction\" style=\"display:none\">".into(),
        "words" => "<g id=\"layer-4\" data-name=\"words\">".into(),
        label => format!("<g id=\"{label}\">"),
    }
}

fn piece_tag(layer: &svg::Layer, piece: &svg::Piece) -> String {
    // Pieces are drawn about their own nought and moved by their group.
    let place = PLACES.iter().find(|place| place.0 == piece.label).map_or(Point::ORIGIN, |place| place.1);
    let id = format!("{}-{}", layer.label, piece.label);
    format!(
        "<g id=\"{id}\" data-name=\"{}\" transform=\"translate({} {})\">",
        piece.label,
        svg::number(place.x),
        svg::number(place.y)
    )
}

/// Half of the body on the fold, clockwise from the top: hem, side, two sides of the box corner, foot, fold.
fn body_edges() -> Vec<Edge> {
    let p = |x: f64, y: f64| Point::new(x, y);
    // The side leans out by 6 mm towards the top and ends upright, so that the box corner stays square.
    let end = p(FOOT, HEIGHT - BOX);
    vec![
        Edge::cut("top", curve::line(p(0.0, 0.0), p(TOP, 0.0)), HEM),
        Edge::cut("side", curve::curve(p(TOP, 0.0), p(TOP, 120.0), end - Vec2::new(0.0, 150.0), end), SEAM),
        Edge::cut("box-side", curve::line(end, p(FOOT - BOX, HEIGHT - BOX)), SEAM),
        Edge::cut("box-foot", curve::line(p(FOOT - BOX, HEIGHT - BOX), p(FOOT - BOX, HEIGHT)), SEAM),
        Edge::cut("foot", curve::line(p(FOOT - BOX, HEIGHT), p(0.0, HEIGHT)), SEAM),
        Edge::fold(p(0.0, HEIGHT), p(0.0, 0.0)),
    ]
}

/// Half of the handle on the fold, clockwise from the fold: upper edge, rounded end, lower edge, fold.
fn handle_edges() -> Vec<Edge> {
    let (long, narrow, wide) = HANDLE;
    // Widening towards the end gives the rivet or the stitched square its room.
    let (straight, round) = (long - wide, wide * 0.552_285);
    let p = |x: f64, y: f64| Point::new(x, y);
    let upper = curve::curve(p(0.0, -narrow), p(90.0, -narrow), p(130.0, -wide), p(straight, -wide));
    let tip = curve::joined(&[
        curve::curve(p(straight, -wide), p(straight + round, -wide), p(long, -round), p(long, 0.0)),
        curve::curve(p(long, 0.0), p(long, round), p(straight + round, wide), p(straight, wide)),
    ]);
    let lower = curve::curve(p(straight, wide), p(130.0, wide), p(90.0, narrow), p(0.0, narrow));
    let fold = Edge::fold(p(0.0, narrow), p(0.0, -narrow));
    vec![Edge::cut("upper", upper, SEAM), Edge::cut("end", tip, SEAM), Edge::cut("lower", lower, SEAM), fold]
}

/// The inner pocket, clockwise from the left end of its opening: opening, right side, lower edge, left side.
fn pocket_edges() -> Vec<Edge> {
    let (width, height, radius) = POCKET;
    let (half, k) = (width / 2.0, radius * 0.552_285);
    let p = |x: f64, y: f64| Point::new(x, y);
    let (side, flat) = (height - radius, half - radius);
    let lower = curve::joined(&[
        curve::curve(p(half, side), p(half, side + k), p(flat + k, height), p(flat, height)),
        curve::line(p(flat, height), p(-flat, height)),
        curve::curve(p(-flat, height), p(-flat - k, height), p(-half, side + k), p(-half, side)),
    ]);
    vec![
        Edge::cut("opening", curve::line(p(-half, 0.0), p(half, 0.0)), HEM),
        Edge::cut("right", curve::line(p(half, 0.0), p(half, side)), SEAM),
        Edge::cut("lower", lower, SEAM),
        Edge::cut("left", curve::line(p(-half, side), p(-half, 0.0)), SEAM),
    ]
}

fn draw_body(sheet: &mut Sheet) {
    let edges = body_edges();
    outline(sheet, "body", &edges);
    let side = curve::length(&edges[1].seam);
    let places = [("side-1", 1, 180.0), ("side-2", 1, side - 60.0), ("side-3", 1, side - 52.0), ("foot", 4, 60.0)];
    for (name, edge, along) in places {
        notch(sheet, "body", name, &edges[edge], along);
    }
    line(sheet, "body", edges[0].seam.clone(), "class=\"fold\"");
    line(sheet, "body", edges[5].seam.clone(), "id=\"control-body\" class=\"fold\"");
    line(
        sheet,
        "body",
        marks::fold_bracket(Point::new(0.0, 60.0), Point::new(0.0, 390.0), Vec2::new(1.0, 0.0)),
        "class=\"mark\"",
    );
    line(sheet, "body", marks::grainline(Point::new(34.0, 190.0), Point::new(34.0, 370.0)), "id=\"grain-body\" class=\"mark\"");
    line(sheet, "body", handle_place(), "class=\"stitch\"");
    line(sheet, "body", marks::corner(Point::new(POCKET.0 / 2.0, 92.0)), "class=\"fine\"");
    words(sheet, "body", Point::new(50.0, 250.0), 13.0, "1 · Body", &["cut 2 on the fold", "in canvas"]);
    notes(sheet, "body", Point::new(26.0, 90.0), &["pocket, on one half,", "on the inside"]);
}

/// The handle's end on the outside of the body: 45 mm of it, pointing down.
fn handle_place() -> BezPath {
    let (wide, k, x) = (HANDLE.2, HANDLE.2 * 0.552_285, 122.0);
    let (low, flat) = (45.0, 45.0 - wide);
    let p = |x: f64, y: f64| Point::new(x, y);
    curve::joined(&[
        curve::line(p(x - wide, 0.0), p(x - wide, flat)),
        curve::curve(p(x - wide, flat), p(x - wide, flat + k), p(x - k, low), p(x, low)),
        curve::curve(p(x, low), p(x + k, low), p(x + wide, flat + k), p(x + wide, flat)),
        curve::line(p(x + wide, flat), p(x + wide, 0.0)),
    ])
}

fn draw_handle(sheet: &mut Sheet) {
    let edges = handle_edges();
    outline(sheet, "handle", &edges);
    for edge in [&edges[0], &edges[2], &edges[1]] {
        notch(sheet, "handle", edge.name, edge, curve::length(&edge.seam) / 2.0);
    }
    line(sheet, "handle", edges[3].seam.clone(), "class=\"fold\"");
    line(
        sheet,
        "handle",
        marks::fold_bracket(Point::new(0.0, -9.0), Point::new(0.0, 9.0), Vec2::new(1.0, 0.0)),
        "class=\"fine\"",
    );
    line(
        sheet,
        "handle",
        marks::grainline(Point::new(150.0, 0.0), Point::new(235.0, 0.0)),
        "id=\"control-grain\" class=\"mark\"",
    );
    words(sheet, "handle", Point::new(24.0, -0.5), 9.0, "2 · Handle", &["cut 4 on the fold, in canvas"]);
}

fn draw_pocket(sheet: &mut Sheet) {
    let edges = pocket_edges();
    outline(sheet, "pocket", &edges);
    line(sheet, "pocket", edges[0].seam.clone(), "id=\"control-pocket\" class=\"fold\"");
    line(sheet, "pocket", curve::line(Point::new(42.0, 0.0), Point::new(42.0, POCKET.1)), "class=\"stitch\"");
    line(
        sheet,
        "pocket",
        marks::grainline(Point::new(-78.0, 40.0), Point::new(-78.0, 150.0)),
        "id=\"grain-pocket\" class=\"mark\"",
    );
    for edge in [&edges[1], &edges[3]] {
        notch(sheet, "pocket", edge.name, edge, curve::length(&edge.seam) / 2.0);
    }
    words(sheet, "pocket", Point::new(-56.0, 92.0), 11.0, "3 · Pocket", &["cut 1 in lining"]);
}

/// Test squares and the pattern's name.
fn draw_rest(sheet: &mut Sheet) {
    line(sheet, "squares", marks::square(Point::ORIGIN, 100.0), "id=\"control-100-mm\" class=\"fine\"");
    let second = Point::new(0.0, 118.0);
    line(sheet, "squares", marks::square(second, marks::FOUR_INCHES), "id=\"control-4-in\" class=\"fine\"");
    words(sheet, "squares", Point::new(6.0, 14.0), 8.0, "100 mm", &[]);
    words(sheet, "squares", second + Vec2::new(6.0, 14.0), 8.0, "4 in", &[]);
    let lines = ["one size, 38 × 43 cm · seam allowance of 10 mm", "and hems of 30 mm included"];
    words(sheet, "title", Point::ORIGIN, 22.0, "Ropewalk tote", &lines);
}

/// Cutting line and seam line of a piece.
fn outline(sheet: &mut Sheet, piece: &str, edges: &[Edge]) {
    sheet.draw("cutting", piece, svg::path(&curve::cutting_line(edges), &format!("id=\"cut-{piece}\" class=\"cut\"")));
    for edge in edges.iter().filter(|edge| edge.allowance.is_some()) {
        let attributes = format!("id=\"seam-{piece}-{}\" class=\"seam\"", edge.name);
        sheet.draw("construction", piece, svg::path(&edge.seam, &attributes));
    }
}

fn line(sheet: &mut Sheet, piece: &str, path: BezPath, attributes: &str) {
    sheet.draw("pattern", piece, svg::path(&path, attributes));
}

/// One use of the notch, from the cutting line inwards; by its name a manifest can promise lengths along the edge.
fn notch(sheet: &mut Sheet, piece: &str, name: &str, edge: &Edge, along: f64) {
    let (point, travel) = curve::at(&edge.seam, along);
    let at = point + curve::outward(travel) * edge.allowance.unwrap_or(0.0);
    // The notch is drawn downwards, as for an edge that runs to the right.
    // A turned and moved copy: readers must follow both to find the notch on its edge.
    let degrees = travel.atan2().to_degrees();
    let place = format!("translate({} {}) rotate({})", svg::number(at.x), svg::number(at.y), svg::number(degrees));
    sheet.draw("pattern", piece, format!("<use id=\"notch-{piece}-{name}\" href=\"#notch\" transform=\"{place}\"/>"));
}

/// A name of the given height, then plain lines below it.
fn words(sheet: &mut Sheet, piece: &str, at: Point, height: f64, name: &str, lines: &[&str]) {
    sheet.draw("words", piece, svg::words(at, height, "class=\"name\"", name));
    // Low letters of the name reach a quarter of its height below the base line.
    notes(sheet, piece, at + Vec2::new(0.0, 4.5 + height * 0.35), lines);
}

/// Plain lines, the first at a point.
fn notes(sheet: &mut Sheet, piece: &str, at: Point, lines: &[&str]) {
    for (index, line) in lines.iter().enumerate() {
        sheet.draw("words", piece, svg::words(at + Vec2::new(0.0, 7.2 * index as f64), 5.0, "", line));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sides_of_the_box_corner_are_sewn_together() {
        let edges = body_edges();
        assert!((curve::length(&edges[2].seam) - curve::length(&edges[3].seam)).abs() < 0.01);
    }

    #[test]
    fn both_long_edges_of_the_handle_are_alike() {
        let edges = handle_edges();
        assert!((curve::length(&edges[0].seam) - curve::length(&edges[2].seam)).abs() < 0.01);
    }

    #[test]
    fn the_pocket_lies_inside_the_body() {
        assert!(POCKET.0 / 2.0 < FOOT - SEAM && 92.0 + POCKET.1 < HEIGHT - BOX);
    }
}
