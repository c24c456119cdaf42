//! Marks: everything that kitwright adds to a sheet, drawn as scenes in the sheet's own millimetres.

mod check;
mod frame;
mod join;
mod long_check;
mod map;
mod pens;
mod plate;
mod rule;
mod tongues;

pub use check::check_page;
pub use frame::{frame, wide_frame};
pub use join::join_marks;
pub use long_check::long_checks;
pub use plate::{LOGO, plate};
