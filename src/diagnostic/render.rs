//! Findings as text for people, readable without colour.

use super::{Diagnostic, Severity};

/// Whether to use colour; it only repeats what the words say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// No escape codes.
    Plain,
    /// ANSI colours for the first word.
    Colour,
}

/// One finding as lines: what, where, and what to do. Control characters of foreign files are made visible.
pub fn render(finding: &Diagnostic, style: Style) -> String {
    let word = match finding.severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    };
    let mut text = format!("{}[{}]: {}\n", painted(word, finding.severity, style), finding.code, visible(&finding.message));
    if let Some(place) = &finding.place {
        text.push_str(&format!("   at: {}\n", visible(&place.to_string())));
    }
    for hint in &finding.hints {
        text.push_str(&format!("  fix: {}\n", visible(hint)));
    }
    text
}

fn painted(word: &str, severity: Severity, style: Style) -> String {
    match (style, severity) {
        (Style::Plain, _) => word.to_owned(),
        (Style::Colour, Severity::Error) => format!("\x1b[1;31m{word}\x1b[0m"),
        (Style::Colour, Severity::Warning) => format!("\x1b[1;33m{word}\x1b[0m"),
    }
}

/// A name from a file could hold escape codes that move the cursor, repaint the screen or turn words round.
fn visible(text: &str) -> String {
    let unseen = |c: char| c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars().flat_map(|c| if unseen(c) { c.escape_default().collect::<Vec<_>>() } else { vec![c] }).collect()
}
