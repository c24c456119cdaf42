//! Properties that every plan must have, tried on random drawings whose ink is known in a second way.

mod chosen;
mod fewest;
mod marks;
mod parts;
mod rolls;
mod same;
pub(crate) mod sample;
pub(crate) mod shapes;
mod small;
mod tiles;

use super::Layout;
use kurbo::Rect;

/// The area of a sheet in kurbo's mm.
fn area(layout: &Layout, sheet: usize) -> Rect {
    layout.sheets[sheet].area.to_kurbo_mm()
}
