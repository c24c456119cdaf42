//! What prints badly: large fills, pale colours and hairlines, gathered by kind and layer.

use super::colour::{contrast, grey, on_paper};
use super::fills::large;
use crate::diagnostic::{Diagnostic, Findings, Place, counted};
use crate::drawing::{Drawing, Item, Role, Shape};
use crate::manifest::Colour;

/// Least contrast of what must be seen (WCAG 2.1, success criterion 1.4.11).
pub(super) const LEAST_CONTRAST: f64 = 3.0;

/// The thinnest line that a 300 dpi printer surely shows, in mm: two dots.
const THINNEST_MM: f64 = 2.0 * 25.4 / 300.0;

/// Fills lighter than this (0 black, 1 white) cost little ink.
const LIGHT: f64 = 0.75;

/// How many places after the first are named.
const MORE_PLACES: usize = 3;

/// Kinds of faults, in the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Heavy,
    Pale,
    Thin,
}

/// One item's fault: of what kind, and how much of it (cm², contrast, mm).
type Fault = (Kind, f64);

/// All faults of the drawing's ink: one finding a kind and layer.
pub(super) fn advice(drawing: &Drawing) -> Findings {
    let mut findings = Findings::new();
    for (index, layer) in drawing.layers.iter().enumerate() {
        let items: Vec<&Item> =
            drawing.pieces.iter().filter(|piece| piece.layer == index).flat_map(|piece| &piece.items).collect();
        for kind in [Kind::Heavy, Kind::Pale, Kind::Thin] {
            let of_kind = |item: &&Item| {
                faults(item).into_iter().find(|fault| fault.0 == kind).map(|fault| (fault.1, item.origin.clone()))
            };
            let found: Vec<(f64, Place)> = items.iter().filter_map(of_kind).collect();
            findings.extend(told(kind, &layer.name, layer.role != Role::Base, &found));
        }
    }
    findings
}

fn faults(item: &Item) -> Vec<Fault> {
    let Shape::Path(shape) = &item.shape else { return Vec::new() };
    let large = large(item);
    let heavy = large.filter(|(fill, _)| grey(on_paper(fill.colour, fill.opacity)) < LIGHT);
    let heavy = heavy.map(|(_, area)| (Kind::Heavy, area / 100.0));
    let stroke = shape.stroke.as_ref().map(|stroke| on_paper(stroke.colour, stroke.opacity));
    // A large pale ground is meant to be pale; a pale letter or small mark is not.
    let fill = shape.fill.filter(|_| large.is_none()).map(|fill| on_paper(fill.colour, fill.opacity));
    let seen = [stroke, fill].into_iter().flatten().filter(|colour| *colour != Colour::WHITE);
    let pale = seen.map(contrast).reduce(f64::min).filter(|contrast| *contrast < LEAST_CONTRAST).map(|it| (Kind::Pale, it));
    let lined = shape.stroke.as_ref().filter(|stroke| stroke.colour != Colour::WHITE).map(|stroke| stroke.style.width);
    let thin = lined.filter(|width| *width < THINNEST_MM - 1e-4).map(|width| (Kind::Thin, width));
    [heavy, pale, thin].into_iter().flatten().collect()
}

/// The finding about the faults of one kind on one layer, if there are any.
fn told(kind: Kind, layer: &str, of_size: bool, found: &[(f64, Place)]) -> Option<Diagnostic> {
    let (_, first) = found.first()?;
    let amounts = || found.iter().map(|(amount, _)| *amount);
    let (least, sum) = (amounts().fold(f64::MAX, f64::min), amounts().sum::<f64>());
    let on = format!("on layer `{layer}`{}", more(found));
    let finding = match kind {
        Kind::Heavy => {
            let count = counted(found.len(), "large fill");
            let finding =
                Diagnostic::warning("ink-heavy", format!("{count} {on}, {sum:.0} cm² in all: much ink, and slow to dry"));
            finding.hint(
                "write `fills: outlines` or `fills: hatched` in the manifest, or take the fill out in your vector program",
            )
        }
        Kind::Pale => {
            let count = counted(found.len(), "pale line or letter");
            let message =
                format!("{count} {on}: contrast with paper down to {:.1}, and a grey printer may lose it", floor_tenth(least));
            Diagnostic::warning("ink-pale", message)
                .hint("choose a darker colour, of a contrast of 3 or more with white; black is surest")
        }
        Kind::Thin => {
            let count = counted(found.len(), "line");
            let message = format!(
                "{count} {on} thinner than 0.17 mm, down to {least:.2} mm: two dots of a 300 dpi printer are the least"
            );
            let finding = Diagnostic::warning("ink-thin", message).hint("draw lines 0.25 mm wide or more");
            if of_size {
                finding.hint("or write `size-lines: distinct`, which gives the cutting lines of each size a firm line")
            } else {
                finding
            }
        }
    };
    Some(finding.at(first.clone()))
}

/// Down to a tenth, so that a contrast that is too low never reads as one that is enough.
fn floor_tenth(value: f64) -> f64 {
    (value * 10.0).floor() / 10.0
}

/// The next few places after the first, as far as they are on other lines.
fn more(found: &[(f64, Place)]) -> String {
    let mut lines: Vec<u32> = found.iter().filter_map(|(_, place)| place.line).collect();
    lines.dedup();
    let next: Vec<String> = lines.iter().skip(1).take(MORE_PLACES).map(u32::to_string).collect();
    let and_on = if lines.len() > MORE_PLACES + 1 { " …" } else { "" };
    match next.len() {
        0 => String::new(),
        1 => format!(" (also on line {})", next.join("")),
        _ => format!(" (also on lines {}{and_on})", next.join(", ")),
    }
}
