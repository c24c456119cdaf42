//! The terminal: what goes to stdout, what to stderr, and whether in colour, decided in one place.

use super::args::{Common, Format, When};
use crate::diagnostic::{Diagnostic, FindingRecord, Findings, Severity, Style, counted, render};
use crate::files;
use serde::Serialize;
use std::io::{IsTerminal, Write};
use std::sync::OnceLock;

/// The terminal as the options want it used.
#[derive(Clone, Debug)]
pub(super) struct Screen {
    style: Style,
    quiet: bool,
    format: Format,
    progress: bool,
    deny_warnings: bool,
    /// Why data could not be printed, if so.
    lost: OnceLock<String>,
}

impl Screen {
    pub(super) fn of(common: &Common) -> Self {
        let terminal = std::io::stderr().is_terminal();
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let colour = match common.color {
            When::Always => true,
            When::Never => false,
            When::Auto => terminal && !no_colour,
        };
        let style = if colour { Style::Colour } else { Style::Plain };
        Self {
            style,
            quiet: common.quiet,
            format: common.format,
            progress: terminal && !common.quiet,
            deny_warnings: common.deny_warnings,
            lost: OnceLock::new(),
        }
    }

    /// Whether results are for programs.
    pub(super) fn for_machines(&self) -> bool {
        self.format == Format::Json
    }

    /// Whether findings stop the work: errors do, warnings only if asked to.
    pub(super) fn stopped_by(&self, findings: &Findings) -> bool {
        findings.has_errors() || (self.deny_warnings && !findings.is_empty())
    }

    /// Findings for people, on stderr; for programs they are part of the record.
    pub(super) fn findings(&self, findings: &Findings) {
        if self.for_machines() {
            return;
        }
        let text: String = findings.iter().map(|finding| render(finding, self.style)).collect();
        self.say_anyway(&text);
        let (errors, warnings) = (findings.count(Severity::Error), findings.count(Severity::Warning));
        if errors + warnings > 1 {
            let (errors, warnings) = (counted(errors, "error"), counted(warnings, "warning"));
            self.say_anyway(&format!("{}\n", say!("errors-and-warnings", errors, warnings)));
        }
    }

    /// The findings of one kit among others, under its name.
    pub(super) fn findings_of(&self, kit: &str, findings: &Findings) {
        if !self.for_machines() && !findings.is_empty() {
            self.say_anyway(&format!("{}\n", say!("findings-of", kit)));
        }
        self.findings(findings);
    }

    /// The same without a word of what is being done.
    pub(super) fn without_progress(&self) -> Self {
        Self { progress: false, ..self.clone() }
    }

    /// A word on stderr, unless asked to be quiet.
    pub(super) fn say(&self, text: &str) {
        if !self.quiet && !self.for_machines() {
            self.say_anyway(&format!("{text}\n"));
        }
    }

    /// What is being done right now, on a terminal only.
    pub(super) fn progress(&self, text: &str) {
        if self.progress {
            self.say_anyway(&format!("  {text}\n"));
        }
    }

    /// Data on stdout.
    pub(super) fn data(&self, text: &str) {
        let mut out = std::io::stdout().lock();
        if let Err(error) = out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            // A reader that has seen enough closes the pipe; that is no fault.
            let seen_enough = error.kind() == std::io::ErrorKind::BrokenPipe;
            (!seen_enough).then(|| self.lost.get_or_init(|| files::reason(&error)));
        }
    }

    /// What became of the data, if some of it was lost, as on a full disk; it is told on stderr, whatever the format.
    pub(super) fn lost(&self) -> Option<Diagnostic> {
        let lost = error!("cannot-write/printed", why = self.lost.get()?);
        self.say_anyway(&render(&lost, self.style));
        Some(lost)
    }

    /// A record for programs on stdout.
    pub(super) fn record(&self, record: &impl Serialize) {
        let text = serde_json::to_string_pretty(record).unwrap_or_default();
        self.data(&format!("{text}\n"));
    }

    fn say_anyway(&self, text: &str) {
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
    }
}

/// Findings as records.
pub(super) fn records(findings: &Findings) -> Vec<FindingRecord> {
    findings.iter().map(FindingRecord::from).collect()
}
