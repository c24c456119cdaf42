//! The publisher's tables: measures by size, cloth to buy, pieces to cut.

use super::lengths::cm_inches;
use super::own::Own;
use crate::catalogue::Messages;
use crate::manifest::{CutRow, FabricRow, Kit, Measure, MeasureRow, Worn};
use crate::units::Length;
use serde::Serialize;

/// Most measures side by side, so that a table fits on a phone.
const ABREAST: usize = 4;

/// All tables of a guide.
#[derive(Debug, Serialize)]
pub struct Tables {
    measures: Vec<MeasureTable>,
    fabrics: Vec<FabricView>,
    cuts: Vec<CutView>,
    /// Whether any piece names its cloth.
    cut_from: bool,
}

/// Some measures of body or garment, a row for each size.
#[derive(Debug, Serialize)]
struct MeasureTable {
    /// Whether it is about the finished garment.
    garment: bool,
    /// Names of the measures; HTML.
    heads: Vec<String>,
    rows: Vec<MeasureLine>,
}

/// The measures of one size.
#[derive(Debug, Serialize)]
struct MeasureLine {
    size: String,
    values: Vec<String>,
}

/// A cloth; names are HTML.
#[derive(Debug, Serialize)]
struct FabricView {
    name: String,
    what: Option<String>,
    width: Option<String>,
    /// One for all sizes, or one for each run of sizes that need the same.
    lengths: Vec<String>,
}

/// A piece; names are HTML.
#[derive(Debug, Serialize)]
struct CutView {
    piece: String,
    count: u32,
    from: Option<String>,
    fold: bool,
    mirrored: bool,
    note: Option<String>,
}

impl Tables {
    /// Of a kit in one language.
    pub fn new(kit: &Kit, own: &Own<'_>, messages: &Messages) -> Self {
        let guide = &kit.guide;
        let measures = [Worn::Body, Worn::Garment].into_iter().flat_map(|worn| measures(kit, worn, own, messages));
        Self {
            measures: measures.collect(),
            fabrics: guide.fabric_table.iter().map(|row| FabricView::new(row, kit, own, messages)).collect(),
            cuts: guide.cutting_list.iter().map(|row| CutView::new(row, own)).collect(),
            cut_from: guide.cutting_list.iter().any(|row| row.from.is_some()),
        }
    }
}

/// The tables about body or garment, none wider than fits and all about as wide.
fn measures(kit: &Kit, worn: Worn, own: &Own<'_>, messages: &Messages) -> Vec<MeasureTable> {
    let rows: Vec<&MeasureRow> = kit.guide.size_table.iter().filter(|row| row.of == worn).collect();
    let tables = rows.len().div_ceil(ABREAST).max(1);
    let part = |rows: &[&MeasureRow]| MeasureTable {
        garment: worn == Worn::Garment,
        heads: rows.iter().map(|row| head(&row.measure, own, messages)).collect(),
        rows: sizes(kit, messages).into_iter().enumerate().map(|(index, size)| line(index, size, rows, messages)).collect(),
    };
    rows.chunks(rows.len().div_ceil(tables).max(1)).map(part).collect()
}

fn line(index: usize, size: String, rows: &[&MeasureRow], messages: &Messages) -> MeasureLine {
    let value = |row: &&MeasureRow| row.values.get(index).map(|value| cm_inches(*value, messages)).unwrap_or_default();
    MeasureLine { size, values: rows.iter().map(value).collect() }
}

/// Names of the sizes; of a one-size kit the words for that.
fn sizes(kit: &Kit, messages: &Messages) -> Vec<String> {
    let names: Vec<String> = kit.sizes.iter().map(|size| size.name.clone()).collect();
    if names.is_empty() { vec![messages.text("guide.sizes.one", &[])] } else { names }
}

fn head(measure: &Measure, own: &Own<'_>, messages: &Messages) -> String {
    let Measure::Known(word) = measure else {
        let Measure::Own(name) = measure else { return String::new() };
        return own.line("guide.size-table", name);
    };
    let key = match *word {
        "bust" => "guide.measure.bust",
        "waist" => "guide.measure.waist",
        "hip" => "guide.measure.hip",
        "height" => "guide.measure.height",
        "under-bust" => "guide.measure.under-bust",
        "neck" => "guide.measure.neck",
        "back-waist-length" => "guide.measure.back-waist-length",
        "arm-length" => "guide.measure.arm-length",
        _ => "guide.measure.inside-leg",
    };
    crate::markdown::escaped(&messages.text(key, &[]))
}

impl FabricView {
    fn new(row: &FabricRow, kit: &Kit, own: &Own<'_>, messages: &Messages) -> Self {
        let line = |text: &String| own.line("guide.fabric-table", text);
        Self {
            name: line(&row.name),
            what: row.what.as_ref().map(line),
            width: row.width.map(|width| cm_inches(width, messages)),
            lengths: lengths(row, kit, messages),
        }
    }
}

fn lengths(row: &FabricRow, kit: &Kit, messages: &Messages) -> Vec<String> {
    let sized: Vec<(&str, Length)> = kit.sizes.iter().map(|size| size.name.as_str()).zip(row.lengths.iter().copied()).collect();
    let runs: Vec<&[(&str, Length)]> = sized.chunk_by(|(_, one), (_, next)| one == next).collect();
    if row.lengths.len() == 1 || runs.len() < 2 {
        return row.lengths.first().map(|length| cm_inches(*length, messages)).into_iter().collect();
    }
    let run = |run: &[(&str, Length)]| {
        let ((first, length), (last, _)) = (run.first()?, run.last()?);
        let sizes = match run.len() {
            1 => (*first).to_owned(),
            _ => messages.text("guide.sizes.range", &[("first", first), ("last", last)]),
        };
        Some(messages.text("guide.materials.length", &[("sizes", &sizes), ("length", &cm_inches(*length, messages))]))
    };
    runs.into_iter().filter_map(run).collect()
}

impl CutView {
    fn new(row: &CutRow, own: &Own<'_>) -> Self {
        let line = |text: &String| own.line("guide.cutting-list", text);
        // A cloth goes by one name in both tables, so that it has one translation.
        let cloth = |text: &String| own.line("guide.fabric-table", text);
        Self {
            piece: line(&row.piece),
            count: row.count,
            from: row.from.as_ref().map(cloth),
            fold: row.fold,
            mirrored: row.mirrored,
            note: row.note.as_ref().map(line),
        }
    }
}
