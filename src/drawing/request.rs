//! What the drawing step is asked for, and what it may use besides the drawing's own text.

use super::limits::Limits;
use super::traced::Sought;
use crate::diagnostic::Place;
use crate::manifest::{Control, Kit, Places, SizeLayer};

/// What to read from a drawing.
#[derive(Clone, Debug, Default)]
pub struct Request {
    /// The drawing's file, as findings name it.
    pub file: String,
    /// How many user units make one inch, where the manifest states it.
    pub units_per_inch: Option<f64>,
    /// Sizes with their layers, in the kit's order; empty for one size.
    pub sizes: Vec<SizeLayer>,
    /// Layers printed for every size; `None` means every visible layer that no other list names.
    pub base_layers: Option<Vec<String>>,
    /// Layers that never reach paper.
    pub never_printed: Vec<String>,
    /// Lengths to be measured.
    pub controls: Vec<Control>,
    /// Lines to be found for later steps.
    pub sought: Vec<Sought>,
    /// How large it may be.
    pub limits: Limits,
    /// Where all of this stands in the manifest.
    pub places: Places,
}

impl Request {
    /// Everything that a kit asks of its drawing itself; later steps add what they seek.
    pub fn of(kit: &Kit) -> Self {
        Self {
            file: kit.drawing.file.clone(),
            units_per_inch: kit.drawing.units_per_inch,
            sizes: kit.sizes.clone(),
            base_layers: kit.base_layers.clone(),
            never_printed: kit.never_printed.clone(),
            controls: kit.controls.clone(),
            sought: Vec::new(),
            limits: kit.drawing.limits,
            places: kit.places.clone(),
        }
    }

    /// A whole drawing without sizes, lists or measurements.
    pub fn plain(file: impl Into<String>) -> Self {
        Self { file: file.into(), ..Self::default() }
    }

    /// Where the manifest says something; without a manifest, the drawing itself.
    pub(super) fn place(&self, path: &str) -> Place {
        let place = self.places.of_path(path);
        if place.file.is_empty() { Place::file(&self.file) } else { place }
    }
}

/// A font file that a kit brings with it.
#[derive(Clone, Debug)]
pub struct FontFile {
    /// The file, as findings name it.
    pub name: String,
    /// All of it.
    pub bytes: Vec<u8>,
}

/// Files that a drawing may use. Asked from another thread, hence `Sync`.
pub trait Resources: Sync {
    /// The bytes of a picture beneath the kit's folder, or why there are none.
    fn image(&self, href: &str) -> Result<Vec<u8>, String>;
    /// The kit's own font files.
    fn fonts(&self) -> &[FontFile];
}

/// No files at all, for drawings that stand alone.
impl Resources for () {
    fn image(&self, _: &str) -> Result<Vec<u8>, String> {
        Err(words!("no-pictures-can").into())
    }

    fn fonts(&self) -> &[FontFile] {
        &[]
    }
}
