//! The plan: which tile of the drawing goes on which sheet; pure geometry, no file format, no words, no colour.

mod layout;

pub use layout::{Join, Layout, Plate, PlateForm, Sheet, SizeSheets};
