//! A device that follows a page's paint and keeps where lines end, in page millimetres, y down.

use super::trails::{self, Trail};
use super::words::Words;
use hayro_interpret::font::GlyphRun;
use hayro_interpret::{BlendMode, ClipPath, Device, DrawMode, DrawProps, Image, ImageDrawProps, Paint, SoftMask};
use kurbo::{Affine, BezPath, ParamCurve, ParamCurveExtrema, PathEl, PathSeg, Point, Rect, Shape};

/// Device units in one millimetre. hayro takes lengths below 1/256 device unit for nothing; so fine a grid keeps that harmless.
pub(super) const UNITS: f64 = 1000.0;
/// How far from a promised place ends are kept, in mm.
pub(super) const REACH: f64 = 1.0;
/// How far outside a clip an end still counts as visible, in mm: the error budget.
const CLIP_SLACK: f64 = 0.01;
/// Most steps that one page may take: a hundred times the largest page ever made, and over in a minute.
const MAX_STEPS: usize = 20_000_000;

/// Steps that a clip counts for: forms bring one each, and forms that call forms are how a small file grows endless.
const CLIP_STEPS: usize = 50;

/// Wanted lines that are compared with a path in the time of one step.
const LINES_A_STEP: usize = 30;

/// Thrown through hayro, which has no way to stop, when a page takes too many steps.
pub(super) struct TooMuch;

/// The ink of one page, as far as it lies near the places of interest.
pub(super) struct Ink<'w> {
    wanted: &'w Wanted,
    clips: Vec<Rect>,
    faded: Vec<bool>,
    steps: usize,
    /// Visible ends of lines and turning points of curves.
    pub ends: Vec<Point>,
    /// Lines that may run past wanted points, each whole, whatever of it shows.
    pub trails: Vec<Trail>,
    /// The page's text.
    pub words: Words,
}

/// What is looked for on a page.
#[derive(Clone, Debug, Default)]
pub(super) struct Wanted {
    /// Places near which ends of lines are kept.
    pub ends: Vec<Point>,
    /// Boxes around points past which one line runs.
    pub lines: Vec<Rect>,
}

impl<'w> Ink<'w> {
    /// An empty page of that size in mm; ends are kept within [`REACH`] of the wanted places.
    pub fn new(page: Rect, wanted: &'w Wanted) -> Self {
        let (ends, trails, words) = (Vec::new(), Vec::new(), Words::default());
        Self { wanted, clips: vec![page], faded: Vec::new(), steps: 0, ends, trails, words }
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

    fn shows(&self, paint: &Paint<'_>) -> bool {
        !self.faded.last().copied().unwrap_or(false) && inks(paint)
    }

    fn add(&mut self, path: &BezPath, transform: Affine) {
        let to_mm = Affine::scale(1.0 / UNITS) * transform;
        let clip = self.clip().inflate(CLIP_SLACK, CLIP_SLACK);
        self.follow(path, to_mm, clip);
        for segment in path.segments() {
            let segment = to_mm * segment;
            self.keep(segment.start(), clip);
            self.keep(segment.end(), clip);
            turns(segment).for_each(|turn| self.keep(turn, clip));
        }
    }

    /// Keeps lines that may run past wanted points, even if they are clipped there: another sheet shows the rest.
    fn follow(&mut self, path: &BezPath, to_mm: Affine, clip: Rect) {
        for line in path.subpaths().filter(|_| !self.wanted.lines.is_empty()) {
            self.step(self.wanted.lines.len() / LINES_A_STEP);
            let bounds = to_mm.transform_rect_bbox(line.bounding_box());
            if self.wanted.lines.iter().any(|points| trails::may_hold(bounds, *points)) {
                self.step(line.len());
                let segments = kurbo::segments(line.iter().copied()).map(|segment| to_mm * segment).collect();
                self.trails.push(Trail { segments, bounds, clip });
            }
        }
    }

    fn keep(&mut self, end: Point, clip: Rect) {
        // Most ends of a page are of no interest; keeping them all would cost more than painting it.
        let near = |place: &Point| place.distance_squared(end) <= REACH * REACH;
        if clip.contains(end) && self.wanted.ends.iter().any(near) {
            self.ends.push(end);
        }
    }
}

/// Where a curve turns back in x or y: the ends of its width and height.
fn turns(segment: PathSeg) -> impl Iterator<Item = Point> {
    let curved = !matches!(segment, PathSeg::Line(_));
    let turns = if curved { segment.extrema() } else { Default::default() };
    turns.into_iter().map(move |t| segment.eval(t))
}

/// White and wholly transparent paint leaves nothing on paper.
fn inks(paint: &Paint<'_>) -> bool {
    let Paint::Color(color) = paint else { return true };
    let [red, green, blue, alpha] = color.to_rgba().components();
    alpha > 0.0 && red.min(green).min(blue) < 0.99
}

/// kurbo cannot take a path apart that does not begin with a move.
fn is_sound(path: &BezPath) -> bool {
    matches!(path.elements().first(), Some(PathEl::MoveTo(_)))
}

impl<'a> Device<'a> for Ink<'_> {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        self.step(path.elements().len());
        if is_sound(path) && !matches!(mode, DrawMode::Invisible) && self.shows(&props.paint) {
            self.add(path, props.transform);
        }
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.step(clip.path.elements().len().saturating_add(CLIP_STEPS));
        // A clip's box, not its shape: an end between the two counts as visible, which errs on finding more.
        let within = if is_sound(&clip.path) { clip.path.bounding_box() } else { Rect::ZERO };
        let within = Affine::scale(1.0 / UNITS).transform_rect_bbox(within);
        self.clips.push(self.clip().intersect(within));
    }

    fn pop_clip(&mut self) {
        self.clips.pop();
    }

    fn push_transparency_group(&mut self, opacity: f32, _: Option<SoftMask<'a>>, _: BlendMode) {
        // A group inside a group without ink has none either.
        let faded = self.faded.last().copied().unwrap_or(false) || opacity <= 0.0;
        self.faded.push(faded);
    }

    fn pop_transparency_group(&mut self) {
        self.faded.pop();
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, mode: &DrawMode) {
        self.step(run.glyphs().len());
        if matches!(mode, DrawMode::Invisible) || !self.shows(&props.paint) {
            return;
        }
        let (to_mm, clip) = (Affine::scale(1.0 / UNITS) * props.transform, self.clip());
        for glyph in run.glyphs() {
            self.words.add(glyph, to_mm * glyph.transform(), clip);
        }
    }

    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {
        self.step(1);
    }
}
