//! Keys of a drawing: what of it any later step sees, fast enough to be asked for with every build.

use super::model::{Clip, Drawing, ImageShape, Item, PathShape, Piece, Pixels, Shape};
use crate::files::Key;
use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use std::sync::Arc;

impl Drawing {
    /// Takes the drawing's ink into a key: all that plan and press look at. Where an item stands in the file is left out, as are
    /// measurements and words, which never reach a sheet: one line more in the file need not move all others.
    #[must_use]
    pub fn keyed(&self, key: Key) -> Key {
        let Self { size: _, layers, pieces, controls: _, held: _, lettering: _, traced: _ } = self;
        let key = key.value(layers).value(&pieces.len());
        pieces.iter().fold(key, |key, Piece { layer, name, bounds, items }| {
            items_keyed(items, rect_keyed(bounds, key.value(&(layer, name))))
        })
    }
}

/// Takes items into a key.
#[must_use]
pub fn items_keyed(items: &[Item], key: Key) -> Key {
    items.iter().fold(key.value(&items.len()), |key, Item { shape, clips, bounds, origin: _, letter }| {
        let key = rect_keyed(bounds, key.value(&(letter, clips.len())));
        shape_keyed(shape, clips.iter().fold(key, clip_keyed))
    })
}

/// Takes pixels into a key.
#[must_use]
pub fn pixels_keyed(Pixels { width, height, rgb, alpha }: &Pixels, key: Key) -> Key {
    key.value(&(width, height, alpha.is_some())).bytes(rgb).bytes(alpha.as_deref().unwrap_or_default())
}

fn clip_keyed(key: Key, clip: &Arc<Clip>) -> Key {
    let Clip { path, even_odd } = clip.as_ref();
    path_keyed(path, key.value(even_odd))
}

fn shape_keyed(shape: &Shape, key: Key) -> Key {
    match shape {
        Shape::Path(PathShape { path, fill, stroke, stroke_first }) => {
            path_keyed(path, key.value(&(fill, stroke, stroke_first)))
        }
        Shape::Image(ImageShape { pixels, placement, opacity }) => {
            pixels_keyed(pixels, affine_keyed(*placement, key).bytes(&opacity.to_le_bytes()))
        }
    }
}

fn rect_keyed(rect: &Rect, key: Key) -> Key {
    numbers_keyed(&[rect.x0, rect.y0, rect.x1, rect.y1], key)
}

fn affine_keyed(affine: Affine, key: Key) -> Key {
    numbers_keyed(&affine.as_coeffs(), key)
}

fn numbers_keyed(numbers: &[f64], key: Key) -> Key {
    key.bytes(&numbers.iter().flat_map(|number| number.to_le_bytes()).collect::<Vec<u8>>())
}

/// A path as bytes: paths are nearly all of a drawing, and their numbers would take long to write.
fn path_keyed(path: &BezPath, key: Key) -> Key {
    let mut bytes = Vec::with_capacity(path.elements().len() * 49);
    let mut put = |kind: u8, points: &[Point]| {
        bytes.push(kind);
        bytes.extend(points.iter().flat_map(|point| [point.x, point.y]).flat_map(f64::to_le_bytes));
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(a) => put(0, &[a]),
            PathEl::LineTo(a) => put(1, &[a]),
            PathEl::QuadTo(a, b) => put(2, &[a, b]),
            PathEl::CurveTo(a, b, c) => put(3, &[a, b, c]),
            PathEl::ClosePath => put(4, &[]),
        }
    }
    key.bytes(&bytes)
}
