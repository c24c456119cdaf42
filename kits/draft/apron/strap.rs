//! Piece 4, the strap: from the bib over the shoulder, crossed on the back, to the tab of the other side.

use super::body::{SEAM, STRAP};
use super::sizes::{SIZES, Size};
use super::{Draft, STITCH};
use crate::curve::{self, Edge};
use crate::marks;
use kurbo::{BezPath, Point, Vec2};

const NAME: &str = "strap";
/// Where the front end's upper corner of size 34 lies.
const ORIGIN: Point = Point::new(611.0, 26.0);
/// From size to size the strap lies a little lower and further out, so that no two lines fall together.
const STEP: Vec2 = Vec2::new(-2.6, 4.2);
/// How far the ends are interfaced, in mm.
const INTERFACED: f64 = 70.0;

/// The seam lines of one size.
pub struct Strap {
    /// Front end, upwards.
    pub front: BezPath,
    /// Outer long edge.
    pub upper: BezPath,
    /// Back end, downwards.
    pub back: BezPath,
    /// Inner long edge.
    pub lower: BezPath,
}

impl Strap {
    /// Drafts one size.
    pub fn new(size: &Size) -> Self {
        let long = 588.0 + 10.0 * size.steps();
        // On the back the strap slants towards the other side, and its end lies square to that.
        let away = Vec2::new(0.97, 0.243).normalize();
        let upper_end = Point::new(long, 46.0 + 2.5 * size.steps());
        let lower_end = upper_end + Vec2::new(-away.y, away.x) * STRAP;
        let (upper, lower) = (Point::new(0.0, 0.0), Point::new(0.0, STRAP));
        let level = Vec2::new(long * 0.36, 0.0);
        // Both curves start level, so that the corners of the front end are square.
        // The lower edge rises a little in the middle, where the strap lies on the shoulder.
        let narrow = Vec2::new(0.0, -13.0);
        Self {
            front: curve::line(lower, upper),
            upper: curve::curve(upper, upper + level, upper_end - away * (long * 0.36), upper_end),
            back: curve::line(upper_end, lower_end),
            lower: curve::curve(lower_end, lower_end - away * (long * 0.36) + narrow, lower + level + narrow, lower),
        }
    }

    /// Edges clockwise from the front end.
    pub fn edges(&self) -> Vec<Edge> {
        let edges = [("front", &self.front), ("upper", &self.upper), ("back", &self.back), ("lower", &self.lower)];
        edges.map(|(name, path)| Edge::cut(name, path.clone(), SEAM)).into()
    }
}

/// Draws the piece in all sizes.
pub fn draw(draft: &mut Draft) {
    for size in &SIZES {
        draw_size(draft, size, ORIGIN + STEP * size.index());
    }
    let at = |x: f64, y: f64| Point::new(x, y) + ORIGIN.to_vec2();
    draft.fine(
        "pattern",
        NAME,
        marks::grainline(Point::new(330.0, 52.0), Point::new(430.0, 52.0)),
        "id=\"grain-strap\"",
        ORIGIN,
    );
    draft.fine(
        "pattern",
        NAME,
        marks::double_line(Point::new(285.0, -4.0), Point::new(285.0, 92.0)),
        "stroke-width=\"0.25\"",
        ORIGIN,
    );
    draft.note(NAME, at(0.0, 50.0), 4.3, 0.0, "interfacing, both ends");
    draft.title(NAME, at(92.0, 44.0), 11.0, 0.0, &["4 · Strap", "cut 4: 2, and 2 mirrored, in main cloth"]);
}

fn draw_size(draft: &mut Draft, size: &Size, origin: Point) {
    let strap = Strap::new(size);
    let edges = strap.edges();
    draft.piece(size, NAME, &edges, origin);
    let middle = |edge: &Edge| curve::length(&edge.seam) / 2.0;
    // Single notches in front and above, double ones behind and below: no end can be taken for the other.
    draft.notches(size, NAME, &edges[0], &[STRAP / 2.0], origin);
    draft.notches(size, NAME, &edges[1], &[middle(&edges[1])], origin);
    draft.notches(size, NAME, &edges[2], &[STRAP / 2.0 - 4.0, STRAP / 2.0 + 4.0], origin);
    draft.notches(size, NAME, &edges[3], &[middle(&edges[3]) - 4.0, middle(&edges[3]) + 4.0], origin);
    // A dashed line at either end shows how far the interfacing goes, 1 mm clear of the far seam.
    for along in [INTERFACED, curve::length(&strap.upper) - INTERFACED] {
        let (point, travel) = curve::at(&strap.upper, along);
        let across = curve::line(point, point - curve::outward(travel) * (STRAP - 2.0));
        draft.fine(&size.layer(), NAME, across, STITCH, origin);
    }
    draft.size_name(size, NAME, &edges[2], 8.0, 4.0, origin);
    draft.size_name(size, NAME, &edges[1], 14.0 + 7.0 * size.index(), 3.4, origin);
}
