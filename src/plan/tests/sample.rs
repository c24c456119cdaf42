//! Random drawings, kits and papers, built as the values that earlier steps would hand over.

use super::shapes::{Mark, nearest};
use crate::diagnostic::Place;
use crate::drawing::{Clip, Drawing, Fill, Item, Layer, PathShape, Piece, Role, Shape, Stroke};
use crate::manifest::{
    Colour, DrawingSource, Format, GuideTexts, Inking, Joins, Kit, Paper, PaperSetup, Places, Press, Sharing, SizeLayer,
};
use crate::plan::{Layout, layouts};
use crate::units::{Length, Margins, Size};
use kurbo::{BezPath, CubicBez, Point, Rect, Shape as _, Vec2};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use std::sync::Arc;

/// A mark, where it is clipped, and its layer: 0 is the base layer, then come the sizes.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    pub(crate) mark: Mark,
    pub(crate) clip: Option<Rect>,
    pub(crate) layer: usize,
}

impl Drawn {
    /// Whether its ink surely lies inside an area.
    pub(crate) fn surely_on(&self, area: Rect) -> bool {
        self.mark.surely_on(self.clipped(area))
    }

    /// Whether its ink may lie inside an area.
    pub(crate) fn maybe_on(&self, area: Rect) -> bool {
        self.mark.maybe_on(self.clipped(area))
    }

    /// Points with ink after clipping.
    pub(crate) fn points(&self) -> Vec<Point> {
        let shown = |p: &Point| self.clip.is_none_or(|clip| nearest(*p, clip) == *p);
        self.mark.points().into_iter().filter(shown).collect()
    }

    fn clipped(&self, area: Rect) -> Rect {
        self.clip.map_or(area, |clip| area.intersect(clip))
    }

    fn piece(&self, shift: Vec2) -> Piece {
        let place = kurbo::Affine::translate(shift);
        let (path, fill, stroke) = match &self.mark {
            Mark::Bar(from, to, width, dashes) => {
                let style = kurbo::Stroke::new(*width).with_caps(kurbo::Cap::Butt);
                let style = dashes.iter().fold(style, |style, [dash, gap, offset]| style.with_dashes(*offset, [*dash, *gap]));
                (kurbo::Line::new(*from, *to).to_path(0.1), None, Some(style))
            }
            Mark::Bow(curve, width) => (curve.to_path(0.1), None, Some(kurbo::Stroke::new(*width))),
            Mark::Block(corners) => (closed(corners), Some(()), None),
        };
        let fill = fill.map(|()| Fill { colour: Colour::BLACK, opacity: 1.0, even_odd: false });
        let stroke = stroke.map(|style| Stroke { colour: Colour::BLACK, opacity: 1.0, style });
        let path = place * path;
        let clips = self.clip.iter().map(|clip| Arc::new(Clip { path: place * clip.to_path(0.1), even_odd: false })).collect();
        let bounds = self.mark.bounds() + shift;
        let shape = Shape::Path(PathShape { path, fill, stroke, stroke_first: false });
        Piece {
            layer: self.layer,
            name: None,
            bounds,
            items: vec![Item { shape, clips, bounds, origin: Place::file("tote.svg"), letter: None }],
        }
    }
}

fn closed(corners: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (index, corner) in corners.iter().enumerate() {
        if index == 0 { path.move_to(*corner) } else { path.line_to(*corner) }
    }
    path.close_path();
    path
}

/// A drawing with its paper.
#[derive(Clone, Debug)]
pub(crate) struct Sample {
    pub(crate) drawn: Vec<Drawn>,
    pub(crate) sizes: usize,
    pub(crate) setup: PaperSetup,
}

impl Sample {
    /// The drawing, moved.
    pub(crate) fn drawing(&self, shift: Vec2) -> Drawing {
        let base = Layer { name: "pattern".into(), role: Role::Base };
        let sizes = (0..self.sizes).map(|size| Layer { name: format!("size {size}"), role: Role::Size(size) });
        let pieces = self.drawn.iter().map(|drawn| drawn.piece(shift)).collect();
        Drawing {
            size: Size::mm(400.0, 400.0),
            layers: [base].into_iter().chain(sizes).collect(),
            pieces,
            controls: Vec::new(),
            held: None,
            lettering: Vec::new(),
            traced: Vec::new(),
        }
    }

    /// The kit that the drawing belongs to.
    pub(crate) fn kit(&self) -> Kit {
        let sizes =
            (0..self.sizes).map(|size| SizeLayer { name: size.to_string(), layer: format!("size {size}"), shown: true });
        Kit {
            name: "ropewalk-tote".into(),
            title: "Ropewalk tote".into(),
            publisher: "Ploverfield Paper".into(),
            edition: semver::Version::new(1, 0, 0),
            date: jiff::civil::date(2026, 11, 20),
            copyright: "© 2026 Ploverfield Paper".into(),
            logo: None,
            mark_colour: Colour::BLACK,
            source_language: "en".into(),
            languages: vec!["en".into()],
            drawing: DrawingSource { file: "tote.svg".into(), ..DrawingSource::default() },
            blank: None,
            sizes: sizes.collect(),
            base_layers: None,
            never_printed: Vec::new(),
            papers: vec![self.setup.clone()],
            sharing: Sharing::Own,
            joins: Joins::Butt,
            join_error: Length::mm(0.3),
            size_files: false,
            projection: false,
            untranslated: crate::manifest::Untranslated::Mark,
            inking: Inking::default(),
            cloths: Vec::new(),
            seams: Vec::new(),
            controls: Vec::new(),
            fonts: Vec::new(),
            brand_font: None,
            guide: GuideTexts::default(),
            corrections: None,
            review: None,
            places: Places::of("kit.yaml"),
        }
    }

    /// The plan for the drawing, moved.
    pub(crate) fn layout_at(&self, shift: Vec2) -> Layout {
        let (mut layouts, _) = layouts(&self.kit(), &self.drawing(shift));
        layouts.pop().expect("a drawing with ink has a layout")
    }

    /// The plan for the drawing as it is.
    pub(crate) fn layout(&self) -> Layout {
        self.layout_at(Vec2::ZERO)
    }
}

/// Home paper of a size in mm, its margins (top, right, bottom, left), and the border.
pub(crate) fn home(width: f64, height: f64, margins: [f64; 4], border: f64) -> PaperSetup {
    let format = Format::Sheet(Size::mm(width, height));
    let [top, right, bottom, left] = margins.map(Length::mm);
    let paper = Paper { id: "card".into(), title: "Card".into(), format, press: Press::Home };
    PaperSetup {
        paper,
        margins: Margins { top, right, bottom, left },
        border: Length::mm(border),
        glue_edge: Length::mm(border),
        pin: None,
        longest: crate::manifest::LONGEST_FILE,
    }
}

/// How many cases to try, unless `PROPTEST_CASES` asks for another number; past failures are kept, and tried first, below
/// `tests/regressions`.
pub(crate) fn cases(count: u32) -> ProptestConfig {
    let kept = FileFailurePersistence::SourceParallel("tests/regressions");
    let usual = ProptestConfig::default();
    let cases = if std::env::var_os("PROPTEST_CASES").is_some() { usual.cases } else { count };
    ProptestConfig { cases, max_shrink_iters: 150, failure_persistence: Some(Box::new(kept)), ..usual }
}

/// Drawings of any marks on papers of any shape.
pub(crate) fn any_sample() -> impl Strategy<Value = Sample> {
    sample(prop_oneof![bar(300.0, true), bow(), triangle(300.0), block(300.0)].boxed(), 90..=160, 9)
}

/// Small drawings of straight lines and blocks on small papers.
pub(crate) fn small_sample() -> impl Strategy<Value = Sample> {
    sample(prop_oneof![bar(110.0, false), triangle(110.0), block(110.0)].boxed(), 34..=52, 6)
}

fn sample(mark: BoxedStrategy<Mark>, sides: std::ops::RangeInclusive<u32>, most: usize) -> impl Strategy<Value = Sample> {
    let margin = || (0_u32..=8).prop_map(|halves| f64::from(halves) / 2.0);
    let margins = [margin(), margin(), margin(), margin()];
    let paper = (sides.clone(), sides, margins, 0_u32..=2)
        .prop_map(|(width, height, margins, border)| home(width.into(), height.into(), margins, border.into()));
    (0_usize..=3, paper).prop_flat_map(move |(sizes, setup)| {
        let clip = proptest::option::weighted(
            0.3,
            place(300.0).prop_map(|p| Rect::new(p.x - 40.0, p.y - 25.0, p.x + 40.0, p.y + 25.0)),
        );
        let drawn = (mark.clone(), clip, 0..=sizes).prop_map(|(mark, clip, layer)| Drawn {
            // A clip that leaves nothing would make an empty drawing.
            clip: clip.filter(|clip| mark.surely_on(clip.inflate(-0.1, -0.1))),
            mark,
            layer,
        });
        let setup = setup.clone();
        proptest::collection::vec(drawn, 1..=most).prop_map(move |drawn| Sample { drawn, sizes, setup: setup.clone() })
    })
}

/// Places at eighths of a millimetre, so that ink often lies right on the edge of a tile.
fn place(reach: f64) -> impl Strategy<Value = Point> {
    let steps = (reach * 8.0) as u32;
    (0..=steps, 0..=steps).prop_map(|(x, y)| Point::new(f64::from(x) / 8.0, f64::from(y) / 8.0))
}

fn bar(reach: f64, dashed: bool) -> impl Strategy<Value = Mark> {
    let dashes = (proptest::bool::weighted(0.4), [1.0..20.0, 1.0..20.0, 0.0..30.0])
        .prop_map(move |(wished, dashes)| (dashed && wished).then_some(dashes));
    let straight = prop_oneof![Just((true, true)), Just((false, true)), Just((true, false))];
    let ends = (place(reach), place(reach), straight)
        .prop_map(|(a, b, (x, y))| (a, Point::new(if x { b.x } else { a.x }, if y { b.y } else { a.y })));
    let long = ends.prop_filter("a line has a length", |(a, b)| (*b - *a).hypot() > 1.0);
    (long, 0.2..2.0, dashes).prop_map(|((from, to), width, dashes)| {
        // A gap that swallows the whole line would make an empty drawing.
        let dashes = dashes.filter(|[dash, gap, offset]| offset % (dash + gap) < dash - 0.2);
        Mark::Bar(from, to, width, dashes)
    })
}

fn bow() -> impl Strategy<Value = Mark> {
    let reach = 300.0;
    let points = (place(reach), place(reach), place(reach), place(reach));
    (points, 0.2..2.0).prop_map(|((a, b, c, d), width)| Mark::Bow(CubicBez::new(a, b, c, d), width))
}

fn triangle(reach: f64) -> impl Strategy<Value = Mark> {
    let corners = (place(reach), place(reach), place(reach));
    let wide = corners.prop_filter("a triangle has an inside", |(a, b, c)| (*b - *a).cross(*c - *a).abs() > 20.0);
    wide.prop_map(|(a, b, c)| Mark::Block(vec![a, b, c]))
}

fn block(reach: f64) -> impl Strategy<Value = Mark> {
    (place(reach), 1_u32..=60, 1_u32..=60).prop_map(|(at, width, height)| {
        let r = Rect::from_origin_size(at, (f64::from(width), f64::from(height)));
        Mark::Block([(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(Point::from).to_vec())
    })
}
