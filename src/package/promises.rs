//! What a package promises, as a record for programs that check it: sheets, pages, true lengths.
//!
//! Field names are part of the interface; lengths are mm, pages count from 1. `verify` reads it with types of its own.

use crate::drawing::{Drawing, Measured, Trace, TraceKind};
use crate::manifest::{Control, Kit, Press};
use crate::plan::{Layout, Sheet, SizeSheets};
use crate::press::ScaleMark;
use crate::units::{Point, Rect};
use serde::Serialize;

/// How far a printed rule may be off in the file.
const MARK_TOLERANCE_MM: f64 = 0.01;

#[derive(Serialize)]
struct Promises {
    format: u32,
    kit: String,
    title: String,
    edition: String,
    date: String,
    languages: Vec<String>,
    sizes: Vec<String>,
    papers: Vec<PaperPromise>,
    controls: Vec<ControlPromise>,
    /// Names of control measurements that lie on layers which are not printed: measured in the drawing alone.
    unprinted: Vec<String>,
}

#[derive(Serialize)]
struct PaperPromise {
    paper: String,
    title: String,
    file: String,
    width_mm: f64,
    height_mm: f64,
    press: &'static str,
    /// `flat` or `projection`, for a second file with the same drawing; absent for the paper's own file.
    #[serde(skip_serializing_if = "Option::is_none")]
    variant: Option<&'static str>,
    /// Tag of the language of its words, for a file that is there once more in another one than the source language.
    #[serde(skip_serializing_if = "Option::is_none")]
    language: Option<String>,
    one_of_many_sizes: bool,
    origin_mm: [f64; 2],
    tile_mm: [f64; 4],
    check_page: Option<usize>,
    sheets: Vec<SheetPromise>,
    sizes: Vec<SizePromise>,
    scale_marks: Vec<MarkPromise>,
}

#[derive(Serialize)]
struct SheetPromise {
    label: String,
    page: usize,
    row: usize,
    column: usize,
    area_mm: [f64; 4],
}

#[derive(Serialize)]
struct SizePromise {
    size: String,
    /// Name of the size's layer in the file; absent in a file without layers.
    #[serde(skip_serializing_if = "Option::is_none")]
    layer: Option<String>,
    pages: Vec<usize>,
}

#[derive(Serialize)]
struct MarkPromise {
    page: usize,
    what: String,
    from_mm: [f64; 2],
    to_mm: [f64; 2],
    length_mm: f64,
    tolerance_mm: f64,
}

/// A single straight distance has its two ends, everything else its parts.
#[derive(Serialize)]
struct ControlPromise {
    name: String,
    promised_mm: f64,
    tolerance_mm: f64,
    /// Sizes whose buyers get all of it.
    sizes: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    from_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    to_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<PartPromise>,
}

/// What adds up to a control measurement.
#[derive(Serialize)]
struct PartPromise {
    /// Whether it is taken away.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    minus: bool,
    /// `straight`, `line`, `outline`, `between`, `width` or `height`.
    measure: &'static str,
    points_mm: Vec<[f64; 2]>,
}

/// A layout, its file, and the lengths on its pages.
pub struct Printed {
    /// The layout.
    pub layout: Layout,
    /// Name of the file.
    pub file: String,
    /// `flat` or `projection`, if it is not the paper's own file.
    pub variant: Option<&'static str>,
    /// Tag of the language of its words, if that is not the source language.
    pub language: Option<String>,
    /// Names of the layers of the layout's sizes, in their order; none in a file without such layers.
    pub size_layers: Vec<String>,
    /// Page, from 1, and what is promised on it.
    pub marks: Vec<(usize, ScaleMark)>,
}

/// The record of a package as JSON text.
pub fn promises(kit: &Kit, languages: &[String], drawing: &Drawing, printed: &[Printed]) -> String {
    let record = Promises {
        format: 1,
        kit: kit.name.clone(),
        title: kit.title.clone(),
        edition: kit.edition.to_string(),
        date: kit.date.to_string(),
        languages: languages.to_vec(),
        sizes: kit.sizes.iter().map(|size| size.name.clone()).collect(),
        papers: printed.iter().map(|printed| paper(printed, kit.sizes.len())).collect(),
        controls: kit.controls.iter().zip(&drawing.controls).filter_map(|(c, m)| promised(kit, c, m.as_ref()?)).collect(),
        unprinted: kit.controls.iter().zip(&drawing.controls).filter_map(|(c, m)| unprinted(c, m.as_ref()?)).collect(),
    };
    // Plain numbers and strings always have a JSON form.
    serde_json::to_string_pretty(&record).map(|text| text + "\n").unwrap_or_default()
}

fn paper(printed: &Printed, size_count: usize) -> PaperPromise {
    let Printed { layout, file, variant, language, size_layers, marks } = printed;
    let home = layout.setup.paper.press == Press::Home;
    PaperPromise {
        paper: layout.setup.paper.id.clone(),
        title: layout.setup.paper.title.clone(),
        file: file.clone(),
        width_mm: rounded(layout.sheet_size.width.to_mm()),
        height_mm: rounded(layout.sheet_size.height.to_mm()),
        press: if home { "home" } else { "wide" },
        variant: *variant,
        language: language.clone(),
        one_of_many_sizes: layout.sizes.len() < size_count,
        origin_mm: [rounded(layout.origin.x.to_mm()), rounded(layout.origin.y.to_mm())],
        tile_mm: corners(layout.tile),
        check_page: home.then_some(1),
        sheets: layout.sheets.iter().enumerate().map(|(index, sheet)| promised_sheet(layout, index, sheet)).collect(),
        sizes: layout
            .sizes
            .iter()
            .enumerate()
            .map(|(index, size)| promised_size(layout, size, size_layers.get(index)))
            .collect(),
        scale_marks: marks.iter().map(|(page, mark)| promised_mark(*page, mark)).collect(),
    }
}

fn promised_size(layout: &Layout, size: &SizeSheets, layer: Option<&String>) -> SizePromise {
    SizePromise { size: size.name.clone(), layer: layer.cloned(), pages: layout.pages_of(size) }
}

fn promised_sheet(layout: &Layout, index: usize, sheet: &Sheet) -> SheetPromise {
    let (page, area_mm) = (layout.page_of(index), corners(sheet.area));
    SheetPromise { label: sheet.label.clone(), page, row: sheet.row, column: sheet.column, area_mm }
}

fn promised_mark(page: usize, mark: &ScaleMark) -> MarkPromise {
    MarkPromise {
        page,
        what: mark.what.clone(),
        from_mm: [rounded(mark.from.x), rounded(mark.from.y)],
        to_mm: [rounded(mark.to.x), rounded(mark.to.y)],
        length_mm: rounded(mark.from.distance(mark.to)),
        tolerance_mm: MARK_TOLERANCE_MM,
    }
}

/// The name of a control measurement that is not printed.
fn unprinted(control: &Control, measured: &Measured) -> Option<String> {
    measured.traces.is_empty().then(|| control.name.clone())
}

/// A control measurement, unless it is not printed.
fn promised(kit: &Kit, control: &Control, measured: &Measured) -> Option<ControlPromise> {
    let ends = match measured.traces.as_slice() {
        [] => return None,
        [Trace { minus: false, kind: TraceKind::Straight, points }] => points.first().zip(points.last()),
        _ => None,
    };
    let parts = if ends.is_some() { &[][..] } else { &measured.traces };
    let sizes = measured.sizes.iter().filter_map(|size| kit.sizes.get(*size)).map(|size| size.name.clone());
    Some(ControlPromise {
        name: control.name.clone(),
        promised_mm: rounded(control.length.to_mm()),
        tolerance_mm: rounded(control.tolerance.to_mm()),
        sizes: sizes.collect(),
        from_mm: ends.map(|(from, _)| pair(*from)),
        to_mm: ends.map(|(_, to)| pair(*to)),
        parts: parts.iter().map(part).collect(),
    })
}

fn part(trace: &Trace) -> PartPromise {
    let measure = match trace.kind {
        TraceKind::Straight => "straight",
        TraceKind::Line => "line",
        TraceKind::Outline => "outline",
        TraceKind::Between => "between",
        TraceKind::Width => "width",
        TraceKind::Height => "height",
    };
    PartPromise { minus: trace.minus, measure, points_mm: trace.points.iter().copied().map(pair).collect() }
}

fn pair(point: Point) -> [f64; 2] {
    [rounded(point.x.to_mm()), rounded(point.y.to_mm())]
}

/// Left, top, width, height.
fn corners(area: Rect) -> [f64; 4] {
    [area.min.x, area.min.y, area.width(), area.height()].map(|length| rounded(length.to_mm()))
}

/// To a hundredth of a micrometre, so that no rounding noise of the last bit gets into the file.
fn rounded(mm: f64) -> f64 {
    (mm * 1e5).round() / 1e5 + 0.0
}
