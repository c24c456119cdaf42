//! Which sheets a finding is about: found by its place in the manifest, in the drawing, or in the finished files.

use super::view::Source;
use crate::diagnostic::{Diagnostic, Place};
use crate::drawing::Item;
use crate::manifest::{Control, ControlTarget, Side};
use crate::plan::{Layout, Sheet};
use crate::units::Point;
use kurbo::Rect;

/// What a finding is about, by the numbers of layouts and sheets.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Concern {
    /// Layout and sheet.
    pub(super) sheets: Vec<(usize, usize)>,
    /// Whole layouts.
    pub(super) papers: Vec<usize>,
}

/// What a finding is about; nothing for one that is about the kit as a whole.
pub(super) fn concerns(finding: &Diagnostic, source: &Source) -> Concern {
    let Some(place) = &finding.place else { return Concern::default() };
    of_paper(finding, place, source)
        .or_else(|| of_file(finding, place, source))
        .unwrap_or_else(|| Concern { sheets: on_sheets(&areas(place, source), source.layouts), papers: Vec::new() })
}

/// A remark of the plan stands at a paper of the manifest; what it remarks on is known to the plan.
fn of_paper(finding: &Diagnostic, place: &Place, source: &Source) -> Option<Concern> {
    let setups = source.kit.papers.iter().enumerate();
    let at = |index: usize| source.kit.places.of_path(&format!("papers[{index}]"));
    let ids = setups.filter(|(index, _)| at(*index) == *place).map(|(_, setup)| &setup.paper.id);
    let layouts: Vec<usize> =
        ids.filter_map(|id| source.layouts.iter().position(|layout| layout.setup.paper.id == *id)).collect();
    let fits = |layout: usize| source.layouts.get(layout).map(|it| remarked(finding.code, it)).unwrap_or_default();
    let sheets: Vec<(usize, usize)> =
        layouts.iter().flat_map(|&layout| fits(layout).into_iter().map(move |sheet| (layout, sheet))).collect();
    let papers = if sheets.is_empty() { layouts.clone() } else { Vec::new() };
    (!layouts.is_empty()).then_some(Concern { sheets, papers })
}

/// The sheets that a remark of the plan is about; none if it is about the whole layout.
fn remarked(code: &str, layout: &Layout) -> Vec<usize> {
    let sheets = || 0..layout.sheets.len();
    let over_ink = |sheet: &usize| layout.sheets.get(*sheet).is_some_and(|sheet| sheet.plate.over_ink);
    let hidden = layout.joins.iter().filter(|join| join.marks.iter().any(|mark| mark.over_ink));
    match code {
        "plate-over-ink" => sheets().filter(over_ink).collect(),
        "mark-over-ink" => {
            let mut both: Vec<usize> = hidden.flat_map(|join| [join.first, join.second]).collect();
            both.sort_unstable();
            both.dedup();
            both
        }
        "sheet-sliver" => layout.facts.slivers.clone(),
        _ => Vec::new(),
    }
}

/// What was measured wrong in a finished file is shown on the page where it was measured.
fn of_file(finding: &Diagnostic, place: &Place, source: &Source) -> Option<Concern> {
    let name = place.file.strip_prefix(&source.verdict.package)?.strip_prefix('/')?;
    let file = source.files.iter().find(|file| file.name == name)?;
    let layout = source.layouts.iter().position(|layout| file.paper.as_ref() == Some(&layout.setup.paper.id));
    let Some(layout) = layout else { return Some(Concern::default()) };
    let wrong = source.verdict.figures.iter().filter(|figure| !figure.fine && figure.file == name);
    let told = wrong.filter(|figure| finding.message.contains(&format!("`{}`", figure.what)));
    let pages: Vec<usize> = told.filter_map(|figure| figure.page).collect();
    let shown = source.layouts.get(layout).filter(|_| file.main);
    let sheets = shown.into_iter().flat_map(|it| (0..it.sheets.len()).filter(|sheet| pages.contains(&it.page_of(*sheet))));
    let sheets: Vec<(usize, usize)> = sheets.map(|sheet| (layout, sheet)).collect();
    let papers = if sheets.is_empty() { vec![layout] } else { Vec::new() };
    Some(Concern { sheets, papers })
}

/// Where in the drawing a finding points.
fn areas(place: &Place, source: &Source) -> Vec<Rect> {
    let items = || source.drawing.pieces.iter().flat_map(|piece| &piece.items);
    let boxes = |fits: &dyn Fn(&Item) -> bool| items().filter(|item| fits(item)).map(|item| item.bounds).collect();
    if place.file == source.kit.drawing.file {
        let line: Vec<Rect> = boxes(&|item| place.line.is_some() && item.origin.line == place.line);
        let named = |item: &Item| place.element.is_some() && item.origin.element == place.element;
        return if line.is_empty() { boxes(&named) } else { line };
    }
    let told = source.kit.controls.iter().position(|control| stands_at(control, place, source));
    let Some(control) = told.and_then(|index| source.kit.controls.get(index)) else { return Vec::new() };
    let dot = |at: &Point| Rect::from_center_size(at.to_kurbo_mm(), (0.0, 0.0));
    let measured = told.and_then(|index| source.drawing.controls.get(index)).and_then(Option::as_ref);
    let traced: Vec<Rect> = measured.into_iter().flat_map(|it| &it.traces).flat_map(|trace| &trace.points).map(dot).collect();
    if !traced.is_empty() {
        return traced;
    }
    let of_element = |side: &Side| boxes(&|item| item.origin.element.as_ref() == Some(&side.element));
    match &control.target {
        ControlTarget::Points(from, to) => vec![dot(from), dot(to)],
        ControlTarget::Side(side) => of_element(side),
        ControlTarget::Pair(side, others) => [side].into_iter().chain(others).flat_map(of_element).collect(),
    }
}

/// Whether a place of the manifest is that of a control measurement or of a part of it.
fn stands_at(control: &Control, place: &Place, source: &Source) -> bool {
    let keys = ["name", "from", "to", "element", "length", "lengths", "between", "measure", "size", "equals"];
    let parts = keys.iter().map(|key| format!("{}.{key}", control.entry));
    let size = control.size.and_then(|size| source.kit.sizes.get(size));
    let own = size.map(|size| format!("{}.lengths.{}", control.entry, size.name));
    own.into_iter().chain(parts).chain([control.entry.clone()]).any(|path| source.kit.places.of_path(&path) == *place)
}

/// The sheets on which some places of the drawing lie.
fn on_sheets(areas: &[Rect], layouts: &[Layout]) -> Vec<(usize, usize)> {
    let on = |sheet: &Sheet| {
        let tile = sheet.area.to_kurbo_mm();
        areas.iter().any(|area| area.x0 <= tile.x1 && area.x1 >= tile.x0 && area.y0 <= tile.y1 && area.y1 >= tile.y0)
    };
    let layouts = layouts.iter().enumerate();
    let found = |(number, layout): (usize, &Layout)| {
        let sheets = layout.sheets.iter().enumerate().filter(|(_, sheet)| on(sheet));
        sheets.map(|(index, _)| (number, index)).collect::<Vec<_>>()
    };
    layouts.flat_map(found).collect()
}
