//! Pictures of lays: the cloth with its selvedges or its fold, and every piece with its name and grain, as SVG.

mod label;

use super::svg::number;
use crate::lays::{ClothLays, PieceShape, PlacedPiece, SizeLays, WidthLay};
use crate::manifest::Spread;
use kurbo::Point;
use label::{Label, label};

/// What a picture shows, and its words.
#[derive(Clone, Copy, Debug)]
pub struct LayPicture<'a> {
    /// The cloth.
    pub cloth: &'a ClothLays,
    /// The pieces.
    pub size: &'a SizeLays,
    /// The lay.
    pub width: &'a WidthLay,
    /// What each of the size's pieces is called.
    pub names: &'a [String],
    /// What no other picture of the page is called.
    pub id: &'a str,
    /// What the picture shows, for those who do not see it.
    pub title: &'a str,
    /// How long the lay is, as it is read.
    pub length: &'a str,
    /// How wide the cloth is.
    pub across: &'a str,
    /// Which way the words read, as HTML says it; the picture itself is never turned round.
    pub direction: &'a str,
}

/// What every file with a lay holds, so that kitwright knows its own again.
pub const LAY_MARK: &str = "data-kitwright=\"lay\"";

/// The look of a lay in a file of its own; in a guide the page's own style sheet says it.
const STYLE: &str = "<style>.lay-cloth{fill:#dcdcdc}.lay-edge{fill:none;stroke:#000}.lay-piece{fill:#fff;stroke:#000;stroke-linejoin:round}\
    .lay-single{stroke-dasharray:14 8}.lay-grain{fill:none;stroke:#000}.lay-name{font-family:sans-serif;fill:#000;stroke:#fff;\
    stroke-linejoin:round;paint-order:stroke}.lay-size{font-family:sans-serif;fill:#000}svg{background:#fff}</style>";

/// The picture as an inline `svg`; none if there is no lay. Lengths are mm of the cloth, its length from left to right.
pub fn lay_picture(picture: &LayPicture) -> Option<String> {
    let lay = picture.width.lay.as_ref()?;
    let ground = Ground::of(picture, lay.length_mm);
    let (title, id) = (escaped(picture.title), escaped(picture.id));
    let pieces: String = lay.places.iter().filter_map(|place| piece(picture, place, &ground)).collect();
    let (x, y, w, h) = ground.view();
    Some(format!(
        "<svg class=\"lay\" viewBox=\"{x} {y} {w} {h}\" role=\"img\" aria-labelledby=\"lay-{id}-title\" direction=\"{}\">\
         <title id=\"lay-{id}-title\">{title}</title>{}{}{pieces}{}</svg>",
        picture.direction,
        ground.hatch(&id),
        ground.cloth(picture.cloth.lay),
        ground.sizes(picture)
    ))
}

/// The same as a file of its own.
pub fn lay_file(picture: &LayPicture) -> Option<String> {
    let opened = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" {LAY_MARK} ");
    let lay = lay_picture(picture)?.replacen("<svg ", &opened, 1);
    Some(lay.replacen("</title>", &format!("</title>{STYLE}"), 1) + "\n")
}

/// The cloth, and how fine everything is drawn on it.
struct Ground {
    length: f64,
    /// Of the usable cloth, which starts at 0.
    width: f64,
    selvedge: f64,
    /// Whether there is a selvedge above too.
    open: bool,
    /// A hundredth of the picture's longer side.
    unit: f64,
}

impl Ground {
    fn of(picture: &LayPicture, length: f64) -> Self {
        let (width, selvedge) = (picture.width.usable_mm, picture.cloth.selvedge_mm);
        let open = picture.cloth.lay == Spread::Open;
        Self { length, width, selvedge, open, unit: length.max(width) / 100.0 }
    }

    fn top(&self) -> f64 {
        if self.open { -self.selvedge } else { 0.0 }
    }

    fn bottom(&self) -> f64 {
        self.width + self.selvedge
    }

    /// Left, top, width and height of the picture, words included.
    fn view(&self) -> (String, String, String, String) {
        let (left, below, edge) = (5.0 * self.unit, 5.0 * self.unit, self.unit);
        let (width, height) = (left + self.length + edge, edge + self.bottom() - self.top() + below);
        (number(-left), number(self.top() - edge), whole(width.ceil()), whole(height.ceil()))
    }

    /// The pattern of pieces that lie with their printed side down.
    fn hatch(&self, id: &str) -> String {
        let (step, pen) = (number(1.6 * self.unit), number(0.12 * self.unit));
        format!(
            "<defs><pattern id=\"lay-{id}-down\" width=\"{step}\" height=\"{step}\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><path d=\"M0 0H{step}V{step}H0Z\" fill=\"#fff\"/><path d=\"M0 0V{step}\" stroke=\"#777\" \
             stroke-width=\"{pen}\"/></pattern></defs>"
        )
    }

    fn cloth(&self, spread: Spread) -> String {
        let (x, top, bottom) = (whole(self.length), number(self.top()), number(self.bottom()));
        let (fine, bold) = (number(0.2 * self.unit), number(0.9 * self.unit));
        let ends = format!("M0 {top}V{bottom}M{x} {top}V{bottom}");
        let selvedge = |inner: f64, outer: f64| format!("M0 {0}H{x}M0 {1}H{x}", number(inner), number(outer));
        let above = selvedge(0.0, self.top());
        let below = selvedge(self.width, self.bottom());
        let edges = if self.open { format!("{ends}{above}{below}") } else { format!("{ends}{below}") };
        let fold = match spread {
            Spread::Open => String::new(),
            Spread::Folded => format!("<path class=\"lay-edge\" stroke-width=\"{bold}\" d=\"M0 0H{x}\"/>"),
        };
        format!(
            "<path class=\"lay-cloth\" d=\"M0 {top}H{x}V{bottom}H0Z\"/><path class=\"lay-edge\" stroke-width=\"{fine}\" d=\"{edges}\"/>{fold}"
        )
    }

    /// Length and width beside the cloth.
    fn sizes(&self, picture: &LayPicture) -> String {
        let (font, half) = (number(2.4 * self.unit), number(self.length / 2.0));
        let below = number(self.bottom() + 3.4 * self.unit);
        let middle = number(f64::midpoint(self.top(), self.bottom()));
        let left = number(-1.6 * self.unit);
        format!(
            "<text class=\"lay-size\" x=\"{half}\" y=\"{below}\" font-size=\"{font}\" text-anchor=\"middle\">{}</text>\
             <text class=\"lay-size\" transform=\"translate({left} {middle}) rotate(-90)\" font-size=\"{font}\" text-anchor=\"middle\">{}</text>",
            escaped(picture.length),
            escaped(picture.across)
        )
    }
}

/// A piece with its name and grain; a half on the fold is drawn as the half that it is.
fn piece(picture: &LayPicture, place: &PlacedPiece, ground: &Ground) -> Option<String> {
    let shape = picture.size.pieces.get(place.piece)?;
    let outline = thinned(&laid(shape, place), ground.unit / 16.0);
    let name = picture.names.get(place.piece).map_or("", String::as_str);
    let label = label(&outline, place.piece + 1, name, ground.unit);
    let side = if place.mirrored { format!(" style=\"fill:url(#lay-{}-down)\"", escaped(picture.id)) } else { String::new() };
    let class = if place.single { "lay-piece lay-single" } else { "lay-piece" };
    let (pen, data) = (number(0.3 * ground.unit), data(&outline));
    Some(format!(
        "<path class=\"{class}\" stroke-width=\"{pen}\"{side} d=\"{data}\"/>{}",
        label.map(|label| lettered(&label, ground.unit)).unwrap_or_default()
    ))
}

/// The corners of a piece where it lies.
fn laid(shape: &PieceShape, place: &PlacedPiece) -> Vec<Point> {
    let half = |y: f64| if place.on_fold { y.max(0.0) } else { y };
    let middle = fold_of(shape, place);
    let put = |corner: &[f64; 2]| {
        let [x, y] = *corner;
        let y = half(y - middle) * if place.mirrored { -1.0 } else { 1.0 };
        let turn = if place.turned { -1.0 } else { 1.0 };
        Point::new(x * turn + place.along_mm, y * turn + place.across_mm)
    };
    shape.corners_mm.iter().map(put).collect()
}

/// Where across the grain the fold of a half lies: in the middle of the whole.
fn fold_of(shape: &PieceShape, place: &PlacedPiece) -> f64 {
    let across = || shape.corners_mm.iter().map(|[_, y]| *y);
    let (low, high) = across().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| (low.min(y), high.max(y)));
    if place.on_fold { f64::midpoint(low, high) } else { 0.0 }
}

/// The same outline with fewer corners, none further off than some mm (Douglas and Peucker, 1973; from memory).
fn thinned(ring: &[Point], off: f64) -> Vec<Point> {
    let far = |from: Point| {
        ring.iter().enumerate().max_by(|a, b| a.1.distance(from).total_cmp(&b.1.distance(from))).map_or(0, |it| it.0)
    };
    let split = ring.first().map_or(0, |first| far(*first));
    let (Some(one), Some(other)) = (ring.get(..=split), ring.get(split..)) else { return ring.to_vec() };
    let closed: Vec<Point> = other.iter().chain(ring.first()).copied().collect();
    let mut kept = simple(one, off);
    kept.pop();
    kept.extend(simple(&closed, off));
    kept.pop();
    kept
}

fn simple(line: &[Point], off: f64) -> Vec<Point> {
    let (Some(&first), Some(&last)) = (line.first(), line.last()) else { return Vec::new() };
    let away = |point: &Point| kurbo::ParamCurveNearest::nearest(&kurbo::Line::new(first, last), *point, 1e-3).distance_sq;
    let worst = line.iter().enumerate().max_by(|a, b| away(a.1).total_cmp(&away(b.1)));
    match worst.filter(|(_, point)| away(point) > off * off) {
        Some((at, _)) if at > 0 && at + 1 < line.len() => {
            let mut kept = simple(line.get(..=at).unwrap_or_default(), off);
            kept.pop();
            kept.extend(simple(line.get(at..).unwrap_or_default(), off));
            kept
        }
        _ => vec![first, last],
    }
}

fn data(ring: &[Point]) -> String {
    let corners = ring.iter().map(|point| format!("{} {}", whole(point.x), whole(point.y)));
    format!("M{}Z", corners.collect::<Vec<_>>().join("L"))
}

/// Whole mm are finer than a pixel.
fn whole(mm: f64) -> String {
    number(mm.round())
}

fn lettered(label: &Label, unit: f64) -> String {
    let (x, y) = (number(label.at.x), number(label.at.y));
    let turned = if label.upright { format!("translate({x} {y}) rotate(-90)") } else { format!("translate({x} {y})") };
    let (font, drop, halo) = (number(label.font), number(label.font * 0.35), number(label.font * 0.35));
    let text = escaped(&label.text);
    let (from, to, level) = (label.grain.0.x, label.grain.1.x, label.grain.0.y);
    let (head, pen) = (0.9 * unit, number(0.2 * unit));
    let arrow = format!(
        "M{0} {y}H{1}M{2} {up}L{0} {y}L{2} {down}M{3} {up}L{1} {y}L{3} {down}",
        number(from),
        number(to),
        number(from + head),
        number(to - head),
        y = number(level),
        up = number(level - head / 2.0),
        down = number(level + head / 2.0)
    );
    format!(
        "<path class=\"lay-grain\" stroke-width=\"{pen}\" d=\"{arrow}\"/>\
         <text class=\"lay-name\" transform=\"{turned}\" y=\"{drop}\" font-size=\"{font}\" stroke-width=\"{halo}\" text-anchor=\"middle\">{text}</text>"
    )
}

/// Text made safe between tags and in attributes.
fn escaped(text: &str) -> String {
    quick_xml::escape::escape(text).into_owned()
}
