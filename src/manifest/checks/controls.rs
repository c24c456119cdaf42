//! Control measurements: what is measured, and what was promised.

use super::{Check, lengths};
use crate::manifest::raw::{RawControl, RawManifest};
use crate::manifest::words::LengthText;
use crate::manifest::yaml::item_path;
use crate::manifest::{Control, ControlTarget, Extent};
use crate::units::{Length, Point};
use std::collections::BTreeMap;

/// How far a drawing may be off unless the manifest says otherwise; our own choice, five times the error budget on paper.
const TOLERANCE: Length = Length::mm(0.05);

/// Reads all control measurements.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Vec<Control> {
    let controls = check.each("control-measurements", &raw.control_measurements, one);
    let mut names = BTreeMap::new();
    for (index, control) in &controls {
        if names.insert(&control.name, index).is_some() {
            let path = format!("{}.name", item_path("control-measurements", *index));
            check.refuse(&path, error!("control-twice", name = control.name));
        }
    }
    controls.into_iter().map(|(_, control)| control).collect()
}

fn one(check: &mut Check<'_>, path: &str, raw: &RawControl) -> Option<Control> {
    let target = target(check, path, raw);
    let length = check.take(&format!("{path}.length"), lengths::positive(&raw.length.0));
    let tolerance = raw.tolerance.as_ref().map_or(Some(TOLERANCE), |text| {
        let tolerance = lengths::not_negative(&text.0, code!("length-range"), "");
        check.take(&format!("{path}.tolerance"), tolerance)
    });
    Some(Control { name: raw.name.0.trim().to_owned(), target: target?, length: length?, tolerance: tolerance? })
}

fn target(check: &mut Check<'_>, path: &str, raw: &RawControl) -> Option<ControlTarget> {
    match (&raw.element, &raw.from, &raw.to) {
        (Some(element), None, None) => Some(ControlTarget::Element(element.0.clone(), raw.measure.unwrap_or(Extent::Length))),
        // `measure` beside two points would be ignored, so it is refused.
        (None, Some(from), Some(to)) if raw.measure.is_none() => {
            let (from, to) = (point(check, &format!("{path}.from"), from), point(check, &format!("{path}.to"), to));
            apart(check, path, from?, to?)
        }
        _ => {
            check.refuse(path, error!("control-form", path));
            None
        }
    }
}

fn point(check: &mut Check<'_>, path: &str, [x, y]: &[LengthText; 2]) -> Option<Point> {
    let x = check.take(&item_path(path, 0), lengths::length(&x.0));
    let y = check.take(&item_path(path, 1), lengths::length(&y.0));
    Some(Point::new(x?, y?))
}

/// Two points in one place measure nothing.
fn apart(check: &mut Check<'_>, path: &str, from: Point, to: Point) -> Option<ControlTarget> {
    if from != to {
        return Some(ControlTarget::Points(from, to));
    }
    check.refuse(&format!("{path}.to"), error!("control-form/one-point"));
    None
}
