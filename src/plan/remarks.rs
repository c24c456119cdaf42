//! What a publisher should know about a layout, as findings.

use super::layout::{Layout, Sheet};
use crate::diagnostic::{Diagnostic, counted};
use crate::manifest::{Format, PaperSetup, Press};

/// The remarks on one layout, without their place in the manifest.
pub(super) fn remarks(layout: &Layout) -> Vec<Diagnostic> {
    [crowded(layout), hidden(layout), in_parts(layout), slivers(layout), stale_pin(layout)].into_iter().flatten().collect()
}

/// The refusal of a paper that keeps no room for a tile the way it is held.
pub(super) fn no_tile(setup: &PaperSetup) -> Diagnostic {
    error!("placement-no-tile", title = setup.paper.title)
}

fn crowded(layout: &Layout) -> Option<Diagnostic> {
    let over: Vec<&Sheet> = layout.sheets.iter().filter(|sheet| sheet.plate.over_ink).collect();
    let crowded = labels(layout, |index| layout.sheets.get(index).is_some_and(|sheet| sheet.plate.over_ink))?;
    let area = |sheet: &Sheet| sheet.plate.largest_free.width.to_mm() * sheet.plate.largest_free.height.to_mm();
    let free = over.into_iter().min_by(|a, b| area(a).total_cmp(&area(b))).map(|sheet| sheet.plate.largest_free)?;
    Some(warning!(
        "plate-over-ink",
        title = layout.setup.paper.title,
        crowded,
        width = format_args!("{:.0}", free.width.to_mm()),
        height = format_args!("{:.0}", free.height.to_mm())
    ))
}

fn hidden(layout: &Layout) -> Option<Diagnostic> {
    let hidden =
        layout.joins.iter().filter(|join| join.marks.iter().any(|mark| mark.over_ink)).map(|join| join.number.to_string());
    let hidden: Vec<String> = hidden.collect();
    (!hidden.is_empty()).then(|| {
        let (title, numbers) = (&layout.setup.paper.title, hidden.join(", "));
        warning!("mark-over-ink", title, numbers)
    })
}

fn in_parts(layout: &Layout) -> Option<Diagnostic> {
    let parts = layout.sheets.len();
    (layout.setup.paper.press == Press::Wide && parts > 1).then(|| {
        let title = &layout.setup.paper.title;
        let parts = counted(parts, "part");
        match layout.setup.paper.format {
            Format::Sheet(_) => warning!("wide-in-parts", title, parts),
            Format::Roll(_) => warning!("wide-in-parts/roll", title, parts),
        }
    })
}

fn slivers(layout: &Layout) -> Option<Diagnostic> {
    let thin = labels(layout, |index| layout.facts.slivers.contains(&index))?;
    Some(warning!("sheet-sliver", title = layout.setup.paper.title, thin))
}

fn stale_pin(layout: &Layout) -> Option<Diagnostic> {
    // Blank sheets that were filled in stay where they were.
    if layout.setup.pin.is_some_and(|pin| pin.fixed) {
        return None;
    }
    let (now, best) = (layout.sheets.len(), layout.facts.unpinned_sheets?);
    (best < now).then(|| {
        let title = &layout.setup.paper.title;
        warning!("placement-stale", title, sheets = counted(now, "sheet"), best)
    })
}

/// Labels of the sheets that a question fits, joined for a message; none if it fits none.
fn labels(layout: &Layout, fits: impl Fn(usize) -> bool) -> Option<String> {
    let labels = layout.sheets.iter().enumerate().filter(|(index, _)| fits(*index)).map(|(_, sheet)| sheet.label.as_str());
    let labels: Vec<&str> = labels.collect();
    (!labels.is_empty()).then(|| labels.join(", "))
}
