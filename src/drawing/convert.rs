//! From the SVG library's tree to a drawing on paper: transforms applied in f64, layer by layer, piece by piece.

use super::clips::{self, affine, bez_path};
use super::cores;
use super::fonts::{self, Choice};
use super::geometry::Geometry;
use super::layers::Layers;
use super::lettering;
use super::model::{Clip, Fill, ImageShape, Item, Letter, Lettering, Piece, Shape, Stroke};
use super::outline::Outline;
use super::painted::Painted;
use super::pictures::{self, Refused};
use super::pieces::Pieces;
use super::source::Source;
use super::splice::Spliced;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::manifest::Colour;
use kurbo::{Affine, BezPath, Cap, Join, Rect, Shape as _};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::Arc;
use usvg::{BlendMode, FillRule, Group, ImageKind, Node, Paint, PaintOrder, Text};

/// What the conversion knows of the drawing.
pub struct Known<'a> {
    /// The user's text.
    pub source: &'a Source<'a>,
    /// Its elements.
    pub outline: &'a Outline<'a>,
    /// What the SVG library read.
    pub spliced: &'a Spliced,
    /// The shapes' own geometry.
    pub geometry: &'a Geometry,
    /// Which element belongs to which layer.
    pub layers: &'a Layers,
    /// Pictures that cannot be had.
    pub refused: &'a Refused,
    /// The kit's fonts.
    pub fonts: &'a usvg::fontdb::Database,
    /// The drawing's page in mm.
    pub page: Rect,
}

impl Known<'_> {
    /// A path in its own units: exact if its element is known, else as the SVG library has it.
    fn local(&self, path: &usvg::Path) -> Cow<'_, BezPath> {
        let own = self.spliced.element(self.outline, path.id()).and_then(|element| self.geometry.of(element));
        own.map_or_else(|| Cow::Owned(bez_path(path.data())), Cow::Borrowed)
    }
}

/// What the conversion gives.
pub struct Converted {
    /// Everything printed, in paint order.
    pub pieces: Vec<Piece>,
    /// Elements that the SVG library kept, whether printed or not.
    pub seen: BTreeSet<usize>,
    /// Printed words.
    pub lettering: Vec<Lettering>,
}

/// Converts the whole tree.
pub fn convert(tree: &usvg::Tree, known: &Known, findings: &mut Findings) -> Converted {
    let mut converter = Converter {
        known,
        findings,
        told: BTreeSet::new(),
        pieces: Pieces::default(),
        seen: BTreeSet::new(),
        waiting: Vec::new(),
        outside: Vec::new(),
        lettering: Vec::new(),
    };
    let top = Context { to_paper: Affine::IDENTITY, element: 0, opacity: 1.0, clips: Vec::new(), letter: None };
    converter.group(tree.root(), &top);
    converter.draw();
    converter.report_outside();
    Converted { pieces: converter.pieces.finish(), seen: converter.seen, lettering: converter.lettering }
}

/// What a group hands down.
#[derive(Clone)]
struct Context {
    to_paper: Affine,
    element: usize,
    opacity: f64,
    clips: Vec<Arc<Clip>>,
    letter: Option<Letter>,
}

/// Something painted, with what is around it.
struct Waiting<'a> {
    paint: Painted<'a>,
    around: Context,
}

struct Converter<'a> {
    known: &'a Known<'a>,
    findings: &'a mut Findings,
    /// Codes already told of an element.
    told: BTreeSet<(usize, &'static str)>,
    pieces: Pieces,
    seen: BTreeSet<usize>,
    /// In paint order.
    waiting: Vec<Waiting<'a>>,
    outside: Vec<usize>,
    lettering: Vec<Lettering>,
}

impl Converter<'_> {
    fn place(&self, element: usize) -> Place {
        let start = self.known.outline.elements.get(element).map_or(0, |element| element.start);
        self.known.source.place(start).element(self.known.outline.name_of(element))
    }

    /// Tells a finding once an element, and only of what would be printed.
    fn tell(&mut self, element: usize, finding: Diagnostic) {
        if self.known.layers.printed(element).is_some() && self.told.insert((element, finding.code)) {
            let place = self.place(element);
            self.findings.push(finding.at(place));
        }
    }

    /// The user's element behind a node; nodes inside a clone belong to the clone.
    fn element(&mut self, id: &str, around: usize) -> usize {
        let element = self.known.spliced.element(self.known.outline, id);
        if let Some(element) = element {
            self.seen.insert(element);
        }
        element.unwrap_or(around)
    }

    fn group(&mut self, group: &Group, around: &Context) {
        let mut inner = around.clone();
        inner.element = self.element(group.id(), around.element);
        // The group's own transform, not the library's absolute one: that was multiplied in f32.
        inner.to_paper = around.to_paper * affine(group.transform());
        inner.opacity *= f64::from(group.opacity().get());
        // An element with a filter or mask of its own comes wrapped in a group that has no name.
        let asking = self.known.spliced.element(self.known.outline, group.id()).or_else(|| self.wrapped(group));
        self.refuse(group, asking.unwrap_or(inner.element));
        if let Some(clip) = group.clip_path() {
            match clips::clips(clip, inner.to_paper, &|path| self.known.local(path).into_owned()) {
                Ok(more) => inner.clips.extend(more),
                Err(clips::TooMixed) => {
                    self.tell(inner.element, error!("unsupported-clip"));
                }
            }
        }
        if group.opacity().get() < 1.0 && overlapping(group) {
            self.tell(inner.element, warning!("opacity-group"));
        }
        for node in group.children() {
            self.node(node, &inner);
        }
    }

    /// The user's element that a nameless group stands around, if it is a single one.
    fn wrapped(&self, group: &Group) -> Option<usize> {
        match group.children() {
            [Node::Group(inner)] if inner.id().is_empty() => self.wrapped(inner),
            [only] => self.known.spliced.element(self.known.outline, only.id()),
            _ => None,
        }
    }

    /// What a group may ask for that paper cannot show.
    fn refuse(&mut self, group: &Group, element: usize) {
        let faults = [
            (!group.filters().is_empty()).then(|| error!("unsupported-filter")),
            group.mask().map(|_| error!("unsupported-mask")),
            (group.blend_mode() != BlendMode::Normal).then(|| error!("unsupported-blend")),
        ];
        faults.into_iter().flatten().for_each(|finding| self.tell(element, finding));
    }

    fn node(&mut self, node: &Node, around: &Context) {
        match node {
            Node::Group(group) => self.group(group, around),
            Node::Path(path) => {
                let element = self.element(path.id(), around.element);
                if path.is_visible() {
                    self.path(path, Context { element, ..around.clone() });
                }
            }
            Node::Image(picture) => {
                let element = self.element(picture.id(), around.element);
                if picture.is_visible() {
                    self.picture(picture, Context { element, ..around.clone() });
                }
            }
            Node::Text(text) => {
                let element = self.element(text.id(), around.element);
                self.words(text, element);
                if self.known.layers.printed(element).is_some() {
                    self.lettering.extend(lettering::of(text, around.to_paper, &self.place(element)));
                }
                self.group(text.flattened(), &Context { element, letter: Some(Letter::Words), ..around.clone() });
            }
        }
    }

    fn path(&mut self, path: &usvg::Path, around: Context) {
        if self.known.layers.printed(around.element).is_none() {
            return;
        }
        let opacity = |own: usvg::Opacity| f64::from(own.get()) * around.opacity;
        let fill = path.fill().and_then(|fill| {
            let colour = self.colour(fill.paint(), around.element)?;
            Some(Fill { colour, opacity: opacity(fill.opacity()), even_odd: fill.rule() == FillRule::EvenOdd })
        });
        let stroke = path.stroke().and_then(|stroke| {
            let colour = self.colour(stroke.paint(), around.element)?;
            Some(Stroke { colour, opacity: opacity(stroke.opacity()), style: self.line(stroke, around.element) })
        });
        // Invisible ink would still claim sheets of paper.
        let fill = fill.filter(|fill| fill.opacity > 0.0);
        let stroke = stroke.filter(|stroke| stroke.opacity > 0.0);
        let stroke_first = path.paint_order() == PaintOrder::StrokeAndFill;
        let paint = Painted::Path { local: self.known.local(path), fill, stroke, stroke_first };
        self.waiting.push(Waiting { paint, around });
    }

    /// Brings everything painted to paper, on all cores, and takes it in its order.
    fn draw(&mut self) {
        let waiting = std::mem::take(&mut self.waiting);
        let shapes = cores::map(&waiting, |_, one| one.paint.shapes(one.around.to_paper));
        for (Waiting { around, .. }, shapes) in waiting.iter().zip(shapes) {
            shapes.into_iter().for_each(|(shape, bounds)| self.item(shape, bounds, around));
        }
    }

    fn colour(&mut self, paint: &Paint, element: usize) -> Option<Colour> {
        let what = match paint {
            Paint::Color(c) => return Some(Colour { red: c.red, green: c.green, blue: c.blue }),
            Paint::LinearGradient(_) | Paint::RadialGradient(_) => words!("a-gradient"),
            Paint::Pattern(_) => words!("a-pattern"),
        };
        self.tell(element, error!("unsupported-paint", what));
        None
    }

    /// A line's style, in the path's own units.
    fn line(&mut self, stroke: &usvg::Stroke, element: usize) -> kurbo::Stroke {
        let join = match stroke.linejoin() {
            usvg::LineJoin::Miter => Join::Miter,
            usvg::LineJoin::Round => Join::Round,
            usvg::LineJoin::Bevel => Join::Bevel,
            usvg::LineJoin::MiterClip => {
                self.tell(element, error!("unsupported-paint/join"));
                Join::Miter
            }
        };
        let cap = match stroke.linecap() {
            usvg::LineCap::Butt => Cap::Butt,
            usvg::LineCap::Round => Cap::Round,
            usvg::LineCap::Square => Cap::Square,
        };
        let line = kurbo::Stroke::new(f64::from(stroke.width().get())).with_join(join).with_caps(cap);
        let line = line.with_miter_limit(f64::from(stroke.miterlimit().get()));
        match stroke.dasharray() {
            Some(dashes) => line.with_dashes(f64::from(stroke.dashoffset()), dashes.iter().map(|dash| f64::from(*dash))),
            None => line,
        }
    }

    fn picture(&mut self, picture: &usvg::Image, around: Context) {
        let (ImageKind::PNG(bytes) | ImageKind::JPEG(bytes) | ImageKind::GIF(bytes) | ImageKind::WEBP(bytes)) = picture.kind()
        else {
            return;
        };
        if self.known.layers.printed(around.element).is_none() {
            return;
        }
        let pixels = match self.known.refused.reason(bytes).map_or_else(|| pictures::picture(bytes), Err) {
            Ok(pixels) => pixels,
            Err(finding) => return self.tell(around.element, finding),
        };
        // The library's group around a picture maps its pixels, so the unit square is one step more.
        let size = picture.size();
        let unit = Affine::scale_non_uniform(f64::from(size.width()), f64::from(size.height()));
        let placement = around.to_paper * unit;
        let picture = ImageShape { pixels: Arc::new(pixels), placement, opacity: around.opacity };
        self.waiting.push(Waiting { paint: Painted::Picture(picture), around });
    }

    /// Looks for fonts and glyphs that are not there.
    fn words(&mut self, text: &Text, element: usize) {
        for chunk in text.chunks() {
            for span in chunk.spans() {
                let words = chunk.text().get(span.start()..span.end()).unwrap_or_default();
                let choice = fonts::choose(span.font(), self.known.fonts);
                if let Some(finding) = fonts::missing(&choice, words, self.known.fonts) {
                    self.tell(element, finding);
                }
                // With a stand-in font, missing glyphs would be false findings.
                if !matches!(choice, Choice::Found(_)) {
                    return;
                }
            }
        }
        let all: String = text.chunks().iter().map(|chunk| chunk.text()).collect();
        // Glyph 0 is the box that stands for a missing one (OpenType, "glyf" table: `.notdef`).
        let glyphs = text.layouted().iter().flat_map(|span| &span.positioned_glyphs);
        if let Some(glyph) = glyphs.into_iter().find(|glyph| glyph.id.0 == 0) {
            self.tell(element, fonts::no_glyph(&glyph.text, &all));
        }
    }

    /// Puts one painted thing into its layer and piece.
    fn item(&mut self, shape: Shape, inked: Rect, around: &Context) {
        let Some(layer) = self.known.layers.printed(around.element) else { return };
        // A clip around the whole item changes nothing, and nested viewports make many of those.
        let cuts = around.clips.iter().filter(|clip| clips::rectangle(clip).is_none_or(|rect| !rect.contains_rect(inked)));
        let clips: Vec<Arc<Clip>> = cuts.cloned().collect();
        let bounds = clips.iter().try_fold(inked, |bounds, clip| meet(bounds, clip.path.bounding_box()));
        let Some(bounds) = bounds.filter(|bounds| bounds.is_finite()) else { return };
        // What lies off the page in the editor was left there, but it is not dropped without a word.
        if meet(bounds, self.known.page).is_none() {
            self.outside.push(around.element);
            return;
        }
        let group = self.known.layers.pieces.get(around.element).copied().flatten();
        let name = |group: usize| self.known.outline.elements.get(group)?.visible_name().map(|name| name.into_owned());
        let group = group.map(|group| (group, name(group)));
        let item = Item { shape, clips, bounds, origin: self.place(around.element), letter: around.letter };
        self.pieces.push(layer, group, item);
    }

    fn report_outside(&mut self) {
        if let Some(first) = self.outside.first().copied() {
            let count = crate::diagnostic::counted(self.outside.len(), "item");
            let place = self.place(first);
            self.findings.push(warning!("outside-page", count).at(place));
        }
    }
}

/// Where two boxes meet, a shared edge included, as flat lines have flat boxes.
fn meet(one: Rect, other: Rect) -> Option<Rect> {
    let both = Rect::new(one.x0.max(other.x0), one.y0.max(other.y0), one.x1.min(other.x1), one.y1.min(other.y1));
    (both.x0 <= both.x1 && both.y0 <= both.y1).then_some(both)
}

/// Whether parts of a group lie over each other, by their boxes.
fn overlapping(group: &Group) -> bool {
    let boxes: Vec<usvg::Rect> = group.children().iter().map(Node::abs_stroke_bounding_box).collect();
    let meets = |a: &usvg::Rect, b: &usvg::Rect| {
        a.left() < b.right() && b.left() < a.right() && a.top() < b.bottom() && b.top() < a.bottom()
    };
    match group.children() {
        [Node::Group(only)] => overlapping(only),
        _ => boxes.iter().take(500).enumerate().any(|(i, one)| boxes.iter().skip(i + 1).any(|other| meets(one, other))),
    }
}

#[cfg(test)]
mod tests;
