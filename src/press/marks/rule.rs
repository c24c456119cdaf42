//! Printed rules: centimetres above the base line, inches below it, both from the same zero.

use super::pens::{HAIR, SMALL_PRINT, THIN};
use crate::manifest::Colour;
use crate::press::scene::{Anchor, Scene, Type};

/// One inch in mm.
const INCH: f64 = 25.4;

/// A rule with its zero at `at`: so many whole cm (multiples of 1 cm) and whole inches, and the names of the two units.
pub fn rule(scene: &mut Scene, at: (f64, f64), (cm, inches): (u32, u32), units: (&str, &str), colour: Colour) {
    let (x, y) = at;
    let end = (f64::from(cm) * 10.0).max(f64::from(inches) * INCH);
    scene.line((x, y), (x + end, y), THIN, colour);
    for mm in 0..=cm * 10 {
        let height =
            [3.2, 1.3, 2.2].into_iter().zip([mm % 10 == 0, mm % 5 != 0, true]).find(|(_, fits)| *fits).map_or(1.3, |(h, _)| h);
        let along = x + f64::from(mm);
        scene.line((along, y), (along, y - height), if mm % 10 == 0 { THIN } else { HAIR }, colour);
    }
    for eighth in 0..=inches * 8 {
        let depth = [3.2, 2.2, 1.3]
            .into_iter()
            .zip([eighth % 8 == 0, eighth % 4 == 0, true])
            .find(|(_, fits)| *fits)
            .map_or(1.3, |(d, _)| d);
        let along = x + f64::from(eighth) * INCH / 8.0;
        scene.line((along, y), (along, y + depth), if eighth % 8 == 0 { THIN } else { HAIR }, colour);
    }
    numbers(scene, (x, y - 4.0), cm, 10.0, units.0, colour);
    numbers(scene, (x, y + 5.6), inches, INCH, units.1, colour);
    scene.promise(format!("rule {} mm", cm * 10), (x, y), (x + f64::from(cm) * 10.0, y));
    scene.promise(format!("rule {inches} in"), (x, y), (x + f64::from(inches) * INCH, y));
}

/// Numbers above or below the long ticks; the last one carries the unit.
fn numbers(scene: &mut Scene, at: (f64, f64), count: u32, step: f64, unit: &str, colour: Colour) {
    for number in 0..=count {
        let place = (at.0 + f64::from(number) * step, at.1);
        scene.words(&number.to_string(), place, Type::regular(SMALL_PRINT), Anchor::Middle, colour);
    }
    let digits = if count > 9 { 1.9 } else { 1.1 };
    let after = (at.0 + f64::from(count) * step + digits, at.1);
    scene.words(unit, after, Type::regular(SMALL_PRINT), Anchor::Start, colour);
}

/// Which side of the paper an edge rule counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// From the left-hand side to the right.
    Left,
    /// From the right-hand side to the left.
    Right,
    /// From the head down.
    Top,
    /// From the foot up.
    Bottom,
}

/// A rule that runs off the edge of the paper, so that the number where it stops is what the printer cannot reach.
///
/// Millimetres on one side of the base line, eighths of an inch on the other; `across` is the base line's place on the
/// other axis, `sheet` the size of the paper, `reach` how far the rule runs in.
pub fn edge_rule(scene: &mut Scene, edge: Edge, across: f64, sheet: (f64, f64), reach: u32, colour: Colour) {
    let place = |along: f64, off: f64| match edge {
        Edge::Left => (along, across + off),
        Edge::Right => (sheet.0 - along, across + off),
        Edge::Top => (across + off, along),
        Edge::Bottom => (across + off, sheet.1 - along),
    };
    scene.line(place(0.0, 0.0), place(f64::from(reach), 0.0), THIN, colour);
    for mm in 0..=reach {
        let length = if mm % 5 == 0 { 2.6 } else { 1.3 };
        scene.line(place(f64::from(mm), 0.0), place(f64::from(mm), -length), HAIR, colour);
        if mm % 5 == 0 && mm > 0 {
            let at = place(f64::from(mm), -3.4);
            let (at, anchor) = match edge {
                Edge::Left | Edge::Right => (at, Anchor::Middle),
                Edge::Top | Edge::Bottom => ((at.0, at.1 + 0.7), Anchor::End),
            };
            scene.words(&mm.to_string(), at, Type::regular(SMALL_PRINT), anchor, colour);
        }
    }
    edge_inches(scene, &place, matches!(edge, Edge::Left | Edge::Right), reach, colour);
}

fn edge_inches(scene: &mut Scene, place: &dyn Fn(f64, f64) -> (f64, f64), level: bool, reach: u32, colour: Colour) {
    let fractions = ["", "", "¼", "", "½", "", "¾", "", "1"];
    let eighths = (0..fractions.len()).map(|eighth| (eighth, eighth as f64 * INCH / 8.0));
    for (eighth, along) in eighths.filter(|(_, along)| *along <= f64::from(reach)) {
        scene.line(place(along, 0.0), place(along, if eighth % 2 == 0 { 2.6 } else { 1.3 }), HAIR, colour);
        let at = if level { place(along, 5.0) } else { place(along, 3.2) };
        let (at, anchor) = if level { (at, Anchor::Middle) } else { ((at.0, at.1 + 0.7), Anchor::Start) };
        scene.words(fractions.get(eighth).copied().unwrap_or_default(), at, Type::regular(SMALL_PRINT), anchor, colour);
    }
}
