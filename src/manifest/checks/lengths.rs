//! Lengths as they are written in manifests.

use crate::diagnostic::{Code, Diagnostic};
use crate::units::{Length, LengthError};

/// A length with its unit; refuses a bare number with the fix spelled out.
pub fn length(text: &str) -> Result<Length, Diagnostic> {
    let text = text.trim();
    text.parse::<Length>().map_err(|error| match &error {
        LengthError::NoUnit(number) => error!("length-unit", error).hint(with_unit(number)),
        LengthError::UnknownUnit(_) => error!("length-unit-unknown", text, error),
        LengthError::NoNumber(_) => error!("length-form", error).hint(with_point(text)),
    })
}

/// The fix for a bare number: most publishers think in millimetres or inches.
fn with_unit(number: &str) -> String {
    match number.parse::<f64>() {
        Ok(mm) => {
            let inches = (Length::mm(mm).to_inches() * 1000.0).round() / 1000.0;
            say!("length-unit/both", number, inches)
        }
        Err(_) => words!("length-unit/behind").to_owned(),
    }
}

/// The fix for a decimal comma, or for no number at all.
fn with_point(text: &str) -> String {
    let pointed = text.replace(',', ".");
    if pointed != text && pointed.parse::<Length>().is_ok() {
        return say!("length-form/comma", pointed);
    }
    words!("length-form/number").to_owned()
}

/// A length of more than nothing.
pub fn positive(text: &str) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if length > Length::ZERO {
        return Ok(length);
    }
    Err(error!("length-range", text))
}

/// A length within two others, both included.
pub fn between(text: &str, least: Length, most: Length) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if (least..=most).contains(&length) {
        return Ok(length);
    }
    Err(error!("length-range/range", text = text.trim(), least, most))
}

/// A length of nothing or more; `code` and `why` tell what is wrong with less.
pub fn not_negative(text: &str, code: Code, why: &str) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if length >= Length::ZERO {
        return Ok(length);
    }
    Err(error!(as code, "less-than-nothing", text, why))
}
