//! Line widths and sizes of letters, in mm.
//!
//! Widths follow the series of ISO 128-2 (0.18, 0.25, 0.35 …), none thinner than two dots at 300 dpi, 0.17 mm.

/// Ticks, trim lines, outlines of maps.
pub const HAIR: f64 = 0.18;
/// Base lines, crosses.
pub const THIN: f64 = 0.25;
/// Rings.
pub const FIRM: f64 = 0.35;

/// Small print.
pub const SMALL_PRINT: f64 = 2.1;
/// Words.
pub const BODY: f64 = 2.5;
/// Titles on a sheet.
pub const TITLE: f64 = 3.2;
/// The letter and number of a sheet.
pub const LABEL: f64 = 11.0;
