//! Marks: everything that kitwright adds to a sheet, drawn as scenes in the sheet's own millimetres.

mod check;
mod frame;
mod glue;
mod join;
mod legend;
mod long_check;
mod map;
mod neighbours;
mod note;
mod pens;
mod plate;
mod rule;
mod tongues;

pub use check::check_page;
pub use frame::{assembled_frame, frame, wide_frame};
pub use join::join_marks;
pub use legend::{size_samples, wide_legend};
pub use long_check::long_checks;
pub use map::map_in_words;
pub use neighbours::neighbour_names;
pub use plate::{LOGO, plate};
