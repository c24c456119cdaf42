//! Lengths of cloth and bodies: centimetres and inches, as tape measures show them.

use crate::catalogue::Messages;
use crate::units::Length;

/// Eighths of an inch.
const EIGHTHS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];

/// A length to the millimetre in centimetres and to the nearest eighth in inches, as in `104.5 cm (41 ⅛ in)`; the catalogue says
/// which comes first.
pub fn cm_inches(length: Length, messages: &Messages) -> String {
    let tenths = length.to_mm().round();
    let cm = (tenths / 10.0).to_string().replace('.', &messages.text("format.decimal", &[]));
    messages.text("format.cm-in", &[("cm", &cm), ("inches", &eighths(length.to_inches()))])
}

/// A length of cloth as shops cut it: metres, and eighths of a yard behind them, as in `1.1 m (1 ¼ yd)`.
pub fn metres_yards(length: Length, eighths_of_yard: u32, messages: &Messages) -> String {
    let hundredths = format!("{:.2}", length.to_mm() / 1000.0);
    let metres = hundredths.strip_suffix('0').unwrap_or(&hundredths).replace('.', &messages.text("format.decimal", &[]));
    messages.text("format.m-yd", &[("m", &metres), ("yards", &mixed(u64::from(eighths_of_yard)))])
}

/// Inches of more than nothing; a thin cloth is still an eighth wide.
fn eighths(inches: f64) -> String {
    // Casting a float saturates, so that no length can go wrong here.
    mixed(((inches * 8.0).round() as u64).max(1))
}

/// Eighths as a whole number and a fraction.
fn mixed(count: u64) -> String {
    let part = EIGHTHS.get((count % 8) as usize).copied().unwrap_or_default();
    match (count / 8, part) {
        (whole, "") => whole.to_string(),
        (0, part) => part.to_owned(),
        (whole, part) => format!("{whole}\u{a0}{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_are_rounded_to_eighths() {
        // 1 in = 25.4 mm exactly (international yard and pound agreement of 1959).
        let words = Messages::builtin("en").unwrap();
        let shown = [800.0, 1045.0, 914.4, 1.0, 1600.4, 25.4 * 2.49].map(|mm| cm_inches(Length::mm(mm), &words));
        let expected =
            ["80 cm (31 ½ in)", "104.5 cm (41 ⅛ in)", "91.4 cm (36 in)", "0.1 cm (⅛ in)", "160 cm (63 in)", "6.3 cm (2 ½ in)"];
        assert_eq!(shown.map(|text| text.replace('\u{a0}', " ")), expected);
        let french = Messages::builtin("fr").unwrap();
        assert!(cm_inches(Length::mm(1045.0), &french).starts_with("104,5"));
    }
}
