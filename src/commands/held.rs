//! Drawings made on blank sheets: their tiles stay where they lay, and tell whether the drawing is still at true size.

use crate::diagnostic::{Diagnostic, Place};
use crate::drawing::{Drawing, Held};
use crate::manifest::{Joins, Kit, Pin};
use crate::plan::Layout;
use crate::units::{Length, Point};

/// How far the frame may be off, in mm: vector programs round to about three decimals of their own unit.
const ROUNDING: f64 = 0.05;

/// Holds the grid of the paper whose blank sheets the drawing was made on, unless the manifest holds it elsewhere.
pub(super) fn hold(kit: &mut Kit, drawing: &Drawing) {
    let Some(held) = &drawing.held else { return };
    let origin = Point::new(Length::mm(held.area.x0), Length::mm(held.area.y0));
    let pin = Pin { origin, lying: held.lying, fixed: true };
    for setup in kit.papers.iter_mut().filter(|setup| setup.paper.id == held.paper && setup.pin.is_none()) {
        setup.pin = Some(pin);
        // The blank sheets kept a glue edge, even if only one of them was filled in.
        if kit.joins == Joins::Lapped && held.rows * held.columns > 1 {
            setup.border = setup.border.max(setup.glue_edge);
        }
    }
}

/// The frame in the drawing is not as large as its tiles on paper: the scale is wrong, or the tiles are others by now.
pub(super) fn misfit(kit: &Kit, drawing: &Drawing, layouts: &[Layout]) -> Option<Diagnostic> {
    let held = drawing.held.as_ref()?;
    let layout = layouts.iter().find(|layout| layout.setup.paper.id == held.paper)?;
    let tile = layout.tile.to_kurbo_mm();
    let (width, height) = (tile.width() * held.columns as f64, tile.height() * held.rows as f64);
    let Held { area, .. } = held;
    if (area.width() - width).abs() <= ROUNDING && (area.height() - height).abs() <= ROUNDING {
        return None;
    }
    let (across, down) = (area.width() / width, area.height() / height);
    let sizes = say!(
        "frame-sizes",
        file = kit.drawing.file,
        across = format_args!("{:.1}", area.width()),
        down = format_args!("{:.1}", area.height()),
        width = format_args!("{width:.1}"),
        height = format_args!("{height:.1}")
    );
    let place = Place::file(&kit.drawing.file);
    if (across - down).abs() < 0.001 * across {
        return Some(error!("frame-scale", sizes).at(place));
    }
    Some(warning!("frame-stale", sizes).at(place))
}
