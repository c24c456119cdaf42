//! Everything that was said, one remark after the other: what the page counts and the table lists.

use super::answer::{Answer, Clear, Kind, Overall, Severity, shown};
use super::cause::{Cause, cause};
use super::merge::Returned;
use std::collections::BTreeSet;

/// What a remark is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// A sheet.
    Sheet,
    /// A step of the guide.
    Step,
    /// The check square, measured across or down.
    Scale,
    /// The printer.
    Printer,
    /// How it fits.
    Fit,
    /// All in all.
    Overall,
    /// Anything else.
    More,
}

/// One thing that one tester says.
#[derive(Clone, Debug)]
pub struct Remark<'a> {
    /// The file that it stands in.
    pub returned: &'a Returned,
    /// What it is about.
    pub part: Part,
    /// Label of the sheet, id of the step, `across` or `down`; else empty.
    pub place: &'a str,
    /// Kind of problem, answer, cause or verdict, in words.
    pub what: &'static str,
    /// How bad it is, if it is about a sheet.
    pub severity: Severity,
    /// The tester's own words, with strange signs shown by their numbers.
    pub text: String,
    /// Whether nobody said so in any earlier round that was given; never if there is none.
    pub new: bool,
}

impl Part {
    /// The word for it in the table.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Step => "step",
            Self::Scale => "scale",
            Self::Printer => "printer",
            Self::Fit => "fit",
            Self::Overall => "overall",
            Self::More => "more",
        }
    }
}

impl<'a> Remark<'a> {
    fn new(returned: &'a Returned, part: Part, place: &'a str, what: &'static str, text: &str) -> Self {
        Self { returned, part, place, what, severity: Severity::Unsaid, text: shown(text), new: false }
    }

    /// The answer that it is from.
    pub fn answer(&self) -> &'a Answer {
        &self.returned.answer
    }

    /// Whether something is to be mended.
    pub fn is_problem(&self) -> bool {
        match self.part {
            Part::Sheet => true,
            Part::Step => self.what != Clear::Ok.says(),
            _ => false,
        }
    }

    /// By what two remarks are the same: sheets of one paper by their label and kind, steps by their id.
    pub fn key(&self) -> (Part, &'a str, &'a str, &'static str) {
        let (paper, what) = if self.part == Part::Sheet { (self.answer().paper.as_str(), self.what) } else { ("", "") };
        (self.part, paper, self.place, what)
    }
}

/// All that the answers of all rounds say, in their order; what is new in a round is marked.
pub fn remarks(returned: &[Returned]) -> Vec<Remark<'_>> {
    let first = returned.iter().map(|one| one.answer.round).min();
    let mut remarks: Vec<Remark> = returned.iter().flat_map(of_answer).collect();
    let told: BTreeSet<_> = remarks.iter().filter(|one| one.is_problem()).map(|one| (one.key(), one.answer().round)).collect();
    for remark in remarks.iter_mut().filter(|one| one.is_problem()) {
        let (key, round) = (remark.key(), remark.answer().round);
        let earlier = told.range((key, 0)..(key, round)).next().is_some();
        remark.new = Some(round) != first && !earlier;
    }
    remarks
}

fn of_answer(returned: &Returned) -> Vec<Remark<'_>> {
    let answer = &returned.answer;
    let mut found = Vec::new();
    for one in &answer.sheets {
        let remark = Remark::new(returned, Part::Sheet, &one.sheet, one.kind.says(), &one.note);
        // A sheet that was only tapped says nothing.
        if one.kind != Kind::Unsaid || one.severity != Severity::Unsaid || !one.note.trim().is_empty() {
            found.push(Remark { severity: one.severity, ..remark });
        }
    }
    found.extend(answer.steps.iter().map(|one| Remark::new(returned, Part::Step, &one.step, one.answer.says(), &one.note)));
    found.extend(of_scale(returned));
    let texts = [(Part::Printer, &answer.printer), (Part::Fit, &answer.fit), (Part::More, &answer.more)];
    let said = texts.iter().filter(|(_, text)| !text.trim().is_empty());
    found.extend(said.map(|(part, text)| Remark::new(returned, *part, "", "", text)));
    if answer.overall != Overall::Unsaid {
        found.push(Remark::new(returned, Part::Overall, "", answer.overall.says(), ""));
    }
    found
}

/// Both sides of the square as typed, with the unit that was chosen; the cause is one for both.
fn of_scale(returned: &Returned) -> impl Iterator<Item = Remark<'_>> {
    let (answer, scale) = (&returned.answer, &returned.answer.scale);
    let unit = if scale.unit == super::answer::Unit::In { "in" } else { "mm" };
    let why = cause_of(answer).map(Cause::says).unwrap_or_default();
    let sides = [("across", &scale.across), ("down", &scale.down)];
    let said = sides.into_iter().filter(|(_, text)| !text.trim().is_empty());
    said.map(move |(side, text)| Remark::new(returned, Part::Scale, side, why, &format!("{} [{unit}]", text.trim())))
}

/// What the check square of an answer tells, if it was measured.
pub fn cause_of(answer: &Answer) -> Option<Cause> {
    let [across, down] = answer.scale.measured();
    (!answer.scale.is_empty()).then(|| cause(across, down, &answer.paper))
}
