//! What was promised and what was measured: in the drawing, and once more in the finished files.

use super::view::Source;
use crate::units::Length;
use crate::verify::{Check, Figure, Verdict};
use serde::Serialize;

/// A control measurement.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ControlView {
    name: String,
    promised: String,
    tolerance: String,
    /// None where it could not be measured.
    drawing: Option<String>,
    /// The one that is furthest off, of all finished files in which it was measured.
    files: Option<String>,
    /// How many these are.
    count: usize,
    fine: bool,
}

/// How the checks of one kind went.
#[derive(Clone, Debug, Serialize)]
pub(super) struct TallyView {
    title: &'static str,
    made: usize,
    failed: usize,
    /// Largest difference between promised and measured; empty if nothing was measured.
    largest: String,
}

/// All control measurements, in the manifest's order.
pub(super) fn controls(source: &Source) -> Vec<ControlView> {
    let view = |(index, control): (usize, &crate::manifest::Control)| {
        let own = |figure: &&Figure| figure.check == Check::Control && figure.what == control.name;
        let figures: Vec<&Figure> = source.verdict.figures.iter().filter(own).collect();
        let furthest = figures.iter().copied().reduce(|a, b| if b.deviation() > a.deviation() { b } else { a });
        let measured = source.drawing.controls.get(index).and_then(Option::as_ref).map(|measured| measured.length);
        let off = measured.is_some_and(|measured| !measured.within(control.length, control.tolerance));
        ControlView {
            name: control.name.clone(),
            promised: exact(control.length),
            tolerance: exact(control.tolerance),
            drawing: measured.map(exact),
            files: furthest.map(|figure| exact(figure.measured)),
            count: figures.len(),
            fine: measured.is_some() && !off && figures.iter().all(|figure| figure.fine),
        }
    };
    source.kit.controls.iter().enumerate().map(view).collect()
}

/// All kinds of checks of the package.
pub(super) fn tallies(verdict: &Verdict) -> Vec<TallyView> {
    let view = |(check, tally): (&Check, &crate::verify::Tally)| TallyView {
        title: check.title(),
        made: tally.made,
        failed: tally.failed,
        largest: verdict.largest(*check).map(exact).unwrap_or_default(),
    };
    verdict.tallies.iter().map(view).collect()
}

/// Millimetres to a thousandth: what is compared here differs by less than lengths show elsewhere.
fn exact(length: Length) -> String {
    let rounded = (length.to_mm() * 1e3).round() / 1e3;
    format!("{} mm", rounded + 0.0)
}
