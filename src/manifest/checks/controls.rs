//! Control measurements: what is measured, and what was promised, size by size.

use super::{Check, lengths};
use crate::diagnostic::nearest;
use crate::manifest::raw::RawManifest;
use crate::manifest::raw_control::{RawControl, RawNotch, RawSide, Sides};
use crate::manifest::words::{LengthText, NameOr};
use crate::manifest::yaml::{item_path, key_path};
use crate::manifest::{Between, Control, ControlTarget, Extent, Notch, Side, SizeLayer};
use crate::units::{Length, Point};
use std::collections::BTreeSet;

/// How far a drawing may be off unless the manifest says otherwise; our own choice, five times the error budget on paper.
const TOLERANCE: Length = Length::mm(0.05);
/// How far the sides of a pair may differ: what cloth takes without a pucker (common practice, no published source).
const WITHIN: Length = Length::mm(0.5);
/// What stands for the name of each size in names of elements.
const SIZE: &str = "<size>";
/// The word for each of the sizes.
const ALL: &str = "all";
/// Most measurements of a kit, each size counted.
const MOST: usize = 2_000;

/// Reads all control measurements, one for each size that an entry is about.
pub fn read(check: &mut Check<'_>, raw: &RawManifest, sizes: &[SizeLayer]) -> Vec<Control> {
    let read = |check: &mut Check<'_>, path: &str, raw: &RawControl| entry(check, &Entry { path, raw, sizes });
    let controls = check.each("control-measurements", &raw.control_measurements, read);
    let (mut names, mut told) = (BTreeSet::new(), BTreeSet::new());
    for control in controls.iter().flat_map(|(_, controls)| controls) {
        // An entry that stands twice does so in all its sizes; once is enough.
        if !names.insert(control.name.as_str()) && told.insert(control.entry.as_str()) {
            let path = key_path(&control.entry, "name");
            check.refuse(&path, error!("control-twice", name = control.name));
        }
    }
    let controls: Vec<Control> = controls.into_iter().flat_map(|(_, controls)| controls).collect();
    if controls.len() > MOST {
        check.refuse("control-measurements", error!("list-length/read", count = controls.len(), most = MOST));
    }
    controls
}

/// One entry of the list.
struct Entry<'a> {
    path: &'a str,
    raw: &'a RawControl,
    sizes: &'a [SizeLayer],
}

impl Entry<'_> {
    fn at(&self, key: &str) -> String {
        key_path(self.path, key)
    }
}

/// The measurements that an entry stands for.
fn entry(check: &mut Check<'_>, entry: &Entry<'_>) -> Option<Vec<Control>> {
    if let Some((key, hint)) = misfit(entry.raw) {
        check.refuse(
            &key.map_or(entry.path.to_owned(), |key| entry.at(key)),
            error!("control-form", path = entry.path).hint(hint),
        );
        return None;
    }
    let target = target(check, entry);
    let sizes = sizes(check, entry);
    let promises = promises(check, entry, sizes?);
    let slack = |check: &mut Check<'_>, key: &str, text: &Option<LengthText>, usual: Length| {
        let read = |text: &LengthText| check.take(&entry.at(key), lengths::not_negative(&text.0, code!("length-range"), ""));
        text.as_ref().map_or(Some(usual), read)
    };
    let tolerance = match entry.raw.equals {
        None => slack(check, "tolerance", &entry.raw.tolerance, TOLERANCE),
        Some(_) => slack(check, "within", &entry.raw.within, WITHIN),
    };
    let (target, promises, tolerance) = (target?, promises?, tolerance?);
    let control = |(size, length): (Option<usize>, Length)| control(entry, &target, size, length, tolerance);
    Some(promises.into_iter().map(control).collect())
}

/// One measurement of an entry.
fn control(entry: &Entry<'_>, target: &ControlTarget, size: Option<usize>, length: Length, tolerance: Length) -> Control {
    let name = entry.raw.name.0.trim();
    let called = size.and_then(|size| entry.sizes.get(size)).map(|size| size.name.as_str());
    // An entry about one size says so in its own name, if it wants to.
    let each = entry.raw.lengths.is_some() || entry.raw.size.as_ref().is_some_and(|size| size.0.trim() == ALL);
    Control {
        name: called.filter(|_| each).map_or_else(|| name.to_owned(), |size| format!("{name}, size {size}")),
        target: called.map_or_else(|| target.clone(), |size| in_size(target, size)),
        size,
        length,
        tolerance,
        entry: entry.path.to_owned(),
    }
}

/// Keys that do not go together, or are lacking: the key, if one is too many, and what to do.
fn misfit(raw: &RawControl) -> Option<(Option<&'static str>, &'static str)> {
    let points = raw.from.is_some() || raw.to.is_some();
    let promised = [raw.length.is_some(), raw.lengths.is_some(), raw.equals.is_some()];
    let pair = raw.equals.is_some();
    let (measure, sized) = (raw.measure.is_some(), raw.lengths.is_some() || raw.size.is_some());
    let partial = raw.between.is_some() || raw.way.is_some();
    let what = words!("give-element-or-points");
    let rules = [
        (raw.element.is_some() == points, None, what),
        (points && (raw.from.is_none() || raw.to.is_none() || measure), None, what),
        (points && partial, None, words!("between-goes-with-element")),
        (points && (pair || sized), None, words!("points-lie-in-one-place")),
        (promised.iter().filter(|is| **is).count() != 1, None, words!("promise-one")),
        (raw.lengths.is_some() && raw.size.is_some(), Some("size"), words!("leave-size-to-lengths")),
        (!pair && raw.plus.is_some(), Some("plus"), words!("plus-goes-with-equals")),
        (!pair && raw.within.is_some(), Some("within"), words!("write-tolerance")),
        (pair && raw.tolerance.is_some(), Some("tolerance"), words!("write-within")),
    ];
    let broken = rules.into_iter().find(|(broken, ..)| *broken).map(|(_, key, hint)| (key, hint));
    let side = || misfit_of_part(raw.measure, raw.between.is_some(), raw.way.is_some());
    broken.or_else(|| side().map(|(key, hint)| (Some(key), hint)))
}

/// What does not go together in a part of an edge.
fn misfit_of_part(measure: Option<Extent>, between: bool, way: bool) -> Option<(&'static str, &'static str)> {
    match (measure, between, way) {
        (None | Some(Extent::Length), true, _) | (_, false, false) => None,
        (_, true, _) => Some(("measure", words!("leave-measure-out"))),
        (_, false, true) => Some(("way", words!("way-goes-with-between"))),
    }
}

/// What an entry is about, size after size; one without a size is about nobody's in particular.
fn sizes(check: &mut Check<'_>, entry: &Entry<'_>) -> Option<Vec<Option<usize>>> {
    let found = match (&entry.raw.size, &entry.raw.lengths) {
        (Some(size), _) if size.0.trim() == ALL && !entry.sizes.is_empty() => Some((0..entry.sizes.len()).map(Some).collect()),
        (Some(size), _) => find_size(check, &entry.at("size"), size.0.trim(), entry.sizes).map(|size| vec![Some(size)]),
        (_, Some(lengths)) => {
            let path = |name| key_path(&entry.at("lengths"), name);
            let found: Vec<Option<usize>> =
                lengths.keys().map(|name| find_size(check, &path(name), name, entry.sizes)).collect();
            let mut sizes = found.into_iter().collect::<Option<Vec<usize>>>()?;
            // The order of the kit's sizes, not that of their names.
            sizes.sort_unstable();
            Some(sizes.into_iter().map(Some).collect())
        }
        _ => Some(vec![None]),
    }?;
    if found == [None] && names(entry.raw).any(|name| name.contains(SIZE)) {
        check.refuse(entry.path, error!("control-size", entry = entry.path, size = SIZE));
        return None;
    }
    Some(found)
}

/// All names of elements in an entry.
fn names(raw: &RawControl) -> impl Iterator<Item = &str> {
    let sides = raw.equals.iter().flat_map(|sides| &sides.0);
    let others = sides.flat_map(|side| match side {
        NameOr::Name(name) => vec![name.as_str()],
        NameOr::Told(side) => std::iter::once(side.element.0.as_str()).chain(notches(&side.between)).collect(),
    });
    raw.element.iter().map(|element| element.0.as_str()).chain(notches(&raw.between)).chain(others)
}

fn notches(between: &Option<[RawNotch; 2]>) -> impl Iterator<Item = &str> {
    between.iter().flatten().filter_map(|notch| if let NameOr::Name(name) = notch { Some(name.as_str()) } else { None })
}

fn find_size(check: &mut Check<'_>, path: &str, name: &str, sizes: &[SizeLayer]) -> Option<usize> {
    let found = sizes.iter().position(|size| size.name == name);
    let unknown = || {
        let finding = error!("control-size/find-size", name);
        let known: Vec<&str> = sizes.iter().map(|size| size.name.as_str()).collect();
        match nearest(name, known.iter().copied()) {
            Some(near) => finding.hint(say!("did-you-mean", near)),
            None if known.is_empty() => finding.hint(words!("leave-size-out")),
            None => finding.hint(words!("take-size-name")),
        }
    };
    check.take(path, found.ok_or_else(unknown))
}

/// The promised length of each size.
fn promises(check: &mut Check<'_>, entry: &Entry<'_>, sizes: Vec<Option<usize>>) -> Option<Vec<(Option<usize>, Length)>> {
    let raw = entry.raw;
    if let Some(lengths) = &raw.lengths {
        let name = |size: Option<usize>| size.and_then(|size| entry.sizes.get(size)).map(|size| &size.name);
        let mut one = |size| {
            let (key, text) = lengths.get_key_value(name(size)?)?;
            let path = key_path(&entry.at("lengths"), key);
            Some((size, check.take(&path, lengths::positive(&text.0))?))
        };
        // All of them first: one bad length must not hide the next.
        let read: Vec<Option<_>> = sizes.into_iter().map(&mut one).collect();
        return read.into_iter().collect();
    }
    let length = match (&raw.length, &raw.plus) {
        (Some(text), _) => check.take(&entry.at("length"), lengths::positive(&text.0)),
        (None, Some(text)) => check.take(&entry.at("plus"), lengths::length(&text.0)),
        (None, None) => Some(Length::ZERO),
    }?;
    Some(sizes.into_iter().map(|size| (size, length)).collect())
}

fn target(check: &mut Check<'_>, entry: &Entry<'_>) -> Option<ControlTarget> {
    let raw = entry.raw;
    if let (Some(from), Some(to)) = (&raw.from, &raw.to) {
        let (from, to) = (point(check, &entry.at("from"), from), point(check, &entry.at("to"), to));
        return apart(check, entry.path, from?, to?);
    }
    let own = RawSide { element: raw.element.clone()?, measure: raw.measure, between: raw.between.clone(), way: raw.way };
    let own = side(check, entry.path, &own);
    let others = raw.equals.as_ref().map(|Sides(sides)| {
        let one = |(index, other): (usize, &NameOr<RawSide>)| match other {
            NameOr::Name(name) => Some(Side { element: name.clone(), extent: Extent::Length, between: None }),
            NameOr::Told(told) => {
                // A single mapping stands at the key itself, one of several in the list behind it.
                let path = entry.at("equals");
                side(check, &if sides.len() > 1 { item_path(&path, index) } else { path }, told)
            }
        };
        sides.iter().enumerate().map(one).collect::<Vec<_>>()
    });
    match others {
        None => own.map(ControlTarget::Side),
        Some(others) => Some(ControlTarget::Pair(own?, others.into_iter().collect::<Option<_>>()?)),
    }
}

fn side(check: &mut Check<'_>, path: &str, raw: &RawSide) -> Option<Side> {
    if let Some((key, hint)) = misfit_of_part(raw.measure, raw.between.is_some(), raw.way.is_some()) {
        check.refuse(&key_path(path, key), error!("control-form", path).hint(hint));
        return None;
    }
    let between = match &raw.between {
        None => None,
        Some([one, other]) => {
            let path = key_path(path, "between");
            let (one, other) = (notch(check, &item_path(&path, 0), one), notch(check, &item_path(&path, 1), other));
            Some(Between { notches: [one?, other?], way: raw.way.unwrap_or_default() })
        }
    };
    Some(Side { element: raw.element.0.clone(), extent: raw.measure.unwrap_or(Extent::Length), between })
}

fn notch(check: &mut Check<'_>, path: &str, raw: &RawNotch) -> Option<Notch> {
    match raw {
        NameOr::Name(name) => Some(Notch::Element(name.clone())),
        NameOr::Told(pair) => point(check, path, pair).map(Notch::Point),
    }
}

/// The same target with the name of a size put in.
fn in_size(target: &ControlTarget, size: &str) -> ControlTarget {
    let named = |name: &str| name.replace(SIZE, size);
    let notch = |notch: &Notch| match notch {
        Notch::Element(name) => Notch::Element(named(name)),
        Notch::Point(point) => Notch::Point(*point),
    };
    let side = |side: &Side| Side {
        element: named(&side.element),
        between: side.between.as_ref().map(|part| Between { notches: part.notches.each_ref().map(notch), way: part.way }),
        extent: side.extent,
    };
    match target {
        ControlTarget::Points(from, to) => ControlTarget::Points(*from, *to),
        ControlTarget::Side(own) => ControlTarget::Side(side(own)),
        ControlTarget::Pair(own, others) => ControlTarget::Pair(side(own), others.iter().map(side).collect()),
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
    check.refuse(&key_path(path, "to"), error!("control-form/one-point"));
    None
}
