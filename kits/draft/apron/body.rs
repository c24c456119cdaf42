//! Piece 1, the body: half of bib and skirt on the fold, with the armhole between bib and back tab.
//!
//! Nought lies on the fold, level with the lowest point of the armhole of size 36.

use super::sizes::{SIZES, Size};
use super::{Draft, FINE, FOLD, STITCH, pocket};
use crate::curve::{self, Edge};
use crate::marks;
use kurbo::{BezPath, Point, Vec2};

/// Finished width of the straps, in mm: bib top and back tab are as wide.
pub const STRAP: f64 = 60.0;
/// Seam allowance, in mm.
pub const SEAM: f64 = 10.0;
/// Hem allowance, in mm.
pub const HEM: f64 = 25.0;

/// Where the draft's nought lies in the drawing.
const ORIGIN: Point = Point::new(22.0, 308.0);
/// Name on the layers.
const NAME: &str = "body";

/// The seam lines of one size.
pub struct Body {
    /// From the fold to the strap.
    pub neckline: BezPath,
    /// Bib top, where the strap starts.
    pub top: BezPath,
    /// From bib top to back tab.
    pub armhole: BezPath,
    /// Back tab, where the other strap ends.
    pub tab: BezPath,
    /// From back tab to hem.
    pub side: BezPath,
    /// From side to fold.
    pub hem: BezPath,
}

impl Body {
    /// Drafts one size.
    pub fn new(size: &Size) -> Self {
        let g = size.steps();
        let top = -268.0 - 3.6 * g;
        let hem = 503.0 + 4.8 * g;
        // The neck grows deeper faster than the bib grows higher, so that no two necklines cross.
        let deep = top + 62.0 + 5.6 * g;
        let p = Point::new;
        let neck = 88.0 + 3.6 * g;
        let shoulder = Point::new(neck + STRAP, top);
        let tab = Tab::new(Point::new(size.hip * 0.4 + 18.0, -68.0 - g));
        Self {
            neckline: curve::curve(p(0.0, deep), p(neck * 0.58, deep), p(neck, (top + deep) / 2.0 + 6.0), p(neck, top)),
            top: curve::line((neck, top).into(), shoulder),
            armhole: armhole(shoulder, &tab, 5.5 * g),
            side: side(&tab, hem),
            hem: hem_line(tab.outer.x + 18.0, hem),
            tab: curve::line(tab.inner, tab.outer),
        }
    }

    /// Edges clockwise from the neck, the fold last.
    pub fn edges(&self) -> Vec<Edge> {
        let seam = |name, path: &BezPath| Edge::cut(name, path.clone(), SEAM);
        vec![
            seam("neckline", &self.neckline),
            seam("bib", &self.top),
            seam("armhole", &self.armhole),
            seam("tab", &self.tab),
            seam("side", &self.side),
            Edge::cut("hem", self.hem.clone(), HEM),
            Edge::fold(curve::end(&self.hem), curve::start(&self.neckline)),
        ]
    }
}

/// The back tab, square to the strap that it takes.
struct Tab {
    inner: Point,
    outer: Point,
    /// Unit direction in which the strap leaves.
    strap: Vec2,
}

impl Tab {
    fn new(outer: Point) -> Self {
        let strap = Vec2::new(0.34, -0.94).normalize();
        Self { inner: outer - Vec2::new(-strap.y, strap.x) * STRAP, outer, strap }
    }
}

/// Down from the bib, round, and up to the tab.
fn armhole(shoulder: Point, tab: &Tab, bottom: f64) -> BezPath {
    // The lowest point lies nearer to the tab, where the arm swings back.
    let low = Point::new(shoulder.x + (tab.inner.x - shoulder.x) * 0.62, bottom);
    let reach = low.x - shoulder.x;
    let down =
        curve::curve(shoulder, shoulder + Vec2::new(0.0, (low.y - shoulder.y) * 0.6), low - Vec2::new(reach * 0.72, 0.0), low);
    let rise = low.y - tab.inner.y;
    let up =
        curve::curve(low, low + Vec2::new((tab.inner.x - low.x) * 0.6, 0.0), tab.inner - tab.strap * (rise * 0.55), tab.inner);
    curve::joined(&[down, up])
}

/// From the tab, in a little at the waist, out to the hem.
fn side(tab: &Tab, hem: f64) -> BezPath {
    // The hem rises to the side, or it would hang in a point there.
    let end = Point::new(tab.outer.x + 18.0, hem - 16.0);
    curve::curve(tab.outer, tab.outer - tab.strap * 110.0, end - Vec2::new(0.06, 1.0).normalize() * 210.0, end)
}

/// Square to the side, level at the fold.
fn hem_line(side: f64, hem: f64) -> BezPath {
    let start = Point::new(side, hem - 16.0);
    curve::curve(start, start + Vec2::new(-1.0, 0.06).normalize() * (side * 0.3), (side * 0.38, hem).into(), (0.0, hem).into())
}

/// Draws the piece in all sizes.
pub fn draw(draft: &mut Draft) {
    SIZES.iter().for_each(|size| draw_size(draft, size));
    // Common marks keep to the part that lies inside the smallest size.
    let mark = Point::new;
    draft.fine("pattern", NAME, marks::grainline(mark(52.0, 150.0), mark(52.0, 440.0)), "id=\"grain-body\"", ORIGIN);
    draft.fine("pattern", NAME, marks::fold_bracket(mark(0.0, -130.0), mark(0.0, 470.0), Vec2::new(1.0, 0.0)), "", ORIGIN);
    draft.fine("pattern", NAME, marks::double_line(mark(14.0, 56.0), mark(330.0, 56.0)), "stroke-width=\"0.25\"", ORIGIN);
    draft.fine("pattern", NAME, curve::line(mark(288.0, 150.0), mark(318.0, 150.0)), STITCH, ORIGIN);
    draft.fine("pattern", NAME, fold_line(), &format!("id=\"control-body\" {FOLD}"), ORIGIN);
    words(draft);
}

/// One size: cutting line, notches, where the pocket goes, the size's name.
fn draw_size(draft: &mut Draft, size: &Size) {
    let body = Body::new(size);
    let edges = body.edges();
    draft.piece(size, NAME, &edges, ORIGIN);
    // The lists of notches follow the edges; hem and fold have none.
    for (edge, along) in edges.iter().zip(notches(&body)) {
        draft.notches(size, NAME, edge, &along, ORIGIN);
    }
    draft.fine(&size.layer(), NAME, pocket::placement(size), FINE, ORIGIN);
    // A name near each corner, staggered so that it stands between its own line and the next.
    draft.size_name(size, NAME, &edges[1], 38.0 + 2.0 * size.index(), 3.0, ORIGIN);
    draft.size_name(size, NAME, &edges[4], curve::length(&body.side) - 70.0, 5.0, ORIGIN);
    draft.size_name(size, NAME, &edges[4], 130.0, 5.0, ORIGIN);
    draft.size_name(size, NAME, &edges[5], 60.0 + 16.0 * (7.0 - size.index()), 3.8, ORIGIN);
}

/// Notches along neckline, top, armhole, tab and side; the facings bear the same ones.
pub fn notches(body: &Body) -> [Vec<f64>; 5] {
    let round = curve::length(&body.armhole);
    [
        vec![60.0],
        vec![STRAP / 2.0],
        vec![120.0, round - 96.0, round - 88.0],
        vec![STRAP / 2.0 - 4.0, STRAP / 2.0 + 4.0],
        vec![TAB_SIDE],
    ]
}

/// How far the armhole facing goes down the side, in mm.
pub const TAB_SIDE: f64 = 60.0;

/// The fold of the largest size from seam to seam; the kit promises its length.
fn fold_line() -> BezPath {
    let body = Body::new(&SIZES[SIZES.len() - 1]);
    curve::line(curve::start(&body.neckline), curve::end(&body.hem))
}

fn words(draft: &mut Draft) {
    let at = |x: f64, y: f64| Point::new(x, y) + ORIGIN.to_vec2();
    draft.title(NAME, at(34.0, -110.0), 14.0, 0.0, &["1 · Body", "cut 1 on the fold", "in main cloth"]);
    draft.note(NAME, at(10.0, 190.0), 5.0, -90.0, "place on the fold");
    draft.note(NAME, at(60.0, 51.0), 5.0, 0.0, "lengthen or shorten here");
    draft.note(NAME, at(285.0, 146.0), 4.5, 0.0, "towel loop");
    draft.note(NAME, at(120.0, 108.0), 4.5, 0.0, "opening of the pocket");
    draft.note(NAME, at(50.0, 400.0), 5.0, -90.0, "grain");
}
