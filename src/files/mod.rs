//! The disk: reading with limits, writing whole or not at all; every failure names its path.

mod read;
mod write;

pub use read::{below, read, read_text};
pub use write::{create_folder, replace, write_new};
