//! Panics: kept quiet, since most of them are a library's, are caught and become a finding; told if the program ends by one.

use std::backtrace::{Backtrace, BacktraceStatus};
use std::sync::Mutex;

/// What the last one said.
static LAST: Mutex<String> = Mutex::new(String::new());

/// Keeps what panics say, instead of putting it on the terminal.
pub(super) fn keep() {
    std::panic::set_hook(Box::new(|panic| {
        let trace = Backtrace::capture();
        let trace = if trace.status() == BacktraceStatus::Captured { format!("\n{trace}") } else { String::new() };
        if let Ok(mut last) = LAST.lock() {
            *last = format!("{panic}{trace}");
        }
    }));
}

/// What the last panic said.
pub(super) fn last() -> String {
    LAST.lock().map(|last| last.clone()).unwrap_or_default()
}
