//! The publisher's logo, from an SVG, PNG or JPEG: vector stays vector.

use super::scene::{Inked, Picture, Scene};
use crate::drawing::{Item, PathShape, Pixels, Shape};
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
            scene.strokes.push(Inked { path: placement * path, fill: fill.map(|fill| fill.colour), line });
        }
        Shape::Image(image) => {
            scene.pictures.push(Picture { pixels: Arc::clone(&image.pixels), placement: placement * image.placement });
        }
    }
}
