//! The table: one line a remark, safe to open in any spreadsheet.

use super::merge::Merged;
use super::remark::Remark;
use crate::diagnostic::Diagnostic;

/// Names of the columns, in order; docs/feedback.md tells what they hold.
pub const COLUMNS: [&str; 13] =
    ["round", "edition", "tester", "language", "paper", "size", "part", "place", "what", "severity", "text", "new", "file"];

/// All remarks as CSV (RFC 4180) in UTF-8, with a byte order mark, by which spreadsheets know it.
pub fn table(merged: &Merged) -> Result<Vec<u8>, Diagnostic> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer("\u{feff}".as_bytes().to_vec());
    let failed = |error: &dyn std::fmt::Display| error!("bug-table", error);
    writer.write_record(COLUMNS).map_err(|error| failed(&error))?;
    for remark in merged.remarks() {
        writer.write_record(cells(&remark).map(|cell| harmless(&cell))).map_err(|error| failed(&error))?;
    }
    writer.into_inner().map_err(|error| failed(&error))
}

fn cells(remark: &Remark) -> [String; 13] {
    let answer = remark.answer();
    [
        answer.round.to_string(),
        answer.edition.clone(),
        answer.tester.clone(),
        answer.language.clone(),
        answer.paper.clone(),
        answer.size.clone(),
        remark.part.name().into(),
        remark.place.into(),
        remark.what.into(),
        remark.severity.says().into(),
        remark.text.clone(),
        if remark.new { "new".into() } else { String::new() },
        remark.returned.file.clone(),
    ]
}

/// A cell that a spreadsheet does not take for a formula: one that begins like one gets a `'` before it. Wide signs count too,
/// since some programs read them as the plain ones, and so does a line break, behind which some look on.
fn harmless(cell: &str) -> String {
    let begins = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    // Behind blanks some programs look on, too.
    let behind = cell.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if begins || behind { format!("'{cell}") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        for cell in ["=1", "+1", "-1", "@x", "\t=1", "\r=1", "\n=1", "  =1", "＝1"] {
            assert_eq!(harmless(cell), format!("'{cell}"));
        }
        for cell in ["", "a=1", "1-2", "'=1"] {
            assert_eq!(harmless(cell), cell);
        }
    }
}
