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
    let message = format!("{} paper has no room for a tile the way that `placement` lays it", setup.paper.title);
    Diagnostic::error("placement-no-tile", message).hint("turn `lying` round, or take `placement` out")
}

fn crowded(layout: &Layout) -> Option<Diagnostic> {
    let over: Vec<&Sheet> = layout.sheets.iter().filter(|sheet| sheet.plate.over_ink).collect();
    let crowded = labels(layout, |index| layout.sheets.get(index).is_some_and(|sheet| sheet.plate.over_ink))?;
    let area = |sheet: &Sheet| sheet.plate.largest_free.width.to_mm() * sheet.plate.largest_free.height.to_mm();
    let free = over.into_iter().min_by(|a, b| area(a).total_cmp(&area(b))).map(|sheet| sheet.plate.largest_free)?;
    let message = format!(
        "on {} paper the label of sheet {crowded} stands over lines: the largest free place is {:.0} × {:.0} mm",
        layout.setup.paper.title,
        free.width.to_mm(),
        free.height.to_mm()
    );
    Some(Diagnostic::warning("plate-over-ink", message).hint("leave about 6 × 2 cm free on each sheet if you can"))
}

fn hidden(layout: &Layout) -> Option<Diagnostic> {
    let hidden =
        layout.joins.iter().filter(|join| join.marks.iter().any(|mark| mark.over_ink)).map(|join| join.number.to_string());
    let hidden: Vec<String> = hidden.collect();
    (!hidden.is_empty()).then(|| {
        let (title, numbers) = (&layout.setup.paper.title, hidden.join(", "));
        let message = format!("on {title} paper the marks of these joins stand over lines: {numbers}");
        Diagnostic::warning("mark-over-ink", message)
            .hint("lines that run close along a join leave no room; another paper or border moves the joins")
    })
}

fn in_parts(layout: &Layout) -> Option<Diagnostic> {
    let parts = layout.sheets.len();
    (layout.setup.paper.press == Press::Wide && parts > 1).then(|| {
        let title = &layout.setup.paper.title;
        let message = format!("the drawing does not fit on {title} in one piece: it takes {}", counted(parts, "part"));
        Diagnostic::warning("wide-in-parts", message).hint(match layout.setup.paper.format {
            Format::Sheet(_) => "name a wider paper or a roll to have it in one piece",
            Format::Roll(_) => "name a wider roll, or state a larger `longest`, to have it in fewer pieces",
        })
    })
}

fn slivers(layout: &Layout) -> Option<Diagnostic> {
    let thin = labels(layout, |index| layout.facts.slivers.contains(&index))?;
    let message = format!("on {} paper sheet {thin} holds hardly any ink, less than 0.2 mm of it", layout.setup.paper.title);
    Some(Diagnostic::warning("sheet-sliver", message).hint("move the drawing's pieces a little closer together"))
}

fn stale_pin(layout: &Layout) -> Option<Diagnostic> {
    // Blank sheets that were filled in stay where they were.
    if layout.setup.pin.is_some_and(|pin| pin.fixed) {
        return None;
    }
    let (now, best) = (layout.sheets.len(), layout.facts.unpinned_sheets?);
    (best < now).then(|| {
        let title = &layout.setup.paper.title;
        let message = format!("the held placement on {title} paper takes {}, where {best} would do", counted(now, "sheet"));
        Diagnostic::warning("placement-stale", message)
            .hint("take `placement` out with the next edition whose layout may change")
    })
}

/// Labels of the sheets that a question fits, joined for a message; none if it fits none.
fn labels(layout: &Layout, fits: impl Fn(usize) -> bool) -> Option<String> {
    let labels = layout.sheets.iter().enumerate().filter(|(index, _)| fits(*index)).map(|(_, sheet)| sheet.label.as_str());
    let labels: Vec<&str> = labels.collect();
    (!labels.is_empty()).then(|| labels.join(", "))
}
