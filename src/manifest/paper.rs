//! The papers that kitwright knows, with their sizes and what they are for.
//!
//! Sizes: ISO 216 (A series), ANSI/ASME Y14.1 (Letter, Tabloid, Arch E by PWG 5101.1), rolls of 24, 36 and 42 in.

use crate::units::{Length, Size};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The longest page of a PDF that every program takes: 14,400 units of 1/72 in (ISO 32000-1, annex C), which is 5.08 m.
pub const LONGEST_FILE: Length = Length::mm(5080.0);

/// A paper that a layout is made for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// Name in manifests, options and file names: `a4`, `letter`, `roll-914`.
    pub id: String,
    /// Name for people: `A4`, `US Letter`, `roll 914 mm`.
    pub title: String,
    /// How large it is.
    pub format: Format,
    /// Where it is printed.
    pub press: Press,
}

/// The shape of a paper.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Format {
    /// Cut paper: a known one upright, a publisher's own as it goes through the printer.
    Sheet(Size),
    /// A roll: the width is given, the length is as long as the drawing needs.
    Roll(Length),
}

/// Where a paper is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Press {
    /// On a home printer, many sheets to be taped together.
    Home,
    /// In a copy shop, in as few pieces as can be.
    Wide,
}

/// Sheets: id, title, width and height in mm, where printed. In inch sizes 1 in = 25.4 mm.
const SHEETS: [(&str, &str, f64, f64, Press); 10] = [
    ("a5", "A5", 148.0, 210.0, Press::Home),
    ("a4", "A4", 210.0, 297.0, Press::Home),
    ("a3", "A3", 297.0, 420.0, Press::Home),
    ("a2", "A2", 420.0, 594.0, Press::Wide),
    ("a1", "A1", 594.0, 841.0, Press::Wide),
    ("a0", "A0", 841.0, 1189.0, Press::Wide),
    ("letter", "US Letter", 215.9, 279.4, Press::Home),
    ("legal", "US Legal", 215.9, 355.6, Press::Home),
    ("tabloid", "Tabloid", 279.4, 431.8, Press::Home),
    ("arch-e", "Arch E", 914.4, 1219.2, Press::Wide),
];

/// Rolls: id, title, width in mm.
const ROLLS: [(&str, &str, f64); 3] =
    [("roll-610", "roll 610 mm", 609.6), ("roll-914", "roll 914 mm", 914.4), ("roll-1067", "roll 1067 mm", 1066.8)];

impl Paper {
    /// The paper of that name, if it is a known one.
    pub fn known(id: &str) -> Option<Self> {
        let sheet = SHEETS.iter().find(|row| row.0 == id);
        let roll = ROLLS.iter().find(|row| row.0 == id);
        let sheet = sheet.map(|&(id, title, w, h, press)| Self::new(id, title, Format::Sheet(Size::mm(w, h)), press));
        sheet.or_else(|| roll.map(|&(id, title, w)| Self::new(id, title, Format::Roll(Length::mm(w)), Press::Wide)))
    }

    /// Width of a known roll as its title tells it, `914 mm`; none for sheets and for papers of the publisher's own.
    pub fn roll_width(&self) -> Option<&'static str> {
        let roll = ROLLS.iter().find(|row| row.0 == self.id && row.1 == self.title);
        roll.and_then(|row| row.1.strip_prefix("roll "))
    }

    /// Names of all known papers.
    pub fn known_ids() -> impl Iterator<Item = &'static str> {
        SHEETS.iter().map(|row| row.0).chain(ROLLS.iter().map(|row| row.0))
    }

    fn new(id: &str, title: &str, format: Format, press: Press) -> Self {
        Self { id: id.into(), title: title.into(), format, press }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_those_of_the_standards() {
        // ISO 216 and PWG 5101.1 (na_letter_8.5x11in, na_legal_8.5x14in, na_ledger_11x17in, na_arch-e_36x48in).
        let inches = [("letter", 8.5, 11.0), ("legal", 8.5, 14.0), ("tabloid", 11.0, 17.0), ("arch-e", 36.0, 48.0)];
        for (id, w, h) in inches {
            let Format::Sheet(size) = Paper::known(id).unwrap().format else { panic!("{id} is cut paper") };
            assert!(size.width.within(Length::inches(w), Length::mm(1e-6)), "{id}");
            assert!(size.height.within(Length::inches(h), Length::mm(1e-6)), "{id}");
        }
        // ISO 216: A0 has 1 m², each next one is half of it, cut across the long side, rounded down to whole mm.
        let iso =
            [("a5", 148.0, 210.0), ("a4", 210.0, 297.0), ("a3", 297.0, 420.0), ("a2", 420.0, 594.0), ("a1", 594.0, 841.0)];
        for (id, w, h) in iso {
            assert_eq!(Paper::known(id).unwrap().format, Format::Sheet(Size::mm(w, h)), "{id}");
        }
    }
}
