//! The assembly map for screens: the sheets of a layout with their labels over the drawing's own lines, as inline SVG.

use super::paper_title;
use super::svg::{number, path_data};
use crate::catalogue::Messages;
use crate::drawing::{Drawing, Shape};
use crate::plan::Layout;
use kurbo::BezPath;

/// How far a line on the map may stand off the true curve, in mm of the drawing: a third of a pixel on a screen.
const COARSE_MM: f64 = 1.0;

/// The map of a layout. Colours are the page's own: classes `map-line`, `map-sheet`, `map-label`; lengths are mm.
pub fn assembly_map(layout: &Layout, drawing: &Drawing, messages: &Messages) -> String {
    let (tile, origin) = (layout.tile.to_kurbo_mm(), layout.origin.to_kurbo_mm());
    let (width, height) = (tile.width() * layout.columns as f64, tile.height() * layout.rows as f64);
    let paper = &layout.setup.paper;
    let title = escaped(&messages.text("map.title", &[("paper", &paper_title(paper, messages))]));
    let (rows, columns) = (messages.count("map.rows", layout.rows, &[]), messages.count("map.columns", layout.columns, &[]));
    let count = layout.sheets.len();
    let description = escaped(&messages.count("map.description", count, &[("rows", &rows), ("columns", &columns)]));
    let (w, h, id) = (number(width + 4.0), number(height + 4.0), escaped(&paper.id));
    let lines: String = lines(drawing).iter().map(|line| path_data(line, -origin.to_vec2())).collect();
    let sheets: String = layout.sheets.iter().map(|sheet| cell(&sheet.label, sheet.row, sheet.column, tile.size())).collect();
    format!(
        "<svg class=\"map\" viewBox=\"-2 -2 {w} {h}\" role=\"img\" aria-labelledby=\"map-{id}-title map-{id}-text\">\
         <title id=\"map-{id}-title\">{title}</title><desc id=\"map-{id}-text\">{description}</desc>\
         <path class=\"map-line\" d=\"{lines}\"/>{sheets}</svg>"
    )
}

/// What every map file holds, so that kitwright knows its own again.
pub const MAP_MARK: &str = "data-kitwright=\"map\"";

/// The same map as a file of its own.
pub fn map_file(layout: &Layout, drawing: &Drawing, messages: &Messages) -> String {
    let style = "<style>.map-line{fill:none;stroke:#000;stroke-width:.8}.map-sheet{fill:none;stroke:#000;stroke-width:1.6}\
                 .map-label{font-family:sans-serif;font-weight:bold;fill:#000}svg{background:#fff}</style>";
    let opened = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {MAP_MARK} ");
    let map = assembly_map(layout, drawing, messages).replacen("<svg ", &opened, 1);
    map.replacen("<path ", &format!("{style}<path "), 1) + "\n"
}

fn cell(label: &str, row: usize, column: usize, tile: kurbo::Size) -> String {
    let (x, y) = (tile.width * column as f64, tile.height * row as f64);
    let (across, down) = (number(x + tile.width / 2.0), number(y + tile.height / 2.0 + 16.0));
    let (x, y, w, h) = (number(x), number(y), number(tile.width), number(tile.height));
    format!(
        "<g data-sheet=\"{label}\"><rect class=\"map-sheet\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>\
         <text class=\"map-label\" x=\"{across}\" y=\"{down}\" font-size=\"46\" text-anchor=\"middle\">{label}</text></g>"
    )
}

/// The drawing's stroked lines, flattened coarsely; lettering and small marks would only be dust on a map.
fn lines(drawing: &Drawing) -> Vec<BezPath> {
    let large = |piece: &&crate::drawing::Piece| piece.bounds.width().max(piece.bounds.height()) > 20.0;
    let items = drawing.pieces.iter().filter(large).flat_map(|piece| &piece.items);
    let stroked = items.filter_map(|item| match &item.shape {
        Shape::Path(path) if path.stroke.is_some() => Some(flattened(&path.path)),
        _ => None,
    });
    stroked.collect()
}

fn flattened(path: &BezPath) -> BezPath {
    let mut flat = BezPath::new();
    let tenth = |p: kurbo::Point| kurbo::Point::new((p.x * 10.0).round() / 10.0, (p.y * 10.0).round() / 10.0);
    kurbo::flatten(path, COARSE_MM, |element| match element {
        kurbo::PathEl::MoveTo(p) => flat.move_to(tenth(p)),
        kurbo::PathEl::LineTo(p) => flat.line_to(tenth(p)),
        _ => flat.close_path(),
    });
    flat
}

/// Text made safe between tags and in attributes.
fn escaped(text: &str) -> String {
    quick_xml::escape::escape(text).into_owned()
}
