//! `check`: all findings of a kit; writes nothing.

use super::args;
use super::kit::load;
use super::outputs::{CheckRecord, VERSION};
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings, counted};

/// Looks a kit over.
pub(super) fn run(wish: &args::Kit, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, findings) = load(&wish.kit, wish.fonts.as_deref());
    refuse(screen, &findings);
    if let (Some(loaded), false) = (loaded, screen.for_machines()) {
        let papers = counted(loaded.layouts.len(), "paper");
        screen.say(&say!("ready-to-build", title = loaded.kit.title, edition = loaded.kit.edition, papers));
    }
    Ok(findings)
}

/// Gives findings in the wished form, as the whole result.
pub(super) fn refuse(screen: &Screen, findings: &Findings) {
    if screen.for_machines() {
        screen.record(&CheckRecord { version: VERSION, fine: !screen.stopped_by(findings), findings: records(findings) });
    }
    screen.findings(findings);
}
