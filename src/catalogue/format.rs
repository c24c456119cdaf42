//! Lengths, dates and lists as a language writes them; the patterns stand in the catalogue, the arithmetic here.

use super::Messages;
use crate::units::{Length, Size};

/// Names of the months in dates.
const MONTHS: [&str; 12] = [
    "month.1", "month.2", "month.3", "month.4", "month.5", "month.6", "month.7", "month.8", "month.9", "month.10", "month.11",
    "month.12",
];

/// Eighths of an inch that have a sign of their own; sixteenths between them are written out.
const EIGHTHS: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];

impl Messages {
    /// A length in millimetres with at most two decimals, as in `191.3 mm`; number and unit are held together by U+00A0.
    pub fn length(&self, length: Length) -> String {
        self.text("format.mm", &[("n", &self.number(length.to_mm(), 100.0))])
    }

    /// A length in millimetres to the tenth, with inches to the sixteenth behind it, as in `1338.4 mm (52 11⁄16 in)`.
    pub fn length_mm_inches(&self, length: Length) -> String {
        let mm = self.number(length.to_mm(), 10.0);
        self.text("format.mm-in", &[("mm", &mm), ("inches", &sixteenths(length.to_inches()))])
    }

    /// Width and height in millimetres, as in `210 mm × 297 mm`.
    pub fn size(&self, size: Size) -> String {
        self.text("format.size", &[("width", &self.length(size.width)), ("height", &self.length(size.height))])
    }

    /// A day, as in `20 November 2026`.
    pub fn date(&self, date: jiff::civil::Date) -> String {
        let month = usize::try_from(date.month() - 1).ok().and_then(|i| MONTHS.get(i)).map(|key| self.text(key, &[]));
        let (day, year) = (date.day().to_string(), date.year().to_string());
        self.text("format.date", &[("day", &day), ("month", &month.unwrap_or_default()), ("year", &year)])
    }

    /// Things in a row, as in `36, 38 and 40`.
    pub fn list(&self, things: &[String]) -> String {
        match things {
            [] => String::new(),
            [only] => only.clone(),
            [first, last] => self.text("list.two", &[("first", first), ("last", last)]),
            [start @ .., first, last] => {
                let end = self.text("list.last", &[("first", first), ("last", last)]);
                start.iter().rfold(end, |rest, first| self.text("list.more", &[("first", first), ("rest", &rest)]))
            }
        }
    }

    /// A number rounded to parts of one (10 for tenths, 100 for hundredths), without false digits.
    fn number(&self, value: f64, parts: f64) -> String {
        // Adding 0 turns -0 into 0.
        let rounded = (value * parts).round() / parts + 0.0;
        rounded.to_string().replace('.', &self.text("format.decimal", &[]))
    }
}

/// Inches to the nearest sixteenth, as in `16 ½`, `52 11⁄16`, `¾` or `0`; tape measures mark no less.
fn sixteenths(inches: f64) -> String {
    // Casting a float saturates, so that no length can go wrong here; paper has no negative lengths, a sign is kept all the same.
    let count = (inches.abs() * 16.0).round() as u64;
    let sign = if inches < 0.0 && count > 0 { "−" } else { "" };
    let part = count % 16;
    // U+2044, the fraction slash: fonts that can do so draw the digits beside it small.
    let written = if part % 2 == 1 { format!("{part}\u{2044}16") } else { String::new() };
    let fraction = EIGHTHS.get((part / 2) as usize).filter(|_| written.is_empty()).map_or(written, |sign| (*sign).into());
    match (count / 16, fraction.as_str()) {
        (whole, "") => format!("{sign}{whole}"),
        (0, part) => format!("{sign}{part}"),
        (whole, part) => format!("{sign}{whole}\u{a0}{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn english() -> Messages {
        Messages::builtin("en").unwrap()
    }

    #[test]
    fn lengths_have_no_false_digits() {
        let words = english();
        let shown = [191.3, 25.4, 0.0, -0.001, 609.6, 54.0, 0.176].map(|mm| words.length(Length::mm(mm)));
        let expected = ["191.3 mm", "25.4 mm", "0 mm", "0 mm", "609.6 mm", "54 mm", "0.18 mm"];
        assert_eq!(shown.map(|text| text.replace('\u{a0}', " ")), expected);
    }

    #[test]
    fn inches_are_rounded_to_sixteenths() {
        // 1 in = 25.4 mm exactly (international yard and pound agreement of 1959).
        let words = english();
        let shown = [420.0, 19.05, 25.4, 0.5, 1.6, 254.0 - 0.1, 1338.4].map(|mm| words.length_mm_inches(Length::mm(mm)));
        let expected = [
            "420 mm (16 9⁄16 in)",
            "19.1 mm (¾ in)",
            "25.4 mm (1 in)",
            "0.5 mm (0 in)",
            "1.6 mm (1⁄16 in)",
            "253.9 mm (10 in)",
            "1338.4 mm (52 11⁄16 in)",
        ];
        assert_eq!(shown.map(|text| text.replace('\u{a0}', " ")), expected);
    }

    #[test]
    fn dates_and_lists_read_as_sentences() {
        let words = english();
        assert_eq!(words.date(date(2026, 11, 20)), "20 November 2026");
        // Names of the months: CLDR, en, wide format.
        let names = "January February March April May June July August September October November December";
        for (month, name) in (1..).zip(names.split(' ')) {
            assert_eq!(words.date(date(2026, month, 1)), format!("1 {name} 2026"));
        }
        let things: Vec<String> = ["36", "38", "40", "42"].map(String::from).into();
        let lists = [0, 1, 2, 3, 4].map(|n| words.list(&things[..n]));
        assert_eq!(lists, ["", "36", "36 and 38", "36, 38 and 40", "36, 38, 40 and 42"]);
    }
}
