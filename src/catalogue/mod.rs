//! The catalogue: every text that a buyer reads, by key, in each language; knows nothing of HTML or PDF.
//!
//! English is the source language. Its texts stand in the msgid of `templates/languages/en.po`; a translation carries the
//! same keys and msgids and fills msgstr. To add a language: put its file beside `en.po`, add it to the table in
//! `messages.rs`, and its plural rule to `plural.rs`.

mod bidi;
mod format;
mod kit_words;
mod messages;
mod pattern;
mod plural;
/// The format that catalogues are written in.
pub mod po;
mod pseudo;
#[cfg(test)]
mod uses;

pub use bidi::loose;
pub use kit_words::{KitWords, Said};
pub use messages::{Direction, Messages, builtin_languages};
pub use pattern::holes;
pub use plural::PluralRule;
pub use pseudo::is_pseudo;
