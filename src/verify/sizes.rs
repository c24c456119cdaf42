//! The pages that each size needs, found anew in the ink and held against the list that buyers are given.

use super::assembly::Shown;
use super::cover::inks;
use super::promises::{Paper, Sheet};
use super::verdict::{Check, Verdict};
use crate::diagnostic::or_list;
use std::collections::BTreeSet;

/// How far ink must reach into a tile to need its sheet, and how far from it it may end for the sheet to be idle, in mm.
const HAIR: f64 = 0.05;

/// Judges the list of every size of one paper.
pub(super) fn check(paper: &Paper, sheets: &[Shown], verdict: &mut Verdict) {
    let layers: BTreeSet<&str> = paper.sizes.iter().filter_map(|size| size.layer.as_deref()).collect();
    // Without layers nobody can tell whose line it is.
    if layers.len() < paper.sizes.len() {
        return;
    }
    let inked: Vec<(&Sheet, &Shown)> = paper.sheets.iter().zip(sheets).collect();
    for size in &paper.sizes {
        let needs = |marks: &Shown, by: f64| {
            marks.iter().any(|(mark, window)| {
                let own = mark.layer.as_deref().is_none_or(|layer| !layers.contains(layer));
                (own || mark.layer.as_deref() == size.layer.as_deref()) && inks(mark, window.inflate(by, by))
            })
        };
        let listed = |sheet: &Sheet| size.pages.contains(&sheet.page);
        let lacking = inked.iter().filter(|(sheet, marks)| !listed(sheet) && needs(marks, -HAIR));
        let idle = inked.iter().filter(|(sheet, marks)| listed(sheet) && !needs(marks, HAIR));
        let (lacking, idle) = (labels(lacking), labels(idle));
        let lacking = (!lacking.is_empty()).then(|| error!("size-pages", size = size.size, sheets = or_list(&lacking)));
        let idle = (!idle.is_empty()).then(|| error!("size-pages/idle", size = size.size, sheets = or_list(&idle)));
        for finding in [lacking, idle] {
            verdict.judge(Check::Sizes, finding.map_or(Ok(()), |finding| Err(finding.at(verdict.place(&paper.file)))));
        }
    }
}

fn labels<'a>(sheets: impl Iterator<Item = &'a (&'a Sheet, &'a Shown)>) -> Vec<String> {
    sheets.map(|(sheet, _)| sheet.label.clone()).collect()
}
