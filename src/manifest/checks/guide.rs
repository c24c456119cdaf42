//! The publisher's texts and tables for the guide.

use super::{Check, files, lengths};
use crate::diagnostic::{Diagnostic, counted, offered};
use crate::manifest::guide::{CutRow, FabricRow, GuideTexts, MEASURES, Measure, MeasureRow};
use crate::manifest::raw::RawManifest;
use crate::manifest::raw_guide::{RawCut, RawFabric, RawGuide, RawMeasure};
use crate::manifest::section::Section;
use crate::manifest::words::{Label, LengthText, Line, Prose};
use crate::manifest::yaml::item_path;
use crate::units::Length;

mod chapters;

/// Reads the key `guide`.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> GuideTexts {
    // Only a refused value counts here; what it holds is checked entry by entry.
    check.optional("guide", &raw.guide, |_| Ok(()));
    let computed = raw.cloths.value().into_iter().flatten().flatten().map(|cloth| cloth.name.0.trim()).collect();
    raw.guide.value().map(|guide| texts(check, guide, size_count(raw), computed)).unwrap_or_default()
}

/// How many sizes the kit has, a one-size kit counting as one; `None` if a size was refused, which would mislead.
fn size_count(raw: &RawManifest) -> Option<usize> {
    match &raw.sizes {
        Section::Absent => Some(1),
        Section::Broken => None,
        Section::Read(sizes) => sizes.iter().all(Option::is_some).then_some(sizes.len().max(1)),
    }
}

/// The texts without the white space around them; that none is empty was seen to before.
fn texts(check: &mut Check<'_>, raw: &RawGuide, sizes: Option<usize>, computed: Vec<&str>) -> GuideTexts {
    let text = |text: &Option<Prose>| text.as_ref().map(|text| text.0.trim().to_owned());
    let cloths: Vec<&str> = raw.fabric_table.iter().map(|fabric| fabric.name.0.trim()).chain(computed).collect();
    GuideTexts {
        introduction: text(&raw.introduction),
        size_table: measures(check, &raw.size_table, sizes),
        fabric_table: each(&raw.fabric_table, "guide.fabric-table", |path, raw| fabric(check, path, raw, sizes)),
        cutting_list: each(&raw.cutting_list, "guide.cutting-list", |path, raw| cut(check, path, raw, &cloths)),
        fabric: text(&raw.fabric),
        notions: text(&raw.notions),
        chapters: chapters::read(check, &raw.chapters),
        licence: text(&raw.licence),
        changes: text(&raw.changes),
        help: text(&raw.help),
    }
}

fn each<T, U>(list: &[T], key: &str, mut read: impl FnMut(&str, &T) -> Option<U>) -> Vec<U> {
    list.iter().enumerate().filter_map(|(index, raw)| read(&item_path(key, index), raw)).collect()
}

fn measures(check: &mut Check<'_>, list: &[RawMeasure], sizes: Option<usize>) -> Vec<MeasureRow> {
    let mut rows: Vec<MeasureRow> = Vec::new();
    for (index, raw) in list.iter().enumerate() {
        let path = item_path("guide.size-table", index);
        let Some(row) = measure_row(check, &path, raw, sizes) else { continue };
        if rows.iter().any(|known| (&known.measure, known.of) == (&row.measure, row.of)) {
            check.refuse(&path, error!("measure-twice"));
        }
        rows.push(row);
    }
    rows
}

fn measure_row(check: &mut Check<'_>, path: &str, raw: &RawMeasure, sizes: Option<usize>) -> Option<MeasureRow> {
    let measure = measure(check, path, raw);
    let values = values(check, &format!("{path}.values"), &raw.values, sizes, false);
    Some(MeasureRow { measure: measure?, of: raw.of.unwrap_or_default(), values: values? })
}

fn measure(check: &mut Check<'_>, path: &str, raw: &RawMeasure) -> Option<Measure> {
    match (&raw.measure, &raw.name) {
        (Some(word), None) => check.take(&format!("{path}.measure"), known(word.0.trim())).map(Measure::Known),
        (None, Some(name)) => Some(Measure::Own(name.0.trim().to_owned())),
        _ => {
            check.refuse(path, error!("measure-form", path));
            None
        }
    }
}

fn known(word: &str) -> Result<&'static str, Diagnostic> {
    MEASURES
        .iter()
        .find(|known| **known == word)
        .copied()
        .ok_or_else(|| error!("measure-unknown", word).hint(offered(word, MEASURES)).hint(words!("measure-unknown/own")))
}

/// One value for each size; a single one for all sizes where that has a meaning.
fn values(
    check: &mut Check<'_>,
    path: &str,
    raw: &[LengthText],
    sizes: Option<usize>,
    one_for_all: bool,
) -> Option<Vec<Length>> {
    let read: Vec<_> =
        raw.iter().enumerate().map(|(i, text)| check.take(&item_path(path, i), lengths::positive(&text.0))).collect();
    if let Some(sizes) = sizes.filter(|sizes| *sizes != raw.len() && !(one_for_all && raw.len() == 1)) {
        let has = counted(raw.len(), "value");
        let hint = if one_for_all { words!("write-one-length") } else { words!("write-one-value") };
        check.refuse(path, error!("table-length", path, has, sizes = are(sizes), hint));
        return None;
    }
    read.into_iter().collect()
}

fn are(sizes: usize) -> String {
    format!("{} {}", if sizes == 1 { "is" } else { "are" }, counted(sizes, "size"))
}

fn fabric(check: &mut Check<'_>, path: &str, raw: &RawFabric, sizes: Option<usize>) -> Option<FabricRow> {
    let width = raw.width.as_ref().map(|text| check.take(&format!("{path}.width"), lengths::positive(&text.0)));
    let lengths = values(check, &format!("{path}.lengths"), &raw.lengths, sizes, true);
    Some(FabricRow { name: label(&raw.name), what: raw.what.as_ref().map(line), width: width.flatten(), lengths: lengths? })
}

fn cut(check: &mut Check<'_>, path: &str, raw: &RawCut, cloths: &[&str]) -> Option<CutRow> {
    let from = raw.from.as_ref().map(label);
    // Without a table the names of cloths are the publisher's own affair.
    if let Some(stranger) = from.as_deref().filter(|from| !cloths.is_empty() && !cloths.contains(from)) {
        let hint = offered(stranger, cloths.iter().copied());
        check.refuse(&format!("{path}.from"), error!("fabric-unknown", stranger).hint(hint));
    }
    let (fold, mirrored) = (raw.fold.unwrap_or_default(), raw.mirrored.unwrap_or_default());
    if mirrored && raw.cut % 2 == 1 {
        check.refuse(&format!("{path}.cut"), error!("cut-form", cut = raw.cut));
    }
    let note = raw.note.as_ref().map(line);
    Some(CutRow { piece: label(&raw.piece), from, count: raw.cut, fold, mirrored, note })
}

fn label(text: &Label) -> String {
    text.0.trim().to_owned()
}

fn line(text: &Line) -> String {
    text.0.trim().to_owned()
}
