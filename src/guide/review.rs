//! What a tester's copy says of itself: whose it is, and which sheets are to be printed anew.

use super::pages::page_ranges;
use crate::catalogue::Messages;
use crate::manifest::{Kit, Since};

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
    let round = since.round.to_string();
    if since.all {
        return messages.text("review.all", &[("round", &round)]);
    }
    if since.sheets.is_empty() {
        return messages.text("review.same", &[("round", &round)]);
    }
    let (sheets, pages) = (messages.list(&since.sheets), page_ranges(&since.pages));
    messages.text("review.anew", &[("round", &round), ("sheets", &sheets), ("pages", &pages), ("file", &since.file)])
}
