//! One length on paper: entered and left by named units, never by a bare number.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};
use std::str::FromStr;

/// A length on paper.
///
/// Kept in 1/1440 mm, the largest unit in which mm, in, pt, pc, px (CSS: 1/96 in) and Q are all whole numbers, so that
/// sums of whole units are exact. Source of the ratios: CSS Values and Units, "Absolute lengths".
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
pub struct Length(f64);

/// Base units in one millimetre.
const MM: f64 = 1440.0;

/// The units that a length may be written in, each with its size in base units.
const UNITS: [(&str, f64); 8] = [
    ("mm", MM),
    ("cm", 10.0 * MM),
    ("m", 1000.0 * MM),
    ("in", 25.4 * MM),
    ("pt", 508.0),
    ("pc", 6096.0),
    ("px", 381.0),
    ("Q", 360.0),
];

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// A length from millimetres.
    pub const fn mm(value: f64) -> Self {
        Self(value * MM)
    }

    /// A length from inches of 25.4 mm.
    pub const fn inches(value: f64) -> Self {
        Self(value * 25.4 * MM)
    }

    /// A length from PDF points of 1/72 in.
    pub const fn pt(value: f64) -> Self {
        Self(value * 508.0)
    }

    /// The length in millimetres.
    pub const fn to_mm(self) -> f64 {
        self.0 / MM
    }

    /// The length in inches.
    pub const fn to_inches(self) -> f64 {
        self.0 / (25.4 * MM)
    }

    /// The length in PDF points of 1/72 in.
    pub const fn to_pt(self) -> f64 {
        self.0 / 508.0
    }

    /// The same length without its sign.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two lengths.
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two lengths.
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Whether two lengths differ by no more than `slack`.
    pub fn within(self, other: Self, slack: Self) -> bool {
        (self - other).abs() <= slack
    }

    /// Whether the length is a number that paper can have: finite.
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

/// Millimetres with at most two decimals, as in `191.3 mm`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hundredths = (self.to_mm() * 100.0).round() / 100.0;
        write!(f, "{} mm", hundredths + 0.0)
    }
}

/// Why a text is no length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LengthError {
    /// A number stands alone; holds the number as written.
    NoUnit(String),
    /// The unit is none that paper is measured in; holds the unit as written.
    UnknownUnit(String),
    /// No number can be read; holds the text.
    NoNumber(String),
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoUnit(number) => f.write_str(&say!("has-no-unit", number)),
            Self::UnknownUnit(unit) => f.write_str(&say!("is-no-unit", unit)),
            Self::NoNumber(text) => f.write_str(&say!("is-no-length", text)),
        }
    }
}

impl std::error::Error for LengthError {}

/// Reads `15 mm`, `0.5in`, `12 pt`; units are mm, cm, m, in, pt, pc, px and Q.
impl FromStr for Length {
    type Err = LengthError;

    fn from_str(text: &str) -> Result<Self, LengthError> {
        let text = text.trim();
        let number = text.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let unit = text.strip_prefix(number).unwrap_or_default();
        let number = number.trim_end();
        let value: f64 =
            number.parse().ok().filter(|v: &f64| v.is_finite()).ok_or_else(|| LengthError::NoNumber(text.into()))?;
        if unit.is_empty() {
            return Err(LengthError::NoUnit(number.into()));
        }
        let known = UNITS.iter().find(|(name, _)| name.eq_ignore_ascii_case(unit));
        known.map(|(_, size)| Self(value * size)).ok_or_else(|| LengthError::UnknownUnit(unit.into()))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

/// How many times the other length goes into this one.
impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratios_are_those_of_css_values_absolute_lengths() {
        // CSS Values and Units Module Level 4, section "Absolute lengths": 1in = 2.54cm = 96px = 72pt = 6pc, 1Q = 1/40 cm.
        let inch = Length::inches(1.0);
        for text in ["1in", "2.54 cm", "25.4 mm", "96px", "72pt", "6 pc", "101.6Q", "0.0254 m"] {
            assert!(text.parse::<Length>().unwrap().within(inch, Length::mm(1e-9)), "{text}");
        }
    }

    #[test]
    fn a_bare_number_a_strange_unit_and_no_number_are_told_apart() {
        assert_eq!("15".parse::<Length>(), Err(LengthError::NoUnit("15".into())));
        assert_eq!("15 ell".parse::<Length>(), Err(LengthError::UnknownUnit("ell".into())));
        for text in ["mm", "", "nan mm", "1e400 mm", "inf", "1 2 mm", "ü mm", "5ü"] {
            assert!(text.parse::<Length>().is_err(), "{text}");
        }
    }

    #[test]
    fn each_unit_leads_in_and_out_again() {
        // CSS Values and Units Module Level 4, "Absolute lengths": 3 in are 76.2 mm and 216 pt.
        for length in [Length::mm(76.2), Length::inches(3.0), Length::pt(216.0)] {
            assert!((length.to_mm() - 76.2).abs() < 1e-9);
            assert!((length.to_inches() - 3.0).abs() < 1e-9);
            assert!((length.to_pt() - 216.0).abs() < 1e-9);
        }
    }

    #[test]
    fn lengths_are_reckoned_with_as_numbers_are() {
        let (seven, two) = (Length::mm(7.0), Length::mm(2.0));
        let mut length = seven;
        length += two;
        assert_eq!([length, seven + two, [seven, two].into_iter().sum()], [Length::mm(9.0); 3]);
        length -= seven;
        assert_eq!([length, seven - Length::mm(5.0)], [two; 2]);
        assert_eq!([two - seven, -Length::mm(5.0)], [Length::mm(-5.0); 2]);
        assert_eq!([seven * 2.0, seven / 0.5], [Length::mm(14.0); 2]);
        assert!((seven / two - 3.5).abs() < 1e-12);
        assert_eq!([seven.min(two), two.min(seven), (-two).abs(), two.abs()], [two; 4]);
        assert_eq!([seven.max(two), two.max(seven)], [seven; 2]);
    }

    #[test]
    fn within_takes_both_signs_and_its_own_limit() {
        let (five, slack) = (Length::mm(5.0), Length::mm(1.0));
        for (other, within) in [(3.5, false), (4.0, true), (5.0, true), (6.0, true), (6.5, false)] {
            assert_eq!(five.within(Length::mm(other), slack), within, "{other}");
        }
    }

    #[test]
    fn only_numbers_are_finite() {
        assert!(Length::mm(-1.0).is_finite());
        for value in [f64::INFINITY, f64::NEG_INFINITY, f64::NAN] {
            assert!(!Length::mm(value).is_finite(), "{value}");
        }
    }

    #[test]
    fn a_text_that_is_no_length_is_told_with_what_was_written() {
        for (text, part) in [("15", "15"), ("15 ell", "ell"), ("x mm", "x mm")] {
            let told = text.parse::<Length>().unwrap_err().to_string();
            assert!(told.contains(part), "{told}");
        }
    }

    #[test]
    fn shows_millimetres_without_false_digits() {
        assert_eq!(Length::mm(191.3).to_string(), "191.3 mm");
        assert_eq!(Length::inches(1.0).to_string(), "25.4 mm");
        assert_eq!(Length::mm(-0.0).to_string(), "0 mm");
    }
}
