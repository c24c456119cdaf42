//! Jobs and their lays as JSON, with everything that a judge needs to see for itself.

use crate::pieces::Case;
use kitwright::lays::packing::{Job, Lay, Part, Place};
use serde_json::{Value, json};

/// All lays as one text.
pub fn record<'a>(lays: impl Iterator<Item = (&'a Case, &'a Lay)>) -> String {
    let lays: Vec<Value> = lays.map(|(case, lay)| one(case, lay)).collect();
    json!({ "lays": lays }).to_string()
}

fn one(case: &Case, lay: &Lay) -> Value {
    let Job { parts, width, gap, .. } = &case.job;
    json!({
        "name": case.name,
        "compared": case.compared,
        "width": width.to_mm(),
        "gap": gap.to_mm(),
        "length": lay.length.to_mm(),
        "bound": lay.bound.to_mm(),
        "utilisation": lay.utilisation(*width),
        "parts": parts.iter().map(part).collect::<Vec<_>>(),
        "places": lay.places.iter().map(place).collect::<Vec<_>>(),
    })
}

fn part(part: &Part) -> Value {
    let outline: Vec<[f64; 2]> = part.outline.iter().map(|point| [point.x, point.y]).collect();
    json!({ "outline": outline, "may_turn": part.may_turn, "on_fold": part.on_fold })
}

fn place(place: &Place) -> Value {
    json!({ "turned": place.turned, "x": place.x.to_mm(), "y": place.y.to_mm() })
}
