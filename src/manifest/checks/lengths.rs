//! Lengths as they are written in manifests.

use crate::diagnostic::Diagnostic;
use crate::units::{Length, LengthError};

/// A length with its unit; refuses a bare number with the fix spelled out.
pub fn length(text: &str) -> Result<Length, Diagnostic> {
    let text = text.trim();
    text.parse::<Length>().map_err(|error| {
        let message = error.to_string();
        match error {
            LengthError::NoUnit(number) => Diagnostic::error("length-unit", message).hint(with_unit(&number)),
            LengthError::UnknownUnit(_) => {
                let finding = Diagnostic::error("length-unit-unknown", format!("in `{text}`, {message}"));
                finding.hint("use `mm`, `cm`, `m`, `in`, `pt`, `pc`, `px` or `Q`")
            }
            LengthError::NoNumber(_) => Diagnostic::error("length-form", message).hint(with_point(text)),
        }
    })
}

/// The fix for a bare number: most publishers think in millimetres or inches.
fn with_unit(number: &str) -> String {
    match number.parse::<f64>() {
        Ok(mm) => {
            let inches = (Length::mm(mm).to_inches() * 1000.0).round() / 1000.0;
            format!("write `{number} mm`, `{inches} in` or the like: every length carries its unit")
        }
        Err(_) => "write the unit behind the number, as in `15 mm`".into(),
    }
}

/// The fix for a decimal comma, or for no number at all.
fn with_point(text: &str) -> String {
    let pointed = text.replace(',', ".");
    if pointed != text && pointed.parse::<Length>().is_ok() {
        return format!("write a point, not a comma: `{pointed}`");
    }
    "write a number and its unit, as in `15 mm` or `0.6 in`".into()
}

/// A length of more than nothing.
pub fn positive(text: &str) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if length > Length::ZERO {
        return Ok(length);
    }
    Err(Diagnostic::error("length-range", format!("`{text}` is not more than nothing")).hint("write a length above `0 mm`"))
}

/// A length within two others, both included.
pub fn between(text: &str, least: Length, most: Length) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if (least..=most).contains(&length) {
        return Ok(length);
    }
    let finding = Diagnostic::error("length-range", format!("`{}` is out of range", text.trim()));
    Err(finding.hint(format!("write a length from `{least}` to `{most}`")))
}

/// A length of nothing or more; `code` and `why` tell what is wrong with less.
pub fn not_negative(text: &str, code: &'static str, why: &str) -> Result<Length, Diagnostic> {
    let length = length(text)?;
    if length >= Length::ZERO {
        return Ok(length);
    }
    Err(Diagnostic::error(code, format!("`{text}` is less than nothing{why}")).hint("write `0 mm` or more"))
}
