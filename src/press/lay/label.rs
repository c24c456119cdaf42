//! Where the name and the grain of a piece stand on it: as large as there is room, and wholly inside.

use kurbo::{Line, ParamCurve, Point, Rect};
use unicode_script::{Script, UnicodeScript};

/// Sizes of letters that are tried, in units of the picture.
const FONTS: [f64; 5] = [2.6, 2.3, 2.0, 1.75, 1.5];
/// Places that are tried along and across a piece.
const PLACES: (u32, u32) = (24, 16);

/// A name and a grainline below it.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// What is written.
    pub text: String,
    /// The middle of the words.
    pub at: Point,
    /// Whether the words read upwards.
    pub upright: bool,
    /// Size of the letters.
    pub font: f64,
    /// Ends of the grainline.
    pub grain: (Point, Point),
}

/// The label of a piece by its number and name: with the whole name if there is room for it, else with the number alone.
pub fn label(ring: &[Point], number: usize, name: &str, unit: f64) -> Option<Label> {
    let whole = if name.is_empty() { number.to_string() } else { format!("{number} {name}") };
    let fit = |text: &str, upright: bool| FONTS.iter().find_map(|font| fitted(ring, text, font * unit, upright));
    let bare = number.to_string();
    fit(&whole, false).or_else(|| fit(&whole, true)).or_else(|| fit(&bare, false)).or_else(|| forced(ring, bare, unit))
}

/// The number in the middle of a piece that has no room for anything.
fn forced(ring: &[Point], text: String, unit: f64) -> Option<Label> {
    let at = bounds(ring)?.center();
    let half = kurbo::Vec2::new(unit, -1.4 * unit);
    Some(Label {
        text,
        at,
        upright: false,
        font: FONTS[4] * unit,
        grain: (at + half - kurbo::Vec2::new(2.0 * unit, 0.0), at + half),
    })
}

fn bounds(ring: &[Point]) -> Option<Rect> {
    ring.iter().map(|point| Rect::from_points(*point, *point)).reduce(|a, b| a.union(b))
}

/// The label at the place nearest to the middle of the piece at which words of a size fit, with a grainline below them.
fn fitted(ring: &[Point], text: &str, font: f64, upright: bool) -> Option<Label> {
    let (long, high) = (text.chars().map(|sign| font * advance(sign)).sum::<f64>(), font * 1.2);
    let (width, height) = if upright { (high, long) } else { (long, high) };
    let arrow = width.max(3.0 * font);
    // A little more than the words, so that nothing touches the outline.
    let block = kurbo::Size::new(arrow + 0.6 * font, height + 1.3 * font);
    let around = bounds(ring)?;
    let middle = around.center();
    let across = |count: u32| (1..count).map(move |step| f64::from(step) / f64::from(count));
    let places = across(PLACES.0).flat_map(|x| across(PLACES.1).map(move |y| (x, y)));
    let points = places.map(|(x, y)| Point::new(around.x0 + x * around.width(), around.y0 + y * around.height()));
    // What reaches beyond the piece's box is not inside; and nearest first: most pieces have room near their middle.
    let room = around.inflate(-block.width / 2.0, -block.height / 2.0);
    let mut points: Vec<Point> = points.filter(|at| room.contains(*at)).collect();
    points.sort_by(|a, b| a.distance_squared(middle).total_cmp(&b.distance_squared(middle)));
    let best = points.into_iter().find(|at| holds(ring, Rect::from_center_size(*at, block)))?;
    let (at, level) = (best - kurbo::Vec2::new(0.0, 0.55 * font), best.y + block.height / 2.0 - 0.5 * font);
    let grain = (Point::new(best.x - arrow / 2.0, level), Point::new(best.x + arrow / 2.0, level));
    Some(Label { text: text.to_owned(), at, upright, font, grain })
}

/// How wide a letter is, at a guess.
fn advance(sign: char) -> f64 {
    match sign.script() {
        Script::Han | Script::Hiragana | Script::Katakana => 1.0,
        _ => 0.58,
    }
}

/// Whether a rectangle lies inside an outline.
fn holds(ring: &[Point], area: Rect) -> bool {
    let edges = || ring.iter().copied().zip(ring.iter().copied().cycle().skip(1));
    inside(ring, area.center()) && !edges().any(|(a, b)| touches(Line::new(a, b), area))
}

fn inside(ring: &[Point], at: Point) -> bool {
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = edges.filter(|(a, b)| (a.y > at.y) != (b.y > at.y) && at.x < (b.x - a.x) * (at.y - a.y) / (b.y - a.y) + a.x);
    crossed.count() % 2 == 1
}

/// Whether any of a line lies in a rectangle.
fn touches(line: Line, area: Rect) -> bool {
    let apart = |a: f64, b: f64, low: f64, high: f64| a.max(b) < low || a.min(b) > high;
    if apart(line.p0.x, line.p1.x, area.x0, area.x1) || apart(line.p0.y, line.p1.y, area.y0, area.y1) {
        return false;
    }
    let (mut from, mut to) = (0.0f64, 1.0f64);
    let way = line.p1 - line.p0;
    let sides = [(way.x, area.x0 - line.p0.x, area.x1 - line.p0.x), (way.y, area.y0 - line.p0.y, area.y1 - line.p0.y)];
    for (way, low, high) in sides {
        if way == 0.0 {
            if low > 0.0 || high < 0.0 {
                return false;
            }
            continue;
        }
        let (a, b) = (low / way, high / way);
        (from, to) = (from.max(a.min(b)), to.min(a.max(b)));
    }
    from <= to && line.eval(from).is_finite()
}
