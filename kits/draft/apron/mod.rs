//! The Tansy apron: a cross-back work apron of seven pieces, drafted for each size from bust and hip.

mod body;
mod facings;
mod pocket;
mod sizes;
mod strap;
mod title;

use crate::curve::{self, Edge};
use crate::svg::{self, Sheet};
use kurbo::{Affine, BezPath, Point, Vec2};
use sizes::{SIZES, Size};

/// Width and height of the drawing in mm; the height leaves a roll of 914 mm its edges.
const PAGE: (f64, f64) = (1400.0, 872.0);

/// Strokes that stand nearer to each other, in mm, are one double notch.
const DOUBLE: f64 = 12.0;
/// Attributes of fine solid lines on a size layer: notches, placement marks.
const FINE: &str = "stroke-width=\"0.3\" stroke-dasharray=\"none\"";
/// Attributes of a line to fold or iron along.
const FOLD: &str = "stroke-width=\"0.25\" stroke-dasharray=\"9 1.5 1.5 1.5 1.5 1.5\"";
/// Attributes of a line to stitch along, or of the edge of an interfacing.
const STITCH: &str = "stroke-width=\"0.25\" stroke-dasharray=\"2.5 1.5\"";

/// The whole drawing as SVG.
pub fn svg() -> String {
    let mut draft = Draft::new();
    // In the order of the pieces' numbers, which is the order in which editors list them.
    body::draw(&mut draft);
    facings::draw_neck(&mut draft);
    facings::draw_armhole(&mut draft);
    strap::draw(&mut draft);
    pocket::draw(&mut draft);
    pocket::draw_bar(&mut draft);
    pocket::draw_loop(&mut draft);
    title::draw(&mut draft);
    format!(
        "{}{}</svg>\n",
        head(),
        draft.sheet.groups(layer_tag, |layer, piece| {
            let name = format!("{}-{}", svg::id(&layer.label), svg::id(&piece.label));
            format!("<g id=\"{name}\" inkscape:label=\"{}\">", piece.label)
        })
    )
}

fn head() -> String {
    let (width, height) = PAGE;
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\"\n     \
         width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n  \
         <title>Tansy apron</title>\n"
    )
}

fn layer_tag(layer: &svg::Layer) -> String {
    let style = match layer.label.as_str() {
        "words" => "font-family=\"Noto Sans\" fill=\"#000\"".into(),
        "pattern" => "fill=\"none\" stroke=\"#000\" stroke-width=\"0.35\"".into(),
        "construction" => "display=\"none\" fill=\"none\" stroke=\"#888\" stroke-width=\"0.2\"".into(),
        label => SIZES.iter().find(|size| size.layer() == label).map_or_else(String::new, Size::style),
    };
    let (id, label) = (svg::id(&layer.label), &layer.label);
    format!("<g inkscape:groupmode=\"layer\" inkscape:label=\"{label}\" id=\"{id}\" {style}>")
}

/// The drawing in the making, with the habits that all seven pieces share.
pub struct Draft {
    sheet: Sheet,
}

impl Draft {
    fn new() -> Self {
        let sizes: Vec<String> = SIZES.iter().map(Size::layer).collect();
        // Words last: nothing is drawn over them.
        let names = std::iter::once("construction").chain(sizes.iter().map(String::as_str)).chain(["pattern", "words"]);
        Self { sheet: Sheet::new(names) }
    }

    /// The cutting line of one size, and its seam lines, edge by edge, among the construction lines.
    fn piece(&mut self, size: &Size, piece: &str, edges: &[Edge], origin: Point) {
        let whose = format!("{}-{}", svg::id(piece), size.name);
        let cut = placed(curve::cutting_line(edges), origin);
        self.sheet.draw(&size.layer(), piece, svg::path(&cut, &format!("id=\"cut-{whose}\"")));
        // Edge by edge, so that a manifest can promise the length of each seam by its id.
        for edge in edges.iter().filter(|edge| edge.allowance.is_some()) {
            let seam = placed(edge.seam.clone(), origin);
            self.sheet.draw("construction", piece, svg::path(&seam, &format!("id=\"seam-{whose}-{}\"", edge.name)));
        }
    }

    /// Notches of one size, each with an id of its own, so that a manifest can promise lengths between them; two strokes of a
    /// double notch are one.
    fn notches(&mut self, size: &Size, piece: &str, edge: &Edge, along: &[f64], origin: Point) {
        let whose = format!("notch-{}-{}-{}", svg::id(piece), size.name, edge.name);
        let groups: Vec<&[f64]> = along.chunk_by(|a, b| (b - a).abs() < DOUBLE).collect();
        for (index, group) in groups.iter().enumerate() {
            let id = if groups.len() > 1 { format!("{whose}-{}", index + 1) } else { whose.clone() };
            self.fine(&size.layer(), piece, curve::notches(edge, group), &format!("id=\"{id}\" {FINE}"), origin);
        }
    }

    /// Any path on any layer.
    fn fine(&mut self, layer: &str, piece: &str, path: BezPath, attributes: &str, origin: Point) {
        self.sheet.draw(layer, piece, svg::path(&placed(path, origin), attributes));
    }

    /// The size's name inside its cutting line, `along` mm from the start of an edge.
    fn size_name(&mut self, size: &Size, piece: &str, edge: &Edge, along: f64, height: f64, origin: Point) {
        let (point, travel) = curve::at(&edge.seam, along);
        // Words along a steep line read upwards.
        let flipped = travel.x < -0.2 || (travel.x < 0.2 && travel.y > 0.0);
        let inward = -curve::outward(travel);
        // A line that runs to the right has its cloth below it: the letters hang from it there, else they stand on it.
        let gap = 0.3 * height - edge.allowance.unwrap_or(0.0) + if flipped { 0.0 } else { 0.72 * height };
        let at = point + inward * gap + origin.to_vec2();
        let degrees = if flipped { -travel } else { travel }.atan2().to_degrees();
        let attributes = format!("font-family=\"Noto Sans\" fill=\"#000\" stroke=\"none\" {}", svg::turned(degrees, at));
        self.sheet.draw(&size.layer(), piece, svg::words(at, height, &attributes, size.name));
    }

    /// Name, number and cutting note of a piece, in lines below each other, turned about their start.
    fn title(&mut self, piece: &str, at: Point, height: f64, degrees: f64, lines: &[&str]) {
        let down = Vec2::from_angle(degrees.to_radians() + std::f64::consts::FRAC_PI_2);
        let small = (height * 0.5).max(4.5);
        let mut here = at;
        for (index, line) in lines.iter().enumerate() {
            // The first line is the name; its fellows tell what to cut.
            let (size, weight) = if index == 0 { (height, "font-weight=\"bold\"") } else { (small, "") };
            here += down * if index == 0 { 0.0 } else { small * 1.45 };
            let turn = if degrees == 0.0 { String::new() } else { svg::turned(degrees, here) };
            let attributes = [weight, turn.as_str()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
            self.sheet.draw("words", piece, svg::words(here, size, &attributes, line));
        }
    }

    /// A line of plain words, turned about its start.
    fn note(&mut self, piece: &str, at: Point, height: f64, degrees: f64, line: &str) {
        let turn = if degrees == 0.0 { String::new() } else { svg::turned(degrees, at) };
        self.sheet.draw("words", piece, svg::words(at, height, &turn, line));
    }
}

/// A path moved so that its own origin lies at a point of the drawing.
fn placed(mut path: BezPath, origin: Point) -> BezPath {
    path.apply_affine(Affine::translate(origin.to_vec2()));
    path
}
