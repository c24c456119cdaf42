//! Warnings about settings that change nothing in a kit.

use crate::diagnostic::{Diagnostic, Findings};
use crate::manifest::{Kit, Press, Sharing, SizeLines};

/// What is odd in a complete kit but stops nothing.
pub fn of(kit: &Kit) -> Findings {
    let mut findings = Findings::new();
    let mut warn = |key: &str, finding: Diagnostic| findings.push(finding.at(kit.places.of_path(key)));
    let home = kit.papers.iter().filter(|setup| setup.paper.press == Press::Home).count();
    if kit.sharing == Sharing::Shared && home < 2 {
        let finding = Diagnostic::warning("sharing-alone", "`layouts` is `shared`, but fewer than two home papers could share");
        warn("layouts", finding.hint("add a home paper, as in `papers: [a4, letter]`, or write `layouts: own`"));
    }
    if kit.size_files && kit.sizes.is_empty() {
        let finding = Diagnostic::warning("size-files-none", "`size-files` is `true`, but the kit has no sizes");
        warn("size-files", finding.hint("name the sizes at `sizes`, or write `size-files: false`"));
    }
    if kit.inking.size_lines == SizeLines::Distinct && kit.sizes.is_empty() {
        let finding = Diagnostic::warning("size-lines-none", "`size-lines` is `distinct`, but the kit has no sizes");
        warn("size-lines", finding.hint("name the sizes at `sizes`, or leave `size-lines` out"));
    }
    findings
}
