//! What to ask a tester, from the kit, the plan of their paper and their line of the roster.

use super::form::{FormSheet, FormSource, FormStep};
use crate::catalogue::{KitWords, Messages};
use crate::guide::steps;
use crate::manifest::Kit;
use crate::plan::Layout;
use crate::press::paper_title;
use crate::review::Tester;

/// The form's values; `changed` are labels of sheets that are others than in the tester's last round.
pub fn ask<'a>(
    kit: &Kit,
    layout: &Layout,
    (tester, round): (&Tester, u32),
    changed: &[String],
    (messages, words): (&'a Messages, &KitWords),
) -> FormSource<'a> {
    let sheet = |sheet: &crate::plan::Sheet| FormSheet {
        label: sheet.label.clone(),
        row: sheet.row,
        column: sheet.column,
        changed: changed.contains(&sheet.label),
    };
    let steps = steps(kit, messages, words).into_iter().map(|step| FormStep { id: step.id, title: step.title });
    FormSource {
        kit: kit.name.clone(),
        title: words.say("kit.title", &kit.title).or(&kit.title),
        edition: kit.edition.to_string(),
        publisher: kit.publisher.clone(),
        round,
        tester: tester.id.clone(),
        sizes: tester.sizes.clone(),
        paper: layout.setup.paper.id.clone(),
        paper_title: paper_title(&layout.setup.paper, messages),
        sheets: layout.sheets.iter().map(sheet).collect(),
        steps: steps.collect(),
        messages,
    }
}
