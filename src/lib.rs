//! kitwright: from one manifest and one true-size drawing to a release kit that prints right on any printer.
//!
//! The folders tell the data's way: `manifest` and `drawing` read, `inking` restyles, `plan` decides, `press` and `guide` make (in every
//! language: `catalogue`, `translation`), `package` packs, `verify` measures what was packed, `review` and `feedback` go round with testers, `editions`
//! knows what was released. Only `files` and `commands` touch the disk, clock, terminal and environment.

// Tests may touch the disk and the clock, and slice text that they wrote themselves.
#![cfg_attr(test, allow(clippy::disallowed_methods, clippy::string_slice))]

// First, since its macros are for all that come below.
#[macro_use]
pub mod diagnostic;

pub mod catalogue;
pub mod commands;
pub mod drawing;
pub mod editions;
pub mod feedback;
pub mod files;
pub mod guide;
pub mod inking;
pub mod lays;
pub mod manifest;
pub mod markdown;
pub mod package;
pub mod plan;
pub mod press;
pub mod printers;
pub mod proof;
pub mod review;
pub mod translation;
pub mod units;
pub mod verify;
