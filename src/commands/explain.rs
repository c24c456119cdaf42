//! `explain`: what the code of a finding means, why it matters on paper, and how to mend it.

use super::args;
use super::outputs::{CodeRecord, ExplainRecord, VERSION};
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, Findings, Section, Told, nearest, sections};
use crate::package::wrapped;

/// Room for a code in the list.
const COLUMN: usize = 22;

/// Explains one code, or lists all of them.
pub(super) fn run(wish: &args::Explain, screen: &Screen) -> Result<Findings, Diagnostic> {
    let mut sections = sections();
    if let Some(code) = &wish.code {
        keep(code, &mut sections)?;
    }
    if screen.for_machines() {
        let codes = sections.iter().flat_map(|section| section.codes.iter().map(|told| record(section, told))).collect();
        screen.record(&ExplainRecord { version: VERSION, codes, findings: Vec::new() });
    } else {
        let text = if wish.code.is_some() { page } else { list };
        screen.data(&sections.iter().map(text).collect::<Vec<_>>().join("\n"));
    }
    Ok(Findings::new())
}

/// Leaves only the one code, with its section.
fn keep(code: &str, sections: &mut Vec<Section>) -> Result<(), Diagnostic> {
    let known: Vec<&str> = sections.iter().flat_map(|section| &section.codes).map(|told| told.code).collect();
    if !known.contains(&code) {
        let near = nearest(code, known).map(|near| say!("write-near", near));
        return Err(error!("argument-bad/code", code).hint(near.unwrap_or_else(|| words!("argument-bad/codes").to_owned())));
    }
    sections.iter_mut().for_each(|section| section.codes.retain(|told| told.code == code));
    sections.retain(|section| !section.codes.is_empty());
    Ok(())
}

fn page(section: &Section) -> String {
    section.codes.iter().map(|told| explained(section, told)).collect()
}

fn explained(section: &Section, told: &Told) -> String {
    let head = format!("{} ({})\n", told.code, section.title);
    let parts = [
        (words!("what-is-wrong"), told.means),
        (words!("why-it-matters"), told.why),
        (words!("how-to-mend-it"), told.mend),
        (words!("in-short"), told.action),
    ];
    parts.iter().fold(head, |page, (title, text)| page + &format!("\n{title}\n") + &wrapped(text, "  "))
}

fn list(section: &Section) -> String {
    let row = |told: &Told| wrapped(told.means, &format!("  {:<COLUMN$} ", told.code));
    format!("{}\n{}", section.title, section.codes.iter().map(row).collect::<String>())
}

fn record(section: &Section, told: &Told) -> CodeRecord {
    let own = str::to_owned;
    CodeRecord {
        code: own(told.code),
        section: own(section.title),
        means: own(told.means),
        action: own(told.action),
        why: own(told.why),
        mend: own(told.mend),
    }
}
