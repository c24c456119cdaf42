//! Warnings about settings that change nothing in a kit.

use crate::diagnostic::{Diagnostic, Findings};
use crate::manifest::{Kit, Press, Sharing, SizeLines};

/// What is odd in a complete kit but stops nothing.
pub fn of(kit: &Kit) -> Findings {
    let mut findings = Findings::new();
    let mut warn = |key: &str, finding: Diagnostic| findings.push(finding.at(kit.places.of_path(key)));
    let home = kit.papers.iter().filter(|setup| setup.paper.press == Press::Home).count();
    if kit.sharing == Sharing::Shared && home < 2 {
        warn("layouts", warning!("sharing-alone"));
    }
    if kit.size_files && kit.sizes.is_empty() {
        warn("size-files", warning!("size-files-none"));
    }
    if kit.inking.size_lines == SizeLines::Distinct && kit.sizes.is_empty() {
        warn("size-lines", warning!("size-lines-none"));
    }
    findings
}
