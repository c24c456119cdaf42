//! What prints badly: large fills, pale colours and hairlines, gathered by kind and layer; those of all sizes are told as one.

use super::colour::{contrast, grey, on_paper};
use super::fills::large;
use crate::diagnostic::{Diagnostic, Findings, Place, counted};
use crate::drawing::{Drawing, Item, Role, Shape};
use crate::manifest::{Colour, SizeLines};

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

/// Whose ink a finding is about.
enum Of<'a> {
    /// A layer for all sizes.
    Base(&'a str),
    /// The layers of all sizes together, which mostly share a fault, and whether their lines are the drawing's own.
    Sizes { own_lines: bool },
}

/// All faults of the drawing's ink: one finding a kind for each base layer, and one for the layers of all sizes.
pub(super) fn advice(drawing: &Drawing, lines: SizeLines) -> Findings {
    let is_base = |layer: usize| drawing.layers.get(layer).is_some_and(|layer| layer.role == Role::Base);
    let on = |wanted: &dyn Fn(usize) -> bool| -> Vec<&Item> {
        drawing.pieces.iter().filter(|piece| wanted(piece.layer)).flat_map(|piece| &piece.items).collect()
    };
    let base = drawing.layers.iter().enumerate().filter(|(index, _)| is_base(*index));
    let base = base.map(|(index, layer)| (Of::Base(&layer.name), on(&|layer| layer == index)));
    let sizes = (Of::Sizes { own_lines: lines == SizeLines::AsDrawn }, on(&|layer| !is_base(layer)));
    let mut findings = Findings::new();
    for (of, items) in base.chain([sizes]) {
        findings.extend([Kind::Heavy, Kind::Pale, Kind::Thin].into_iter().filter_map(|kind| told(kind, &of, &items)));
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

/// The finding about the faults of one kind, if there are any.
fn told(kind: Kind, of: &Of, items: &[&Item]) -> Option<Diagnostic> {
    let amount = |item: &Item| faults(item).into_iter().find(|fault| fault.0 == kind).map(|fault| fault.1);
    let found: Vec<(f64, &Place)> = items.iter().filter_map(|item| Some((amount(item)?, &item.origin))).collect();
    let (_, first) = found.first()?;
    let on = match of {
        Of::Base(layer) => say!("on-layer", layer, found = more(&found)),
        Of::Sizes { .. } => say!("on-layers-of-sizes", found = more(&found)),
    };
    let finding = match kind {
        Kind::Heavy => heavy(&found, &on),
        Kind::Pale => pale(&found, &on),
        Kind::Thin => thin(&found, &on),
    };
    let restyled = matches!((kind, of), (Kind::Thin, Of::Sizes { own_lines: true }));
    let finding = if restyled { finding.hint(words!("ink-thin/firm")) } else { finding };
    Some(finding.at((*first).clone()))
}

fn heavy(found: &[(f64, &Place)], on: &str) -> Diagnostic {
    let (count, sum) = (counted(found.len(), "large fill"), found.iter().map(|(area, _)| area).sum::<f64>());
    warning!("ink-heavy", count, on, sum = format_args!("{:.0}", sum))
}

fn pale(found: &[(f64, &Place)], on: &str) -> Diagnostic {
    let (count, least) = (counted(found.len(), "pale line or letter"), floor_tenth(least(found)));
    warning!("ink-pale", count, on, least = format_args!("{:.1}", least))
}

fn thin(found: &[(f64, &Place)], on: &str) -> Diagnostic {
    let (count, least) = (counted(found.len(), "line"), least(found));
    warning!("ink-thin", count, on, least = format_args!("{:.2}", least))
}

fn least(found: &[(f64, &Place)]) -> f64 {
    found.iter().map(|(amount, _)| *amount).fold(f64::MAX, f64::min)
}

/// Down to a tenth, so that a contrast that is too low never reads as one that is enough.
fn floor_tenth(value: f64) -> f64 {
    (value * 10.0).floor() / 10.0
}

/// The next few places after the first, as far as they are on other lines.
fn more(found: &[(f64, &Place)]) -> String {
    let mut lines: Vec<u32> = found.iter().filter_map(|(_, place)| place.line).collect();
    lines.dedup();
    let next: Vec<String> = lines.iter().skip(1).take(MORE_PLACES).map(u32::to_string).collect();
    let and_on = if lines.len() > MORE_PLACES + 1 { " …" } else { "" };
    match next.len() {
        0 => String::new(),
        1 => say!("also-on-line", next = next.join("")),
        _ => say!("also-on-lines", next = next.join(", "), and_on),
    }
}
