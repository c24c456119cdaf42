//! The file that a tester sends back: bytes in, a checked answer out, or the reason why there is none.

use super::cause;
use super::form::LONGEST_TEXT;
use crate::diagnostic::{Diagnostic, Place};
use crate::review::is_id;
use crate::units::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Version of the file's form that this program writes and reads.
pub const FORMAT: u32 = 1;
/// Bytes of the largest file that is read.
pub const LARGEST_FILE: u64 = 1_000_000;
/// Entries of the longest list, and letters of the longest short text; both far above any kit.
const MOST_ENTRIES: usize = 2000;
const SHORT: usize = 160;
/// Rows and columns of the largest map: 200 sheets of the smallest paper lie 30 m wide.
const MOST_ROWS: usize = 200;
/// The highest number of a round.
const ROUNDS: u32 = 1000;

/// What one tester says, as the form saves it. Texts are as typed; an empty one means that nothing was said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "kitwright feedback file", deny_unknown_fields)]
pub struct Answer {
    /// Version of this form: 1.
    pub format: u32,
    /// Name of the kit for files.
    pub kit: String,
    /// Its edition.
    pub edition: String,
    /// Number of the round, from 1.
    pub round: u32,
    /// Id of the tester.
    pub tester: String,
    /// Tag of the language that the form was in.
    pub language: String,
    /// Id of the paper that was printed on.
    pub paper: String,
    /// Printer and program.
    pub printer: String,
    /// What the check square measures.
    pub scale: Scale,
    /// Name of the size that was made.
    pub size: String,
    /// Labels of all sheets that the form asked about.
    pub map: Vec<String>,
    /// Problems on sheets.
    pub sheets: Vec<SheetRemark>,
    /// Steps of the guide that something was said about.
    pub steps: Vec<StepRemark>,
    /// How it fits.
    pub fit: String,
    /// All in all.
    pub overall: Overall,
    /// Anything else.
    pub more: String,
}

/// What a tester measures on the square that must be 100 mm across and down.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(deny_unknown_fields)]
pub struct Scale {
    /// What the numbers count.
    pub unit: Unit,
    /// As typed.
    pub across: String,
    /// As typed.
    pub down: String,
}

/// Millimetres or inches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Unit {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches.
    In,
}

/// A problem on a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(deny_unknown_fields)]
pub struct SheetRemark {
    /// Label of the sheet.
    pub sheet: String,
    /// What kind of problem it is.
    pub kind: Kind,
    /// How bad it is.
    pub severity: Severity,
    /// In the tester's words.
    pub note: String,
}

/// What a tester says of a step of the guide.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(deny_unknown_fields)]
pub struct StepRemark {
    /// Id of the step, the same in all languages.
    pub step: String,
    /// Its heading, in the tester's language.
    pub title: String,
    /// Whether it is clear.
    pub answer: Clear,
    /// In the tester's words.
    pub note: String,
}

/// Defines a choice with its names in files and in the publisher's page and table; the first one is that nothing was chosen.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident { $($(#[$about:meta])* $variant:ident = $file:literal: $says:expr,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        pub enum $name {
            /// Nothing was chosen.
            #[default]
            #[serde(rename = "")]
            Unsaid,
            $($(#[$about])* #[serde(rename = $file)] $variant,)*
        }

        impl $name {
            /// In words; empty if nothing was chosen.
            pub fn says(self) -> &'static str {
                match self {
                    Self::Unsaid => "",
                    $(Self::$variant => $says,)*
                }
            }
        }
    };
}

choice! {
    /// Kinds of problems on a sheet.
    Kind {
        /// Lines do not meet those of the next sheet.
        Meet = "meet": words!("feedback-kind-meet"),
        /// Something is cut off or missing.
        Cut = "cut": words!("feedback-kind-cut"),
        /// Hard to read.
        Read = "read": words!("feedback-kind-read"),
        /// A line or shape is wrong.
        Line = "line": words!("feedback-kind-line"),
        /// A word or number is wrong.
        Word = "word": words!("feedback-kind-word"),
        /// Something else.
        Other = "other": words!("feedback-kind-other"),
    }
}
choice! {
    /// How bad a problem is, the least first.
    Severity {
        /// A small thing.
        Small = "small": words!("feedback-severity-small"),
        /// It gets in the way.
        Hinders = "hinders": words!("feedback-severity-hinders"),
        /// The tester could not go on.
        Stops = "stops": words!("feedback-severity-stops"),
    }
}
choice! {
    /// Whether a step is clear.
    Clear {
        /// It is.
        Ok = "ok": words!("feedback-step-ok"),
        /// It is not.
        Unclear = "unclear": words!("feedback-step-unclear"),
        /// It is wrong.
        Wrong = "wrong": words!("feedback-step-wrong"),
    }
}
choice! {
    /// Whether the pattern can go out.
    Overall {
        /// As it is.
        Ready = "ready": words!("feedback-overall-ready"),
        /// After small corrections.
        Small = "small": words!("feedback-overall-small"),
        /// Something must be put right first.
        Serious = "serious": words!("feedback-overall-serious"),
    }
}

impl Scale {
    /// Both sides as lengths, as far as they can be read.
    pub fn measured(&self) -> [Option<Length>; 2] {
        [&self.across, &self.down].map(|text| cause::measured(text, self.unit == Unit::In))
    }

    /// Whether anything was measured.
    pub fn is_empty(&self) -> bool {
        self.across.trim().is_empty() && self.down.trim().is_empty()
    }
}

/// Only what says whether the rest can be understood.
#[derive(Deserialize)]
struct Head {
    format: Option<u32>,
}

impl Answer {
    /// Reads a file; `name` is the file as findings shall call it.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Diagnostic> {
        let place = || Place::file(name);
        let Ok(text) = std::str::from_utf8(bytes) else { return Err(warning!("feedback-unreadable/utf8").at(place())) };
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let head: Head = serde_json::from_str(text).map_err(|error| broken(name, &error))?;
        match head.format {
            Some(FORMAT) => {}
            Some(theirs) => return Err(warning!("feedback-format", theirs, ours = FORMAT).at(place())),
            None => return Err(warning!("feedback-unreadable/other").at(place())),
        }
        let answer: Self = serde_json::from_str(text).map_err(|error| broken(name, &error))?;
        match answer.fault() {
            None => Ok(answer),
            Some(what) => Err(warning!("feedback-unreadable/value", what).at(place())),
        }
    }

    /// The field that holds what no form can have saved.
    fn fault(&self) -> Option<&'static str> {
        let kit = !self.kit.is_empty() && self.kit.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        let short =
            |text: &str| text.chars().count() <= SHORT && !text.chars().any(is_strange) && !text.contains(['\n', '\r', '\t']);
        let named = |text: &str| short(text) && !text.trim().is_empty();
        let long = |text: &str| text.chars().count() <= LONGEST_TEXT;
        let sheets =
            self.sheets.len() <= MOST_ENTRIES && self.sheets.iter().all(|one| place(&one.sheet).is_some() && long(&one.note));
        let step = |one: &StepRemark| named(&one.step) && long(&one.title) && long(&one.note);
        let checks = [
            ("kit", kit && short(&self.kit)),
            ("edition", short(&self.edition) && semver::Version::parse(&self.edition).is_ok()),
            ("round", (1..=ROUNDS).contains(&self.round)),
            ("tester", is_id(&self.tester)),
            ("language", is_language(&self.language)),
            ("paper", named(&self.paper)),
            ("printer", long(&self.printer)),
            ("scale", long(&self.scale.across) && long(&self.scale.down)),
            ("size", short(&self.size)),
            ("map", self.map.len() <= MOST_ENTRIES && self.map.iter().all(|label| place(label).is_some())),
            ("sheets", sheets),
            ("steps", self.steps.len() <= MOST_ENTRIES && self.steps.iter().all(step)),
            ("fit", long(&self.fit)),
            ("more", long(&self.more)),
        ];
        checks.iter().find(|(_, fine)| !fine).map(|(what, _)| *what)
    }

    /// Whether a text holds signs that move or hide others; they are shown by their numbers.
    pub fn is_strange(&self) -> bool {
        let steps = self.steps.iter().flat_map(|one| [&one.title, &one.note]);
        let texts = [&self.printer, &self.scale.across, &self.scale.down, &self.fit, &self.more];
        let mut texts = texts.into_iter().chain(self.sheets.iter().map(|one| &one.note)).chain(steps);
        texts.any(|text| text.chars().any(is_strange))
    }
}

/// Row and column of a sheet's label, from 0: `B3` is 1 and 2.
pub fn place(label: &str) -> Option<(usize, usize)> {
    let end = label.find(|c: char| !c.is_ascii_uppercase())?;
    let (letters, digits) = label.split_at(end);
    let plain =
        (1..=3).contains(&letters.len()) && (1..=4).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    // Before anything is counted: a label of a thousand letters would be a number too large.
    if !plain {
        return None;
    }
    let row: usize = letters.bytes().fold(0, |row, letter| row * 26 + usize::from(letter - b'A') + 1);
    let column: usize = digits.parse().ok().filter(|column| *column > 0)?;
    (row <= MOST_ROWS && column <= MOST_ROWS).then_some((row.checked_sub(1)?, column - 1))
}

/// A tag of the plain form of BCP 47.
fn is_language(text: &str) -> bool {
    let mut parts = text.split('-');
    let first = parts.next().is_some_and(|part| (2..=3).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphabetic()));
    first
        && text.len() <= 40
        && parts.all(|part| (2..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric()))
}

/// Controls but line breaks and tabs, and what turns the direction of other words (UAX 9, 2.1 and 2.2).
fn is_strange(c: char) -> bool {
    let layout = matches!(c, '\n' | '\r' | '\t');
    (c.is_control() && !layout) || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

/// A tester's text with such signs shown by their numbers; nothing else is changed, and nothing is left out.
pub fn shown(text: &str) -> String {
    let show = |c: char| if is_strange(c) { format!("⟨U+{:04X}⟩", u32::from(c)) } else { c.to_string() };
    text.chars().map(show).collect()
}

/// What is not JSON, or not of this form.
fn broken(name: &str, error: &serde_json::Error) -> Diagnostic {
    let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX).max(1);
    let at = Place::at(name, number(error.line()), number(error.column()));
    let whole = error.to_string();
    let why = shown(whole.split(" at line ").next().unwrap_or_default()).chars().take(200).collect::<String>();
    warning!("feedback-unreadable/json", why).at(at)
}
