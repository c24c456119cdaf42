//! A device that follows a page's paint and keeps its lines, in page millimetres, y down: all that is stroked, however short.

use super::ink::{TooMuch, UNITS};
use hayro_interpret::font::GlyphRun;
use hayro_interpret::{BlendMode, ClipPath, Device, DrawMode, DrawProps, Image, ImageDrawProps, SoftMask};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};

/// Most steps that one page may take, as for the ends of lines.
const MAX_STEPS: usize = 20_000_000;
/// Steps that a clip counts for.
const CLIP_STEPS: usize = 50;

/// A line as it is painted.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// In mm.
    path: BezPath,
    /// In mm.
    width: f64,
    /// Dashes and gaps, then where they start, in mm.
    dashes: Vec<f64>,
    /// The box of the clips around it, in mm.
    clip: Rect,
}

impl Line {
    /// How far another line is from this one at most, in mm; endless if it is of another kind.
    pub fn off(&self, other: &Self) -> f64 {
        let (mine, theirs) = (self.path.elements(), other.path.elements());
        if mine.len() != theirs.len() || self.dashes.len() != other.dashes.len() {
            return f64::INFINITY;
        }
        let paths = mine.iter().zip(theirs).map(|(one, two)| apart(*one, *two));
        let corners = [(self.clip.x0, other.clip.x0), (self.clip.y0, other.clip.y0), (self.clip.x1, other.clip.x1)];
        let rest = corners.into_iter().chain([(self.clip.y1, other.clip.y1), (self.width, other.width)]);
        let rest = rest.chain(self.dashes.iter().copied().zip(other.dashes.iter().copied()));
        paths.chain(rest.map(|(one, two)| (one - two).abs())).fold(0.0, f64::max)
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

/// The lines of one page, in the order in which they are painted.
pub(super) struct Lines {
    clips: Vec<Rect>,
    steps: usize,
    /// Those that reach into their clips.
    pub list: Vec<Line>,
}

impl Lines {
    /// An empty page of that size in mm.
    pub fn new(page: Rect) -> Self {
        Self { clips: vec![page], steps: 0, list: Vec::new() }
    }

    fn clip(&self) -> Rect {
        self.clips.last().copied().unwrap_or(Rect::ZERO)
    }

    fn step(&mut self, steps: usize) {
        self.steps = self.steps.saturating_add(steps);
        if self.steps > MAX_STEPS {
            // The reading thread's end catches it; unlike `panic!` it prints nothing.
            std::panic::resume_unwind(Box::new(TooMuch));
        }
    }
}

impl<'a> Device<'a> for Lines {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        self.step(path.elements().len());
        let (DrawMode::Stroke(stroke) | DrawMode::FillAndStroke(_, stroke)) = mode else { return };
        let to_mm = Affine::scale(1.0 / UNITS) * props.transform;
        let scale = to_mm.determinant().abs().sqrt();
        let width = f64::from(stroke.line_width) * scale;
        let dashes = stroke.dash_array.iter().chain([&stroke.dash_offset]).map(|dash| f64::from(*dash) * scale).collect();
        let path = to_mm * path;
        let (clip, reach) = (self.clip(), path.bounding_box().inflate(width, width));
        if reach.overlaps(clip) {
            self.list.push(Line { path, width, dashes, clip });
        }
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.step(clip.path.elements().len().saturating_add(CLIP_STEPS));
        let within = Affine::scale(1.0 / UNITS).transform_rect_bbox(clip.path.bounding_box());
        self.clips.push(self.clip().intersect(within));
    }

    fn pop_clip(&mut self) {
        self.clips.pop();
    }

    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {}

    fn pop_transparency_group(&mut self) {}

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, _: DrawProps<'a>, _: &DrawMode) {
        self.step(run.glyphs().len());
    }

    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {
        self.step(1);
    }
}
