//! The key of faces: the bytes of each font, in the order of preference.

use super::Faces;
use crate::files::Key;

impl Faces {
    /// Takes all fonts into a key. What else is known of a font was read from its bytes.
    #[must_use]
    pub fn keyed(&self, key: Key) -> Key {
        let Self { fonts, brand } = self;
        fonts.iter().fold(key.value(brand), |key, font| key.value(&font.file).bytes(font.bytes()))
    }
}
