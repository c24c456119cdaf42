//! What a measured check square tells: how far it is off 100 mm, and what has probably happened.

use crate::units::Length;

/// What a square that should be 100 mm tells of the printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// Within half a millimetre of what it must be.
    True,
    /// A little off: the ruler, the eye, or paper that has shrunk in the printer's heat.
    Nearly,
    /// Across differs from down.
    Uneven,
    /// As small as a page becomes that is fitted within a printer's margins.
    Fitted,
    /// As small as A4 becomes on US Letter.
    ForLetter,
    /// As small as US Letter becomes on A4.
    ForA4,
    /// A bit too large: the page was stretched to fill the paper.
    Filled,
    /// 72 parts of an inch taken for 96, or the other way round.
    Dots,
    /// Two or four pages on one sheet, or paper of another size of its series.
    PaperSize,
    /// The number fits another unit than the one that was chosen.
    Unit,
    /// None that is known.
    Unknown,
    /// What was written is no number.
    Unread,
}

/// What the square must measure, in mm.
const WANTED: f64 = 100.0;

// How much is what: common practice, no published source, but for the ratios of papers and dots. A4 is 210 × 297 mm (ISO 216),
// US Letter 215.9 × 279.4 mm (ASME Y14.1): 279.4 ÷ 297 is 94.1 %, 210 ÷ 215.9 is 97.3 %. Next sizes of the A series differ by
// √2. CSS counts 96 px to the inch, PDF 72 units.
const CAUSES: [(f64, f64, Cause); 9] = [
    (99.5, 100.5, Cause::True),
    (98.7, 101.3, Cause::Nearly),
    (97.05, 97.55, Cause::ForA4),
    (93.8, 94.4, Cause::ForLetter),
    (90.0, 98.7, Cause::Fitted),
    (101.3, 108.0, Cause::Filled),
    (74.0, 77.5, Cause::Dots),
    (131.5, 135.0, Cause::Dots),
    (69.0, 72.5, Cause::PaperSize),
];
/// The same for what lies far off.
const FAR: [(f64, f64, Cause); 5] = [
    (139.0, 144.0, Cause::PaperSize),
    (48.5, 51.5, Cause::PaperSize),
    (9.0, 11.0, Cause::Unit),
    (3.5, 4.3, Cause::Unit),
    (2200.0, 2800.0, Cause::Unit),
];

/// The likely cause of what was measured across and down on a sheet of a paper; one of them serves.
pub fn cause(across: Option<Length>, down: Option<Length>, paper: &str) -> Cause {
    let (across, down) = (across.map(Length::to_mm), down.map(Length::to_mm));
    match (across, down) {
        (None, None) => Cause::Unread,
        (Some(a), Some(b)) if (a - b).abs() > 0.01 * WANTED && of_one(a, paper) != Cause::Unit => Cause::Uneven,
        (Some(a), Some(b)) => of_one(f64::midpoint(a, b), paper),
        (Some(only), None) | (None, Some(only)) => of_one(only, paper),
    }
}

fn of_one(mm: f64, paper: &str) -> Cause {
    let fits = |(from, to, cause): &&(f64, f64, Cause)| (*from..=*to).contains(&mm) && may_be(*cause, paper);
    CAUSES.iter().chain(&FAR).find(fits).map_or(Cause::Unknown, |row| row.2)
}

/// A paper is not fitted onto itself.
fn may_be(cause: Cause, paper: &str) -> bool {
    match cause {
        Cause::ForLetter => paper == "a4",
        Cause::ForA4 => paper == "letter",
        _ => true,
    }
}

impl Cause {
    /// In words.
    pub fn says(self) -> &'static str {
        match self {
            Self::True => words!("cause-true"),
            Self::Nearly => words!("cause-nearly"),
            Self::Uneven => words!("cause-uneven"),
            Self::Fitted => words!("cause-fitted"),
            Self::ForLetter => words!("cause-for-letter"),
            Self::ForA4 => words!("cause-for-a4"),
            Self::Filled => words!("cause-filled"),
            Self::Dots => words!("cause-dots"),
            Self::PaperSize => words!("cause-paper-size"),
            Self::Unit => words!("cause-unit"),
            Self::Unknown => words!("cause-unknown"),
            Self::Unread => words!("cause-unread"),
        }
    }
}

/// A length as a tester writes it: digits of any script, a comma or point, a fraction, a unit behind it that counts more than
/// the one that was chosen. `None` if it is no such number.
pub fn measured(text: &str, inches: bool) -> Option<Length> {
    let plain: String = text.trim().chars().map(plain_digit).collect::<String>().to_lowercase();
    let (number, unit) = parted(plain.trim());
    let unit = match unit {
        "" if inches => Unit::Inch,
        "" | "mm" => Unit::Mm,
        "cm" => Unit::Cm,
        "in" | "inch" | "inches" | "\"" | "″" | "”" | "po" => Unit::Inch,
        _ => return None,
    };
    let value = value(number.trim()).filter(|value| (0.0..=10_000.0).contains(value))?;
    Some(match unit {
        Unit::Mm => Length::mm(value),
        Unit::Cm => Length::mm(value * 10.0),
        Unit::Inch => Length::inches(value),
    })
}

enum Unit {
    Mm,
    Cm,
    Inch,
}

/// Arabic and Persian digits (U+0660, U+06F0), wide ones (U+FF10), and the signs between whole number and decimals.
fn plain_digit(c: char) -> char {
    let code = u32::from(c);
    let digit = [0x660, 0x6f0, 0xff10].iter().find_map(|zero| code.checked_sub(*zero).filter(|digit| *digit < 10));
    match (digit.and_then(|digit| char::from_digit(digit, 10)), c) {
        (Some(digit), _) => digit,
        (None, ',' | '٫' | '．') => '.',
        (None, '⁄') => '/',
        (None, '\u{a0}' | '\u{202f}' | '-') => ' ',
        (None, c) => c,
    }
}

fn parted(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !(c.is_ascii_digit() || ". /".contains(c))).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number, unit.trim())
}

/// `98.5`, `15/16` or `3 15/16`.
fn value(text: &str) -> Option<f64> {
    let number = |text: &str| text.parse::<f64>().ok();
    let fraction = |text: &str| {
        let (over, under) = text.split_once('/')?;
        Some(number(over.trim())? / number(under.trim()).filter(|under| *under > 0.0)?)
    };
    match text.split_once(' ') {
        Some((whole, part)) if part.contains('/') && !whole.contains('/') => Some(number(whole)? + fraction(part)?),
        _ if text.contains('/') => fraction(text),
        _ => number(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_they_are_written() {
        let mm = |text: &str, inches| measured(text, inches).map(|length| (length.to_mm() * 100.0).round() / 100.0);
        for (text, inches, wanted) in [
            ("97", false, 97.0),
            (" 97,5 mm", false, 97.5),
            ("9.7cm", true, 97.0),
            ("3 15/16", true, 100.01),
            ("3 15⁄16 in", false, 100.01),
            ("3,94\"", false, 100.08),
            ("٩٧٫٥", false, 97.5),
            ("１００", false, 100.0),
        ] {
            assert_eq!(mm(text, inches), Some(wanted), "{text}");
        }
        for text in ["", "about 97", "97 km", "1/0", "-", "1e400", "99999", "NaN", "3 4 5", "1/2/3"] {
            assert_eq!(mm(text, false), None, "{text}");
        }
    }

    #[test]
    fn what_is_measured_tells_what_has_happened() {
        let of = |across: f64, down: f64, paper: &str| cause(Some(Length::mm(across)), Some(Length::mm(down)), paper);
        for (across, down, paper, wanted) in [
            (100.0, 100.0, "a4", Cause::True),
            (99.0, 99.2, "a4", Cause::Nearly),
            (97.0, 97.0, "a4", Cause::Fitted),
            (94.1, 94.0, "a4", Cause::ForLetter),
            (94.1, 94.0, "letter", Cause::Fitted),
            (97.3, 97.3, "letter", Cause::ForA4),
            (103.0, 103.0, "a4", Cause::Filled),
            (76.2, 76.2, "a4", Cause::Dots),
            (133.0, 133.0, "a4", Cause::Dots),
            (71.0, 71.0, "a3", Cause::PaperSize),
            (100.0, 98.0, "a4", Cause::Uneven),
            (10.0, 10.0, "a4", Cause::Unit),
            (3.94, 3.94, "a4", Cause::Unit),
            (2540.0, 2540.0, "a4", Cause::Unit),
            (120.0, 120.0, "a4", Cause::Unknown),
        ] {
            assert_eq!(of(across, down, paper), wanted, "{across} {down} {paper}");
        }
        assert_eq!(cause(None, None, "a4"), Cause::Unread);
        assert_eq!(cause(None, Some(Length::mm(97.0)), "a4"), Cause::Fitted);
    }
}
