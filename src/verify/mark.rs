//! A mark: one path as a page paints it, with its pen, where it shows, and what the file says it is.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Vec2};
use std::sync::Arc;

/// Farthest from the page's corner, in mm, that a path may reach: a kilometre. Further out, curves take endless steps to follow.
const FARTHEST: f64 = 1e6;

/// Whether all points of a path lie where its curves can be followed.
pub(super) fn is_near(path: &BezPath, to_mm: Affine) -> bool {
    let Rect { x0, y0, x1, y1 } = to_mm.transform_rect_bbox(path.control_box());
    path.is_finite() && [x0, y0, x1, y1].iter().all(|at| at.abs() <= FARTHEST)
}

/// What a mark is, as the file's own tags say (ISO 32000-1, 14.6 and 14.8).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Of the drawing: in a figure.
    Drawing,
    /// A letter of the drawing's words: in a span of a figure.
    Words,
    /// A letter of a size's name, set anew for each paper: in a label of a figure.
    Names,
    /// All that stands around the drawing.
    Frame,
}

/// How a path is painted.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pen {
    /// Width of the line in mm; `None` for a filled path.
    pub width: Option<f64>,
    /// Dashes and gaps, then where they start, in mm.
    pub dashes: Vec<f64>,
    /// Red, green, blue and opacity; for a picture, which counts as a filled path, four bytes drawn from its data.
    pub colour: [u8; 4],
}

impl Pen {
    /// How far width and dashes of another pen are from this one's, in mm; endless for another kind.
    pub fn off(&self, other: &Self) -> f64 {
        if self.width.is_some() != other.width.is_some() || self.dashes.len() != other.dashes.len() {
            return f64::INFINITY;
        }
        let widths = self.width.into_iter().zip(other.width);
        let dashes = self.dashes.iter().copied().zip(other.dashes.iter().copied());
        widths.chain(dashes).map(|(one, two)| (one - two).abs()).fold(0.0, f64::max)
    }

    /// Half the width of the line in mm; nothing for a filled path.
    pub fn half(&self) -> f64 {
        self.width.unwrap_or(0.0) / 2.0
    }
}

/// One painted path.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    /// What it is.
    pub part: Part,
    /// Name of the layer that it lies on.
    pub layer: Option<Arc<str>>,
    /// In mm.
    pub path: BezPath,
    /// How it is painted.
    pub pen: Pen,
    /// The box of the clips around it, in mm.
    pub clip: Rect,
}

impl Mark {
    /// The same mark elsewhere.
    pub fn moved(&self, by: Vec2) -> Self {
        Self { path: Affine::translate(by) * self.path.clone(), clip: self.clip + by, ..self.clone() }
    }

    /// What its ink covers at most, in mm.
    pub fn reach(&self) -> Rect {
        // Mitres reach further than half the width; what matters here is where the line itself runs.
        self.path.control_box().inflate(self.pen.half(), self.pen.half())
    }

    /// Where it begins.
    pub fn start(&self) -> Point {
        self.path.elements().first().and_then(PathEl::end_point).unwrap_or_default()
    }

    /// How far the path of another mark is from this one's at most, point by point, in mm; endless if it has other segments.
    pub fn off(&self, other: &Self) -> f64 {
        let (mine, theirs) = (self.path.elements(), other.path.elements());
        if mine.len() != theirs.len() {
            return f64::INFINITY;
        }
        mine.iter().zip(theirs).map(|(one, two)| apart(*one, *two)).fold(0.0, f64::max)
    }

    /// The end of a segment that is farthest from its partner in another mark.
    pub fn farthest(&self, other: &Self) -> Option<Point> {
        let pairs = self.path.elements().iter().zip(other.path.elements());
        let ends = pairs.filter_map(|(one, two)| Some((one.end_point()?, apart(*one, *two))));
        ends.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(end, _)| end)
    }

    /// How far the box that another mark is clipped to is from this one's, in mm.
    pub fn clip_off(&self, other: &Self) -> f64 {
        let sides = |it: &Rect| [it.x0, it.y0, it.x1, it.y1];
        let both = sides(&self.clip).into_iter().zip(sides(&other.clip));
        both.map(|(one, two)| (one - two).abs()).fold(0.0, f64::max)
    }
}

fn apart(one: PathEl, two: PathEl) -> f64 {
    let points = |element: PathEl| -> (u8, [Point; 3]) {
        let none = Point::ORIGIN;
        match element {
            PathEl::MoveTo(a) => (0, [a, none, none]),
            PathEl::LineTo(a) => (1, [a, none, none]),
            PathEl::QuadTo(a, b) => (2, [a, b, none]),
            PathEl::CurveTo(a, b, c) => (3, [a, b, c]),
            PathEl::ClosePath => (4, [none; 3]),
        }
    };
    let ((kind, mine), (other, theirs)) = (points(one), points(two));
    if kind != other {
        return f64::INFINITY;
    }
    mine.iter().zip(theirs).map(|(a, b)| a.distance(b)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(path: &str, width: Option<f64>, dashes: &[f64]) -> Mark {
        let pen = Pen { width, dashes: dashes.into(), colour: [0; 4] };
        let (path, clip) = (BezPath::from_svg(path).unwrap(), Rect::new(0.0, 0.0, 100.0, 50.0));
        Mark { part: Part::Drawing, layer: None, path, pen, clip }
    }

    #[test]
    fn paths_are_as_far_apart_as_their_farthest_points() {
        let curve = mark("M1 2L5 2C6 3 7 4 8 5Q9 6 10 7Z", None, &[]);
        for (path, off) in [
            ("M1 2L5 2C6 3 7 4 8 5Q9 6 10 7Z", 0.0),
            ("M1 2.5L5 2C6 3 7 4 8 5Q9 6 10 7Z", 0.5),
            ("M1 2L8 6C6 3 7 4 8 5Q9 6 10 7Z", 5.0),
            ("M1 2L5 2C6 3 7 6 8 5.1Q9 6 10 7Z", 2.0),
            ("M1 2L5 2C6 3 7 4 8 5Q9 7 10 7Z", 1.0),
            ("M1 2L5 2C6 3 7 4 8 5Q9 6 10 7", f64::INFINITY),
            ("M1 2L5 2C6 3 7 4 8 5L10 7Z", f64::INFINITY),
        ] {
            let other = mark(path, None, &[]);
            assert_eq!((curve.off(&other), other.off(&curve)), (off, off), "{path}");
        }
        let bent = mark("M1 2.5L5 2C6 3 7 4 8 5Q9 9 10 7Z", None, &[]);
        assert_eq!((curve.farthest(&bent), curve.start()), (Some(Point::new(10.0, 7.0)), Point::new(1.0, 2.0)));
    }

    #[test]
    fn pens_are_as_far_apart_as_width_or_dashes() {
        let pen = |width, dashes: &[f64]| mark("M0 0", width, dashes).pen;
        let own = pen(Some(0.4), &[3.0, 1.0, 0.0]);
        for (other, off) in [
            (pen(Some(0.4), &[3.0, 1.0, 0.0]), 0.0),
            (pen(Some(0.9), &[3.0, 1.25, 0.0]), 0.5),
            (pen(Some(0.4), &[3.0, 1.0, 0.75]), 0.75),
            (pen(Some(0.4), &[]), f64::INFINITY),
            (pen(None, &[3.0, 1.0, 0.0]), f64::INFINITY),
        ] {
            assert!(own.off(&other) == off || (own.off(&other) - off).abs() < 1e-12, "{other:?}");
        }
        assert_eq!((own.half(), pen(None, &[]).half()), (0.2, 0.0));
    }

    #[test]
    fn clips_are_as_far_apart_as_their_farthest_sides() {
        let own = mark("M0 0H9", Some(0.4), &[]);
        for (clip, off) in [
            (Rect::new(0.0, 0.0, 100.0, 50.0), 0.0),
            (Rect::new(-2.0, 1.0, 100.0, 50.0), 2.0),
            (Rect::new(0.0, -3.0, 101.0, 50.0), 3.0),
            (Rect::new(0.0, 0.0, 96.0, 53.0), 4.0),
            (Rect::new(0.0, 1.0, 100.0, 45.0), 5.0),
        ] {
            assert_eq!(own.clip_off(&Mark { clip, ..own.clone() }), off);
        }
        let moved = own.moved(Vec2::new(3.0, -1.0));
        assert_eq!((moved.start(), moved.clip), (Point::new(3.0, -1.0), Rect::new(3.0, -1.0, 103.0, 49.0)));
        assert_eq!(own.reach(), Rect::new(-0.2, -0.2, 9.2, 0.2));
    }

    #[test]
    fn a_path_may_reach_a_kilometre_and_no_further() {
        let near = |path: &str, scale: f64| is_near(&BezPath::from_svg(path).unwrap(), Affine::scale(scale));
        assert!(near("M0 0H1e6", 1.0) && near("M-1e5 0V-1e5", 10.0));
        for path in ["M0 0H2e6", "M0 0V2e6", "M-2e6 0H0", "M0-2e6V0"] {
            assert!(!near(path, 1.0) && near(path, 0.5), "{path}");
        }
        let endless = BezPath::from_vec(vec![PathEl::MoveTo(Point::ZERO), PathEl::LineTo(Point::new(f64::NAN, 0.0))]);
        assert!(!is_near(&endless, Affine::IDENTITY));
    }
}
