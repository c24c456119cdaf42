//! Which sheets are to be printed anew: by a tester, whose copy also says whose it is, and by buyers of an earlier edition.

use super::files::{FileKind, PackedFile, layout_of};
use super::pages::page_ranges;
use crate::catalogue::Messages;
use crate::manifest::{Corrections, Kit, Reprint, Since};
use crate::plan::Layout;
use crate::press::paper_title;

/// Its sentences, for guide and read-me; none for a finished edition.
pub fn review(kit: &Kit, messages: &Messages) -> Vec<String> {
    let Some(review) = &kit.review else { return Vec::new() };
    let copy = messages.text("sheet.copy", &[("round", &review.round.to_string()), ("tester", &review.tester)]);
    let since = review.since.as_ref().map(|since| changed(since, messages));
    since.into_iter().fold(vec![copy, messages.text("review.private", &[])], |mut all, since| {
        all.insert(1, since);
        all
    })
}

fn changed(since: &Since, messages: &Messages) -> String {
    let (round, Reprint { all, sheets, pages, file, .. }) = (since.round.to_string(), &since.reprint);
    let key = match sheets.is_empty() {
        _ if *all => "review.all",
        true => "review.same",
        false => "review.anew",
    };
    let (sheets, pages) = (messages.list(sheets), page_ranges(pages));
    messages.text(key, &[("round", &round), ("sheets", &sheets), ("pages", &pages), ("file", file)])
}

/// What buyers of an earlier edition print anew, paper by paper, and the sentence above it; nothing if that is not known.
pub fn corrections(kit: &Kit, files: &[PackedFile], layouts: &[Layout], messages: &Messages) -> Option<(String, Vec<String>)> {
    let Corrections { edition, papers } = kit.corrections.as_ref()?;
    let lines = papers.iter().filter_map(|paper| corrected(paper, files, layouts, messages)).collect();
    Some((messages.text("corrections.since", &[("edition", edition)]), lines))
}

fn corrected(reprint: &Reprint, files: &[PackedFile], layouts: &[Layout], messages: &Messages) -> Option<String> {
    let Reprint { paper, all, sheets, pages, .. } = reprint;
    let title = paper_title(&layout_of(paper, layouts)?.setup.paper, messages);
    let called = |kind: &FileKind| files.iter().find(|file| file.kind == *kind).map(|file| file.name.as_str());
    let file = called(&FileKind::Home { paper: paper.clone() }).unwrap_or(&reprint.file);
    let key = match sheets.is_empty() {
        _ if *all => "corrections.all",
        true => "corrections.same",
        false => "corrections.anew",
    };
    let (list, pages) = (messages.list(sheets), page_ranges(pages));
    let line = messages.text(key, &[("paper", &title), ("sheets", &list), ("pages", &pages), ("file", file)]);
    let alone = called(&FileKind::Corrections { paper: paper.clone(), sheets: sheets.len() });
    Some(alone.map_or_else(|| line.clone(), |file| format!("{line} {}", messages.text("corrections.alone", &[("file", file)]))))
}
