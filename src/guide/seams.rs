//! How long seams are, and how much binding or elastic is needed, in one table of all sizes.

use super::lengths::cm_inches;
use super::own::Own;
use crate::catalogue::Messages;
use crate::lays::{LayBook, SeamLength, SeamLengths};
use crate::manifest::Kit;
use crate::units::Length;
use serde::Serialize;

/// All seams in a guide; texts that end in `_html` are HTML.
#[derive(Debug, Serialize)]
pub struct SeamsView {
    /// Heads of the table, the seams in the manifest's order.
    heads: Vec<Head>,
    rows: Vec<Row>,
}

#[derive(Debug, Serialize)]
struct Head {
    name_html: String,
    what_html: Option<String>,
}

/// One size.
#[derive(Debug, Serialize)]
struct Row {
    size: String,
    lengths: Vec<String>,
}

/// By what names of seams are known to translators.
const SEAMS: &str = "guide.seams";

/// The seams of a kit in one language; nothing if it tells of none.
pub fn seams(kit: &Kit, book: Option<&LayBook>, own: &Own<'_>, messages: &Messages) -> Option<SeamsView> {
    let seams = book?.seams.as_slice();
    let head = |seam: &SeamLengths| Head {
        name_html: own.line(SEAMS, &seam.seam),
        what_html: what(kit, &seam.seam).map(|what| own.line(SEAMS, what)),
    };
    let row = |(index, size): (usize, &SeamLength)| Row {
        size: if size.size.is_empty() { messages.text("guide.sizes.one", &[]) } else { size.size.clone() },
        lengths: seams.iter().filter_map(|seam| Some(length(seam.sizes.get(index)?, messages))).collect(),
    };
    let rows = seams.first()?.sizes.iter().enumerate().map(row).collect();
    Some(SeamsView { heads: seams.iter().map(head).collect(), rows })
}

/// What kind of binding or elastic serves.
fn what<'a>(kit: &'a Kit, seam: &str) -> Option<&'a String> {
    kit.seams.iter().find(|it| it.name == seam)?.what.as_ref()
}

fn length(size: &SeamLength, messages: &Messages) -> String {
    cm_inches(Length::mm(size.length_mm), messages)
}
