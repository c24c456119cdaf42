//! The disk: reading with limits, writing whole or not at all; every failure names its path.

// The one place that may touch the disk.
#![allow(clippy::disallowed_methods)]

mod fonts;
mod key;
mod read;
mod sources;
#[cfg(test)]
mod tests;
mod write;

pub use fonts::{fonts_in, system_font_folders};
pub use key::Key;
pub use read::{below, read, read_text, reason};
pub use sources::SourceFolder;
pub use write::{create_folder, remove_from, replace, replace_all, replace_soon, write_new};
