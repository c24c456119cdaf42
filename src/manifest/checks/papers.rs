//! Papers: known ones, a publisher's own, and what is left of each for the drawing.

use super::margins::{self, MarginSets};
use super::{Check, lengths, words};
use crate::diagnostic::{Diagnostic, nearest, or_list};
use crate::manifest::raw::{RawManifest, RawPaper, RawPlacement};
use crate::manifest::section::Section;
use crate::manifest::words::{Label, NameOr};
use crate::manifest::yaml::item_path;
use crate::manifest::{Format, LONGEST_FILE, Paper, PaperSetup, Pin, Press};
use crate::units::{Length, Point, Size};
use std::collections::BTreeMap;

/// Longest short side of a paper; our own limit, which the few rolls of 64 in (1626 mm) pass by a little.
const MAX_SHORT: Length = Length::mm(1600.0);
/// Longest long side of a paper.
const MAX_LONG: Length = Length::mm(20_000.0);
/// Cut paper whose short side is longer goes to a copy shop: no home printer takes it.
const MAX_HOME: Length = Length::mm(300.0);
/// The shortest limit that a roll may have; our own, so that a piece has room for its label.
const LEAST_PIECE: Length = Length::mm(200.0);
/// Least width and height of a tile, so that label and rule find room.
const MIN_TILE: Length = Length::mm(20.0);

/// Reads all papers.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Vec<PaperSetup> {
    if matches!(raw.papers, Section::Absent) {
        check.missing("papers");
    }
    let sets = MarginSets::read(check, raw);
    let mut seen = BTreeMap::new();
    let papers = check.each("papers", &raw.papers, |check, path, paper| {
        let (told, id_path) = match paper {
            NameOr::Name(name) => (RawPaper { paper: Label(name.clone()), ..RawPaper::default() }, path.to_owned()),
            NameOr::Told(paper) => (paper.clone(), format!("{path}.paper")),
        };
        if seen.insert(told.paper.0.trim().to_owned(), path.to_owned()).is_some() {
            check.refuse(&id_path, error!("paper-twice", paper = told.paper.0));
        }
        setup(check, path, &id_path, &told, &sets)
    });
    papers.into_iter().map(|(_, setup)| setup).collect()
}

fn setup(check: &mut Check<'_>, path: &str, id_path: &str, raw: &RawPaper, sets: &MarginSets) -> Option<PaperSetup> {
    let paper = paper(check, path, id_path, raw);
    // The settings are read even if the paper itself is refused, for the sake of their findings.
    let margins_path = format!("{path}.margins");
    let own_reach = raw.margins.as_ref().map(|margins| sets.resolve(check, &margins_path, margins));
    let own_border = raw.border.as_ref().map(|text| margins::border(check, &format!("{path}.border"), &text.0));
    let pin = raw.placement.as_ref().map(|placement| pin(check, &format!("{path}.placement"), placement));
    let paper = paper?;
    let reach = own_reach.unwrap_or_else(|| sets.default_of(paper.press))?;
    let margins = check.take(&margins_path, reach.on(&paper));
    let glue_edge = own_border.unwrap_or_else(|| Some(sets.glue_edge()));
    let border = own_border.unwrap_or_else(|| sets.default_border(paper.press))?;
    // A refused pin must not fall back to a search: the edition would lose the layout that it has to keep.
    let pin = if let Some(pin) = pin { Some(pin?) } else { None };
    let longest = longest(check, path, raw, paper.format)?;
    let setup = PaperSetup { paper, margins: margins?, border, glue_edge: glue_edge?, pin, longest };
    roomy(check, path, &setup).then_some(setup)
}

/// How long a piece of a roll may be; cut paper is as long as it is.
fn longest(check: &mut Check<'_>, path: &str, raw: &RawPaper, format: Format) -> Option<Length> {
    let Some(text) = &raw.longest else { return Some(LONGEST_FILE) };
    let path = format!("{path}.longest");
    if matches!(format, Format::Sheet(_)) {
        check.refuse(&path, error!("paper-size"));
        return None;
    }
    check.take(&path, lengths::between(&text.0, LEAST_PIECE, LONGEST_FILE))
}

/// A placement to keep; tile A1 may well begin left of the drawing or above it.
fn pin(check: &mut Check<'_>, path: &str, raw: &RawPlacement) -> Option<Pin> {
    let from = format!("{path}.from");
    let [x, y] = &raw.from;
    let x = check.take(&item_path(&from, 0), lengths::between(&x.0, -MAX_LONG, MAX_LONG));
    let y = check.take(&item_path(&from, 1), lengths::between(&y.0, -MAX_LONG, MAX_LONG));
    Some(Pin { origin: Point::new(x?, y?), lying: raw.lying.unwrap_or(false), fixed: false })
}

fn paper(check: &mut Check<'_>, path: &str, id_path: &str, raw: &RawPaper) -> Option<Paper> {
    let id = raw.paper.0.trim();
    let known = Paper::known(id);
    if known.is_none() && raw.width.is_none() {
        check.refuse(id_path, unknown(id, raw.height.is_some()));
        return None;
    }
    let (id, format) = match known.as_ref() {
        Some(known) => (Some(known.id.clone()), known_format(check, path, raw, known)),
        None => (check.take(id_path, words::name(id)), own_format(check, path, raw)),
    };
    let title = raw.title.as_ref().map(|title| title.0.trim().to_owned());
    let title = title.or_else(|| known.as_ref().map(|known| known.title.clone())).or_else(|| id.clone());
    // Where a known paper is printed does not follow from its size: A3 and Arch E have their customs.
    let default = known.map_or_else(|| format.map(press_of), |known| Some(known.press));
    let press = raw.press.or(default);
    pressable(check, path, format?, press?).then_some(Paper { id: id?, title: title?, format: format?, press: press? })
}

fn unknown(id: &str, has_height: bool) -> Diagnostic {
    if has_height {
        return error!("key-missing/width", id);
    }
    let hint = nearest(id, Paper::known_ids())
        .map_or_else(|| say!("paper-unknown/these", choices = or_list(Paper::known_ids())), |near| say!("did-you-mean", near));
    error!("paper-unknown", id).hint(hint).hint(say!("paper-unknown/own", id))
}

/// A known paper keeps its size: a different one under its name would betray everyone who prints it.
fn known_format(check: &mut Check<'_>, path: &str, raw: &RawPaper, known: &Paper) -> Option<Format> {
    for (key, _) in [("width", &raw.width), ("height", &raw.height)].iter().filter(|(_, text)| text.is_some()) {
        check.refuse(&format!("{path}.{key}"), error!("paper-size/known", id = known.id, key));
    }
    Some(known.format)
}

fn own_format(check: &mut Check<'_>, path: &str, raw: &RawPaper) -> Option<Format> {
    let mut side = |key: &str, text: &str| check.take(&format!("{path}.{key}"), lengths::positive(text));
    let width = raw.width.as_ref().and_then(|text| side("width", &text.0));
    let Some(height) = &raw.height else {
        let width = width?;
        return within(check, path, "width", width, MAX_SHORT).then_some(Format::Roll(width));
    };
    let (width, height) = (width, side("height", &height.0));
    let (width, height) = (width?, height?);
    let (short, long) = if width <= height { ("width", "height") } else { ("height", "width") };
    let short_fits = within(check, path, short, width.min(height), MAX_SHORT);
    let long_fits = within(check, path, long, width.max(height), MAX_LONG);
    (short_fits && long_fits).then_some(Format::Sheet(Size::new(width, height)))
}

fn within(check: &mut Check<'_>, path: &str, key: &str, length: Length, most: Length) -> bool {
    if length <= most {
        return true;
    }
    check.refuse(&format!("{path}.{key}"), error!("paper-size/large", key, length, most));
    false
}

fn press_of(format: Format) -> Press {
    match format {
        Format::Sheet(size) if size.width.min(size.height) <= MAX_HOME => Press::Home,
        _ => Press::Wide,
    }
}

fn pressable(check: &mut Check<'_>, path: &str, format: Format, press: Press) -> bool {
    if matches!(format, Format::Sheet(_)) || press == Press::Wide {
        return true;
    }
    check.refuse(&format!("{path}.press"), error!("paper-press"));
    false
}

/// Whether margins and border leave a tile; of a roll only the width counts.
fn roomy(check: &mut Check<'_>, path: &str, setup: &PaperSetup) -> bool {
    let taken = setup.margins.grown(setup.border);
    let size = match setup.paper.format {
        Format::Sheet(size) => size,
        Format::Roll(width) => Size::new(width, taken.top + taken.bottom + MIN_TILE),
    };
    let (width, height) = (size.width - taken.left - taken.right, size.height - taken.top - taken.bottom);
    // 30 mm less twice 5 mm may fall short of 20 mm in the last digit.
    let slack = Length::mm(1e-6);
    if width + slack >= MIN_TILE && height + slack >= MIN_TILE {
        return true;
    }
    let left = |length: Length| length.max(Length::ZERO);
    let id = &setup.paper.id;
    check.refuse(path, error!("tile-empty", width = left(width), height = left(height), id));
    false
}
