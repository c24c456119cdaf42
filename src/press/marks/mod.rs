//! Marks: everything that kitwright adds to a sheet, drawn as scenes in the sheet's own millimetres.

mod check;
mod frame;
mod join;
mod map;
mod pens;
mod plate;
mod rule;

pub use check::check_page;
pub use frame::{frame, wide_frame};
pub use join::join_marks;
pub use plate::plate;
