//! Pictures for the proof: every page of every paper as inline SVG, all drawn from one store, so that nothing is written twice.

use super::faces::Faces;
use super::pdf::{Page, View};
use super::scene::{Anchor, Inked, Picture, Scene, Words};
use super::svg::{Svg, number};
use super::{Job, home, names, wide};
use crate::diagnostic::Diagnostic;
use crate::drawing::{Drawing, Item, PathShape, Role, Shape};
use crate::manifest::{Press, SizeNames};
use crate::plan::Layout;
use kurbo::{BezPath, PathEl, Point, Vec2};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::io;

/// The pictures of all pages.
#[derive(Clone, Debug, Default)]
pub struct ProofPictures {
    /// What they are drawn from, to stand once on the page inside of an `svg`. The lines of a size are of the class `s` and the
    /// size's number, from 0.
    pub store: String,
    /// What stands inside each page's `svg`, in mm of the sheet; one list a layout, in the order of its pages.
    pub pages: Vec<Vec<String>>,
}

/// Draws all pages of all layouts.
pub fn proof_pictures(job: &Job, layouts: &[Layout]) -> Result<ProofPictures, Diagnostic> {
    drawn(job, layouts).map_err(|error| error!("bug-svg/picture", error))
}

fn drawn(job: &Job, layouts: &[Layout]) -> io::Result<ProofPictures> {
    let mut store = Store { svg: Svg::fragment(), ids: BTreeMap::new() };
    for (index, piece) in job.drawing.pieces.iter().enumerate() {
        store.items(&format!("p{index}"), job.drawing, piece.layer, &piece.items)?;
    }
    let mut all = Vec::new();
    for (index, layout) in layouts.iter().enumerate() {
        let named = store.names(job, layout, index)?;
        let pages: Vec<String> =
            pages(job, layout).into_iter().map(|page| store.page(&page, &named, job.faces)).collect::<io::Result<_>>()?;
        all.push(pages);
    }
    Ok(ProofPictures { store: store.svg.into_text()?, pages: all })
}

/// The pages as they are pressed, without names of sizes along the lines.
fn pages(job: &Job, layout: &Layout) -> Vec<Page> {
    let sheets = (0..layout.sheets.len()).into_par_iter();
    match layout.setup.paper.press {
        Press::Home => {
            let sheets: Vec<Page> = sheets.map(|sheet| home::page(job, layout, sheet)).collect();
            [home::check(job, layout)].into_iter().chain(sheets).collect()
        }
        Press::Wide => sheets.map(|sheet| wide::page(job, layout, sheet)).collect(),
    }
}

/// Everything that is drawn more than once.
struct Store {
    svg: Svg,
    /// Number of each mark, by its markup.
    ids: BTreeMap<String, usize>,
}

impl Store {
    /// Puts some items in, as one that can be called by its id.
    fn items(&mut self, id: &str, drawing: &Drawing, layer: usize, items: &[Item]) -> io::Result<()> {
        let class = match drawing.layers.get(layer).map(|layer| layer.role) {
            Some(Role::Size(size)) => format!("s{size}"),
            _ => String::new(),
        };
        let attributes = [("id", id), ("class", class.as_str())];
        self.svg.group(if class.is_empty() { &attributes[..1] } else { &attributes[..] })?;
        items.iter().try_for_each(|item| self.svg.item(item, Vec2::ZERO))?;
        self.svg.close_layer()
    }

    /// Puts in the names of sizes that a layout sets along the lines; gives the ids of those beside each piece.
    fn names(&mut self, job: &Job, layout: &Layout, number: usize) -> io::Result<BTreeMap<usize, String>> {
        if job.kit.inking.size_names == SizeNames::AsDrawn || job.kit.sizes.is_empty() {
            return Ok(BTreeMap::new());
        }
        let with_names = names::named(job, layout);
        let mut ids = BTreeMap::new();
        for (index, (piece, plain)) in with_names.pieces.iter().zip(&job.drawing.pieces).enumerate() {
            let Some(added) = piece.items.get(plain.items.len()..).filter(|added| !added.is_empty()) else { continue };
            let id = format!("n{number}-{index}");
            let added: Vec<Item> = added.iter().map(coarse_item).collect();
            self.items(&id, job.drawing, piece.layer, &added)?;
            ids.insert(index, id);
        }
        Ok(ids)
    }

    fn page(&mut self, page: &Page, named: &BTreeMap<usize, String>, faces: &Faces) -> io::Result<String> {
        let drawing = page.drawing.as_ref().map(|view| part(view, named)).unwrap_or_default();
        Ok(drawing + &self.scene(&page.marks, faces)?)
    }

    /// Marks in their places; lines that follow each other with the same paint are drawn as one.
    fn scene(&mut self, scene: &Scene, faces: &Faces) -> io::Result<String> {
        let mut uses = String::new();
        let alike = |a: &Inked, b: &Inked| a.fill.is_none() && b.fill.is_none() && same_line(a, b);
        for run in scene.strokes.chunk_by(alike) {
            let Some(first) = run.first() else { continue };
            let path = run.iter().flat_map(|inked| inked.path.iter()).collect();
            uses += &self.mark(&Inked { path, ..first.clone() })?;
        }
        for picture in &scene.pictures {
            uses += &self.picture(picture)?;
        }
        for words in &scene.words {
            uses += &self.words(words, faces)?;
        }
        Ok(uses)
    }

    fn mark(&mut self, inked: &Inked) -> io::Result<String> {
        let at = start(&inked.path);
        let markup = written(|svg| svg.inked(inked, -at.to_vec2()))?;
        self.used(markup, at)
    }

    fn picture(&mut self, picture: &Picture) -> io::Result<String> {
        let at = picture.placement.translation();
        let home = Picture { placement: picture.placement.with_translation(Vec2::ZERO), ..picture.clone() };
        let markup = written(|svg| svg.picture(&home, Vec2::ZERO))?;
        self.used(markup, at.to_point())
    }

    /// Words are drawn as outlines, with the kit's own fonts; the page says what is on a sheet in its own words.
    fn words(&mut self, words: &Words, faces: &Faces) -> io::Result<String> {
        let at = faces.place(words).at;
        let home = Words { at: Point::ORIGIN, anchor: Anchor::Start, ..words.clone() };
        let markup = written(|svg| svg.letters(&coarse(&faces.outlines(&home)), home.colour))?;
        self.used(markup, at)
    }

    /// A call of some markup, which is put into the store if it is not there yet.
    fn used(&mut self, markup: String, at: Point) -> io::Result<String> {
        let next = self.ids.len();
        let id = match self.ids.get(&markup) {
            Some(id) => *id,
            None => {
                let id = format!("m{next}");
                self.svg.group(&[("id", id.as_str())])?;
                self.svg.raw(&markup);
                self.svg.close_layer()?;
                self.ids.insert(markup, next);
                next
            }
        };
        Ok(format!("<use href=\"#m{id}\" x=\"{}\" y=\"{}\"/>", number(at.x), number(at.y)))
    }
}

/// The pieces of the drawing on a page, cut to their rectangle.
fn part(view: &View, named: &BTreeMap<usize, String>) -> String {
    let (clip, from) = (view.clip, view.clip.origin() - view.shift);
    let (x, y, w, h) = (number(clip.x0), number(clip.y0), number(clip.width()), number(clip.height()));
    let frame = format!("{} {} {w} {h}", number(from.x), number(from.y));
    let piece = |index: &usize| {
        let name = named.get(index).map(|id| format!("<use href=\"#{id}\"/>")).unwrap_or_default();
        format!("<use href=\"#p{index}\"/>{name}")
    };
    let pieces: String = view.pieces.iter().map(piece).collect();
    format!("<svg x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" viewBox=\"{frame}\">{pieces}</svg>")
}

/// Letters to a hundredth of a millimetre: more shows on no screen, and makes up half of the page.
fn coarse(path: &BezPath) -> BezPath {
    let near = |p: Point| Point::new((p.x * 100.0).round() / 100.0, (p.y * 100.0).round() / 100.0);
    let element = |element: PathEl| match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(near(p)),
        PathEl::LineTo(p) => PathEl::LineTo(near(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(near(a), near(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(near(a), near(b), near(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    };
    path.iter().map(element).collect()
}

fn coarse_item(item: &Item) -> Item {
    match &item.shape {
        Shape::Path(shape) => {
            let shape = Shape::Path(PathShape { path: coarse(&shape.path), ..shape.clone() });
            Item { shape, ..item.clone() }
        }
        Shape::Image(_) => item.clone(),
    }
}

fn start(path: &BezPath) -> Point {
    path.elements().first().and_then(PathEl::end_point).unwrap_or_default()
}

fn same_line(a: &Inked, b: &Inked) -> bool {
    match (&a.line, &b.line) {
        (Some((one, line)), Some((other, next))) => {
            let ends = |stroke: &kurbo::Stroke| (stroke.start_cap, stroke.end_cap, stroke.join);
            let dashes = |stroke: &kurbo::Stroke| (stroke.dash_pattern.to_vec(), stroke.dash_offset);
            one == other && line.width == next.width && ends(line) == ends(next) && dashes(line) == dashes(next)
        }
        _ => false,
    }
}

fn written(draw: impl FnOnce(&mut Svg) -> io::Result<()>) -> io::Result<String> {
    let mut svg = Svg::fragment();
    draw(&mut svg)?;
    svg.into_text()
}
