//! A device that follows a page's paint and keeps its marks, its words and where lines end, in page millimetres, y down.

use super::mark::{Mark, Part, Pen, is_near};
use super::trails::{self, Trail};
use super::words::Words;
use hayro_interpret::font::GlyphRun;
use hayro_interpret::hayro_syntax::object::{self, Dict};
use hayro_interpret::{BlendMode, ClipPath, Device, DrawMode, DrawProps, Image, ImageDrawProps, Paint, SoftMask};
use kurbo::{Affine, BezPath, ParamCurve, ParamCurveExtrema, PathEl, PathSeg, Point, Rect, Shape};
use sha2::{Digest, Sha256};
use std::sync::Arc;

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

/// Thrown through hayro, which has no way to stop, when there is no end to a page.
pub(super) enum TooMuch {
    /// It takes too many steps.
    Steps,
    /// It reaches too far.
    Reach,
}

/// The ink of one page.
pub(super) struct Ink<'w> {
    wanted: &'w Wanted,
    clips: Vec<Rect>,
    faded: Vec<bool>,
    steps: usize,
    tags: Vec<Tag>,
    /// Everything that shows, in the order in which it is painted.
    pub marks: Vec<Mark>,
    /// Boxes of white areas painted over what was there, in mm.
    pub whites: Vec<Rect>,
    /// Visible ends of lines and turning points of curves near the places of interest.
    pub ends: Vec<Point>,
    /// Lines that may run past wanted points, each whole, whatever of it shows.
    pub trails: Vec<Trail>,
    /// The page's text.
    pub words: Words,
}

/// What encloses a mark.
enum Tag {
    Figure,
    Span,
    Label,
    Layer(Option<Arc<str>>),
    Other,
}

impl Tag {
    fn of(tag: &[u8], properties: Option<&Dict<'_>>) -> Self {
        let name = |dict: &Dict<'_>| dict.get::<object::String<'_>>(b"Name").map(|name| text(&name));
        match tag {
            b"Figure" => Self::Figure,
            b"Span" => Self::Span,
            b"Lbl" => Self::Label,
            b"OC" => Self::Layer(properties.and_then(name)),
            _ => Self::Other,
        }
    }
}

/// A text string (ISO 32000-1, 7.9.2.2): UTF-16 with its mark, else single bytes, read as Latin-1.
fn text(bytes: &[u8]) -> Arc<str> {
    match bytes {
        [0xFE, 0xFF, pairs @ ..] => {
            let units = pairs.chunks_exact(2).map(|pair| pair.iter().fold(0, |all, byte| (all << 8) | u16::from(*byte)));
            String::from_utf16_lossy(&units.collect::<Vec<u16>>()).into()
        }
        bytes => bytes.iter().copied().map(char::from).collect::<String>().into(),
    }
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
        let (clips, words) = (vec![page], Words::default());
        Self {
            wanted,
            clips,
            faded: Vec::new(),
            steps: 0,
            tags: Vec::new(),
            marks: Vec::new(),
            whites: Vec::new(),
            ends: Vec::new(),
            trails: Vec::new(),
            words,
        }
    }

    fn clip(&self) -> Rect {
        self.clips.last().copied().unwrap_or(Rect::ZERO)
    }

    fn step(&mut self, steps: usize) {
        self.steps = self.steps.saturating_add(steps);
        if self.steps > MAX_STEPS {
            stop(TooMuch::Steps);
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

    fn part(&self) -> Part {
        let within = |wanted: fn(&Tag) -> bool| self.tags.iter().any(wanted);
        match within(|tag| matches!(tag, Tag::Figure)) {
            false => Part::Frame,
            true if within(|tag| matches!(tag, Tag::Span)) => Part::Words,
            true if within(|tag| matches!(tag, Tag::Label)) => Part::Names,
            true => Part::Drawing,
        }
    }

    fn layer(&self) -> Option<Arc<str>> {
        self.tags.iter().rev().find_map(|tag| if let Tag::Layer(name) = tag { name.clone() } else { None })
    }

    /// Keeps a path that reaches into its clip.
    fn mark(&mut self, path: &BezPath, transform: Affine, pen: Pen) {
        let path = Affine::scale(1.0 / UNITS) * transform * path;
        let mark = Mark { part: self.part(), layer: self.layer(), path, pen, clip: self.clip() };
        if mark.reach().overlaps(mark.clip) {
            self.marks.push(mark);
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

/// Ends the reading thread, whose end is caught; unlike `panic!` this prints nothing.
fn stop(why: TooMuch) -> ! {
    std::panic::resume_unwind(Box::new(why))
}

/// Where a curve turns back in x or y: the ends of its width and height.
fn turns(segment: PathSeg) -> impl Iterator<Item = Point> {
    let curved = !matches!(segment, PathSeg::Line(_));
    let turns = if curved { segment.extrema() } else { Default::default() };
    turns.into_iter().map(move |t| segment.eval(t))
}

/// The pen of a paint.
fn pen(props: &DrawProps<'_>, mode: &DrawMode) -> Pen {
    let scale = props.transform.determinant().abs().sqrt() / UNITS;
    let stroke = match mode {
        DrawMode::Stroke(stroke) | DrawMode::FillAndStroke(_, stroke) => Some(stroke),
        DrawMode::Fill(_) | DrawMode::Invisible => None,
    };
    let dashes = stroke.into_iter().flat_map(|stroke| stroke.dash_array.iter().chain([&stroke.dash_offset]));
    let colour = match &props.paint {
        Paint::Color(color) => color.to_rgba().to_rgba8(),
        Paint::Pattern(_) => [0; 4],
    };
    Pen {
        width: stroke.map(|stroke| f64::from(stroke.line_width) * scale),
        dashes: dashes.map(|dash| f64::from(*dash) * scale).collect(),
        colour,
    }
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
        if !is_sound(path) || matches!(mode, DrawMode::Invisible) {
            return;
        }
        if !is_near(path, Affine::scale(1.0 / UNITS) * props.transform) {
            stop(TooMuch::Reach);
        }
        let pen = pen(&props, mode);
        if self.shows(&props.paint) {
            self.add(path, props.transform);
            self.mark(path, props.transform, pen);
        } else if pen.width.is_none() && pen.colour[3] == u8::MAX && !self.marks.is_empty() {
            let area = (Affine::scale(1.0 / UNITS) * props.transform).transform_rect_bbox(path.control_box());
            self.whites.push(area.intersect(self.clip()));
        }
    }

    fn begin_marked_content(&mut self, tag: &[u8], properties: Option<&Dict<'_>>) {
        self.step(1);
        self.tags.push(Tag::of(tag, properties));
    }

    fn end_marked_content(&mut self) {
        self.tags.pop();
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

    fn draw_image(&mut self, image: Image<'a, '_>, props: ImageDrawProps<'a>) {
        self.step(1);
        let Image::Raster(raster) = &image else { return };
        let side = |key: &[u8]| raster.stream().dict().get::<u32>(key).map_or(0.0, f64::from);
        let pixels = Rect::new(0.0, 0.0, side(b"Width"), side(b"Height"));
        let digest = Sha256::digest(raster.stream().raw_data());
        let colour = digest.first_chunk().copied().unwrap_or_default();
        self.mark(&pixels.to_path(1.0), props.transform, Pen { width: None, dashes: Vec::new(), colour });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_layers_are_read_in_either_way_of_writing_them() {
        // ISO 32000-1, 7.9.2.2: two bytes a letter behind the mark FE FF, or one byte a letter.
        assert_eq!(&*text(b"\xFE\xFF\x00p\x00\xE9\x20\x14\xD8\x3D\xDE\x00"), "pé\u{2014}\u{1F600}");
        assert_eq!(&*text(b"pattern \xE9"), "pattern é");
        assert_eq!(&*text(b"\xFE\xFF"), "");
    }

    #[test]
    fn a_curve_turns_where_it_is_widest_and_highest() {
        let bow: PathSeg = kurbo::CubicBez::new((0.0, 0.0), (0.0, 40.0), (40.0, 40.0), (40.0, 0.0)).into();
        let found: Vec<Point> = turns(bow).collect();
        assert!(found.iter().any(|turn| turn.distance(Point::new(20.0, 30.0)) < 1e-9), "{found:?}");
        assert_eq!(turns(kurbo::Line::new((0.0, 0.0), (9.0, 9.0)).into()).count(), 0);
    }

    #[test]
    fn a_path_begins_with_a_move() {
        assert!(is_sound(&BezPath::from_svg("M0 0H9").unwrap()));
        assert!(!is_sound(&BezPath::new()));
    }
}
