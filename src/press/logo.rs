//! The publisher's logo, from an SVG, PNG or JPEG: vector stays vector.

use super::scene::{Inked, Picture, Scene};
use super::svg::Svg;
use crate::diagnostic::{Diagnostic, Severity};
use crate::drawing::{self, Item, PathShape, Pixels, Request, Shape};
use kurbo::{Affine, Rect, Vec2};
use std::sync::Arc;

/// A logo ready to be set.
#[derive(Clone, Debug)]
pub enum Artwork {
    /// Paths, with the box around them in their own units.
    Vector(Vec<Item>, Rect),
    /// Pixels.
    Raster(Arc<Pixels>),
}

impl Artwork {
    /// Artwork from a file's bytes; what they are decides, not the name.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Diagnostic> {
        let unreadable = |why: &str| {
            let finding = Diagnostic::error("logo-unreadable", format!("the logo `{name}` cannot be used: {why}"));
            finding.hint("give an SVG with flat colours, a PNG or a JPEG")
        };
        if !bytes.trim_ascii_start().starts_with(b"<") && !bytes.starts_with(b"\xef\xbb\xbf") {
            let pixels = drawing::picture(bytes).map_err(|finding| unreadable(&finding.message))?;
            return Ok(Self::Raster(Arc::new(pixels)));
        }
        // A logo has no true size of its own: any unit will do.
        let request = Request { units_per_inch: Some(96.0), ..Request::plain(name) };
        let (artwork, findings) = drawing::read(bytes, &request, &());
        if let Some(finding) = findings.iter().find(|finding| finding.severity == Severity::Error) {
            return Err(unreadable(&finding.message));
        }
        let pieces = artwork.map(|drawing| drawing.pieces).unwrap_or_default();
        let bounds = pieces.iter().map(|piece| piece.bounds).reduce(|a, b| a.union(b));
        let bounds = bounds.ok_or_else(|| unreadable("there is nothing to be seen in it"))?;
        Ok(Self::Vector(pieces.into_iter().flat_map(|piece| piece.items).collect(), bounds))
    }

    /// The artwork as markup for a page: an inline SVG, named `name`; pixels become a PNG within it.
    pub fn markup(&self, name: &str) -> Result<String, Diagnostic> {
        let mut scene = Scene::default();
        let place = match self {
            Self::Vector(_, bounds) => Rect::from_origin_size((0.0, 0.0), bounds.size()),
            Self::Raster(pixels) => Rect::new(0.0, 0.0, f64::from(pixels.width), f64::from(pixels.height)),
        };
        self.set(&mut scene, place);
        let written = Svg::open_inline(place, name).and_then(|mut svg| {
            svg.artwork(&scene, Vec2::ZERO)?;
            svg.close()
        });
        let failed = |error: std::io::Error| Diagnostic::error("bug-svg", format!("the logo could not be written: {error}"));
        written.map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).map_err(failed)
    }

    /// Sets the artwork into the bottom right of a box, as large as fits, and gives the width it took, in mm.
    pub(super) fn set(&self, scene: &mut Scene, place: Rect) -> f64 {
        let own = match self {
            Self::Vector(_, bounds) => *bounds,
            Self::Raster(pixels) => Rect::new(0.0, 0.0, f64::from(pixels.width), f64::from(pixels.height)),
        };
        let scale = (place.width() / own.width()).min(place.height() / own.height());
        if !scale.is_finite() || scale <= 0.0 {
            return 0.0;
        }
        let (width, height) = (own.width() * scale, own.height() * scale);
        let corner = Vec2::new(place.x1 - width, place.y1 - height);
        let placement = Affine::translate(corner) * Affine::scale(scale) * Affine::translate(-own.origin().to_vec2());
        match self {
            Self::Vector(items, _) => items.iter().for_each(|item| paint(scene, item, placement, scale)),
            Self::Raster(pixels) => {
                let placement = placement * Affine::scale_non_uniform(own.width(), own.height());
                scene.pictures.push(Picture { pixels: Arc::clone(pixels), placement });
            }
        }
        width
    }
}

fn paint(scene: &mut Scene, item: &Item, placement: Affine, scale: f64) {
    match &item.shape {
        Shape::Path(PathShape { path, fill, stroke, .. }) => {
            let line = stroke.as_ref().map(|stroke| {
                let mut style = stroke.style.clone();
                style.width *= scale;
                style.dash_offset *= scale;
                style.dash_pattern.iter_mut().for_each(|dash| *dash *= scale);
                (stroke.colour, style)
            });
            scene.strokes.push(Inked {
                path: placement * path,
                fill: fill.map(|fill| fill.colour),
                even_odd: fill.is_some_and(|fill| fill.even_odd),
                line,
            });
        }
        Shape::Image(image) => {
            scene.pictures.push(Picture { pixels: Arc::clone(&image.pixels), placement: placement * image.placement });
        }
    }
}
