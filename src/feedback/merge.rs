//! Many answers made one: which belong together, which are left out and why, who has not answered.

use super::answer::Answer;
use super::remark::{Remark, remarks};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::review::Roster;
use std::collections::BTreeMap;

/// An answer and the file that it came in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Returned {
    /// Name of the file, as page and table have it.
    pub file: String,
    /// The same as findings call it, with its folders.
    pub path: String,
    /// What it says.
    pub answer: Answer,
}

/// A file that was not taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// The file.
    pub file: String,
    /// Why.
    pub why: String,
}

/// What is known of the kit besides its answers.
#[derive(Clone, Debug, Default)]
pub struct About<'a> {
    /// Name of the kit that the answers must be for; without it most of them decide.
    pub kit: Option<String>,
    /// Its name for people.
    pub title: Option<String>,
    /// Headings of the guide's steps in the publisher's language, by their ids, in order.
    pub steps: Vec<(String, String)>,
    /// Who was asked.
    pub roster: Option<&'a Roster>,
}

/// The answers of all rounds.
#[derive(Clone, Debug)]
pub struct Merged {
    /// Name of the kit.
    pub kit: String,
    /// Its name for people; the same if it is not known.
    pub title: String,
    /// Headings of steps, in the guide's order.
    pub steps: Vec<(String, String)>,
    /// What was taken in, by round and tester.
    pub returned: Vec<Returned>,
    /// The rounds, the newest first.
    pub rounds: Vec<Round>,
    /// What was not.
    pub left_out: Vec<LeftOut>,
}

/// One round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// Its number.
    pub number: u32,
    /// The edition that was tested.
    pub edition: String,
    /// Who has answered.
    pub answered: Vec<String>,
    /// Who has not, if there is a roster.
    pub missing: Vec<String>,
}

impl Merged {
    /// Takes the answers that belong together; each that does not is left out by a finding. `None` if nothing is left.
    pub fn of(mut returned: Vec<Returned>, about: &About) -> (Option<Self>, Findings) {
        returned.sort_by(|a, b| key(a).cmp(&key(b)));
        let kit = about.kit.clone().or_else(|| most(returned.iter().map(|one| one.answer.kit.as_str())));
        let Some(kit) = kit else { return (None, Findings::new()) };
        let mut sieve = Sieve { findings: Findings::new(), left_out: Vec::new() };
        let mut returned = sieve.keep(returned, |one| {
            (one.answer.kit != kit).then(|| warning!("feedback-other/kit", theirs = one.answer.kit, ours = kit))
        });
        let editions = editions(&returned);
        returned = sieve.keep(returned, |one| other_edition(&one.answer, &editions));
        returned = sieve.keep(returned, |one| stranger(&one.answer, about.roster));
        returned = sieve.once(returned);
        let rounds = rounds(&returned, &editions, about.roster);
        let title = about.title.clone().unwrap_or_else(|| kit.clone());
        let merged = Self { kit, title, steps: about.steps.clone(), returned, rounds, left_out: sieve.left_out };
        (Some(merged).filter(|merged| !merged.returned.is_empty()), sieve.findings)
    }

    /// All that was said.
    pub fn remarks(&self) -> Vec<Remark<'_>> {
        remarks(&self.returned)
    }
}

fn key(one: &Returned) -> (u32, String, &str) {
    (one.answer.round, one.answer.tester.to_ascii_lowercase(), &one.path)
}

/// What occurs most often; of several the first by name.
fn most<'a>(names: impl Iterator<Item = &'a str>) -> Option<String> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    names.for_each(|name| *counts.entry(name).or_default() += 1);
    let most = counts.values().copied().max()?;
    counts.into_iter().find(|(_, count)| *count == most).map(|(name, _)| name.to_owned())
}

/// The edition of each round: that of most of its answers.
fn editions(returned: &[Returned]) -> BTreeMap<u32, String> {
    let mut numbers: Vec<u32> = returned.iter().map(|one| one.answer.round).collect();
    numbers.dedup();
    let of = |number: u32| {
        let answers = returned.iter().filter(move |one| one.answer.round == number);
        most(answers.map(|one| one.answer.edition.as_str())).unwrap_or_default()
    };
    numbers.into_iter().map(|number| (number, of(number))).collect()
}

fn other_edition(answer: &Answer, editions: &BTreeMap<u32, String>) -> Option<Diagnostic> {
    let ours = editions.get(&answer.round).filter(|ours| **ours != answer.edition)?;
    Some(warning!("feedback-other/edition", theirs = answer.edition, ours, round = answer.round))
}

fn stranger(answer: &Answer, roster: Option<&Roster>) -> Option<Diagnostic> {
    let known = roster?.tester(&answer.tester).is_some();
    (!known).then(|| warning!("feedback-stranger", id = answer.tester))
}

/// What is taken in, and what is not.
struct Sieve {
    findings: Findings,
    left_out: Vec<LeftOut>,
}

impl Sieve {
    fn keep(&mut self, returned: Vec<Returned>, refuse: impl Fn(&Returned) -> Option<Diagnostic>) -> Vec<Returned> {
        let (mut kept, mut refused) = (Vec::new(), Vec::new());
        for one in returned {
            match refuse(&one) {
                None => kept.push(one),
                Some(finding) => refused.push((one, finding)),
            }
        }
        refused.into_iter().for_each(|(one, finding)| self.leave_out(one, finding));
        kept
    }

    fn leave_out(&mut self, one: Returned, finding: Diagnostic) {
        self.left_out.push(LeftOut { file: one.file, why: finding.message.clone() });
        self.findings.push(finding.at(Place::file(one.path)));
    }

    /// One answer of a tester in a round: the same file twice is no matter, but of two that differ one must be chosen.
    fn once(&mut self, returned: Vec<Returned>) -> Vec<Returned> {
        let mut kept: Vec<Returned> = Vec::new();
        for one in returned {
            // They are sorted, so that only the last one can be of the same tester.
            match kept.last().filter(|last| (key(last).0, key(last).1) == (key(&one).0, key(&one).1)) {
                Some(last) if last.answer == one.answer => {}
                Some(last) => {
                    let finding =
                        warning!("feedback-twice", id = one.answer.tester, round = one.answer.round, first = last.path);
                    self.leave_out(one, finding);
                }
                None => kept.push(one),
            }
        }
        kept
    }
}

fn rounds(returned: &[Returned], editions: &BTreeMap<u32, String>, roster: Option<&Roster>) -> Vec<Round> {
    let round = |(number, edition): (&u32, &String)| {
        let answers = returned.iter().filter(|one| one.answer.round == *number);
        let answered: Vec<String> = answers.map(|one| one.answer.tester.clone()).collect();
        let has = |id: &str| answered.iter().any(|other| other.eq_ignore_ascii_case(id));
        let asked = roster.map(|roster| roster.testers.as_slice()).unwrap_or_default();
        let missing = asked.iter().filter(|tester| !has(&tester.id)).map(|tester| tester.id.clone()).collect();
        Round { number: *number, edition: edition.clone(), answered, missing }
    };
    editions.iter().rev().map(round).filter(|round| !round.answered.is_empty()).collect()
}
