//! The key of a job: everything that the files of one language are made from, so that each is pressed only if any of it has changed.

use super::{Artwork, Job};
use crate::drawing::{items_keyed, pixels_keyed};
use crate::files::Key;

impl Job<'_> {
    /// Takes all that is pressed into a key. The forms are left out: they are the drawing once more.
    #[must_use]
    pub fn keyed(&self, key: Key) -> Key {
        let Self { kit, drawing, ground, forms: _, messages, others, faces, logo } = self;
        let key = drawing.keyed(key.value(kit).value(messages).value(others));
        let apart = !std::ptr::eq(*drawing, *ground);
        let key = if apart { ground.keyed(key.value(&apart)) } else { key.value(&apart) };
        let key = faces.keyed(key.value(&logo.is_some()));
        logo.map_or(key.clone(), |logo| logo.keyed(key))
    }
}

impl Artwork {
    fn keyed(&self, key: Key) -> Key {
        match self {
            Self::Vector(items, bounds) => items_keyed(items, key.value(bounds)),
            Self::Raster(pixels) => pixels_keyed(pixels, key),
        }
    }
}
