//! All answers on one HTML page: what the template shows, gathered from the remarks.

use super::answer::{Answer, Clear, Overall, Severity, place, shown};
use super::cause::Cause;
use super::merge::{LeftOut, Merged, Round};
use super::remark::{Part, Remark, cause_of};
use crate::diagnostic::Diagnostic;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use tera::{Context, Tera, TeraResult};

const PAGE: &str = include_str!("../../templates/feedback/page.html");
const ROUND: &str = include_str!("../../templates/feedback/round.html");
const SAYS: &str = include_str!("../../templates/feedback/says.html");
const STYLE: &str = concat!(include_str!("../../templates/palette.css"), include_str!("../../templates/feedback/page.css"));
/// From how many problems on a sheet each shade begins.
const SHADES: [usize; 4] = [1, 2, 3, 5];

/// The page. `table` names the table beside it and `digest` tells its bytes, so that one that was changed by hand is known.
/// Fails with `bug-template` if a template is faulty.
pub fn page(merged: &Merged, table: &str, digest: &str) -> Result<String, Diagnostic> {
    render(merged, table, digest).map_err(|error| error!("bug-template", error))
}

fn render(merged: &Merged, table: &str, digest: &str) -> TeraResult<String> {
    let mut tera = Tera::new();
    tera.add_raw_templates([("says.html", SAYS), ("round.html", ROUND), ("page.html", PAGE)])?;
    let remarks = merged.remarks();
    let titles = titles(merged);
    let rounds: Vec<RoundView> = merged.rounds.iter().map(|round| RoundView::new(round, merged, &remarks, &titles)).collect();
    let mut context = Context::new();
    context.insert("kit", &merged.kit);
    context.insert("title", &merged.title);
    context.insert("rounds", &rounds);
    context.insert("left_out", &merged.left_out.iter().map(LeftOutView::new).collect::<Vec<_>>());
    context.insert("table", table);
    context.insert("digest", digest);
    context.insert("style", STYLE);
    tera.render("page.html", &context)
}

#[derive(Serialize)]
struct LeftOutView {
    file: String,
    why: String,
}

impl LeftOutView {
    fn new(left: &LeftOut) -> Self {
        Self { file: shown(&left.file), why: shown(&left.why).replace('`', "") }
    }
}

/// One round; lists are empty where nothing was said.
#[derive(Serialize)]
struct RoundView {
    number: u32,
    edition: String,
    answered: Vec<String>,
    missing: Vec<String>,
    problems: usize,
    overall: Vec<CountView>,
    new: Vec<Says>,
    /// Problems of the round before that nobody speaks of any more.
    gone: Vec<String>,
    earlier: Option<u32>,
    maps: Vec<MapView>,
    sizes: Vec<SizeView>,
    steps: Vec<StepView>,
    scales: Vec<ScaleView>,
    fit: Vec<Says>,
    more: Vec<Says>,
}

#[derive(Serialize)]
struct CountView {
    says: &'static str,
    count: usize,
    testers: Vec<String>,
}

/// What one tester says of one thing.
#[derive(Serialize)]
struct Says {
    tester: String,
    size: String,
    language: String,
    /// What it is about, in words.
    about: String,
    what: &'static str,
    severity: &'static str,
    stops: bool,
    text: String,
    new: bool,
}

/// The sheets of a paper as they are joined.
#[derive(Serialize)]
struct MapView {
    /// Safe in an id.
    id: String,
    paper: String,
    testers: usize,
    sheets: Vec<SheetView>,
}

#[derive(Serialize)]
struct SheetView {
    label: String,
    row: usize,
    column: usize,
    count: usize,
    shade: usize,
    says: Vec<Says>,
}

#[derive(Serialize)]
struct SizeView {
    size: String,
    testers: Vec<String>,
    sheets: usize,
    steps: usize,
    worst: &'static str,
    overall: Vec<CountView>,
}

#[derive(Serialize)]
struct StepView {
    title: String,
    clear: usize,
    unclear: usize,
    wrong: usize,
    says: Vec<Says>,
}

#[derive(Serialize)]
struct ScaleView {
    tester: String,
    paper: String,
    printer: String,
    language: String,
    across: String,
    down: String,
    percent: String,
    cause: &'static str,
    fine: bool,
}

/// Headings of steps by their ids.
type Titles<'a> = BTreeMap<&'a str, String>;

/// The kit's own headings, or else as the first answer has them.
fn titles(merged: &Merged) -> Titles<'_> {
    let own = merged.steps.iter().map(|(id, title)| (id.as_str(), title));
    let told = merged.returned.iter().flat_map(|one| &one.answer.steps).map(|one| (one.step.as_str(), &one.title));
    let mut titles = Titles::new();
    for (id, title) in own.chain(told) {
        titles.entry(id).or_insert_with(|| shown(title));
    }
    titles
}

/// The remarks of one round, with the answers that they are from.
struct Parts<'a> {
    merged: &'a Merged,
    titles: &'a Titles<'a>,
    answers: Vec<&'a Answer>,
    remarks: Vec<&'a Remark<'a>>,
    /// By part, paper and place: there may be thousands.
    placed: BTreeMap<(Part, &'a str, &'a str), Vec<&'a Remark<'a>>>,
}

impl RoundView {
    fn new(round: &Round, merged: &Merged, all: &[Remark], titles: &Titles) -> Self {
        let of = |number: u32| all.iter().filter(move |one| one.answer().round == number);
        let answers = merged.returned.iter().map(|one| &one.answer).filter(|answer| answer.round == round.number);
        let parts = Parts::new(merged, titles, answers.collect(), of(round.number).collect());
        let earlier = merged.rounds.iter().map(|other| other.number).filter(|other| *other < round.number).max();
        let now: BTreeSet<_> = parts.remarks.iter().map(|one| one.key()).collect();
        let was = earlier.into_iter().flat_map(of).filter(|one| one.is_problem() && !now.contains(&one.key()));
        Self {
            number: round.number,
            edition: round.edition.clone(),
            answered: round.answered.clone(),
            missing: round.missing.clone(),
            problems: parts.remarks.iter().filter(|one| one.is_problem()).count(),
            overall: overall(parts.answers.iter()),
            new: parts.says(|one| one.new),
            gone: was.map(|one| format!("{}: {}", parts.about(one), one.what)).collect::<BTreeSet<_>>().into_iter().collect(),
            earlier,
            maps: parts.maps(),
            sizes: parts.sizes(),
            steps: parts.steps(),
            scales: parts.answers.iter().filter_map(|answer| ScaleView::new(answer)).collect(),
            fit: parts.says(|one| one.part == Part::Fit),
            more: parts.says(|one| one.part == Part::More),
        }
    }
}

/// How many testers say what of all.
fn overall<'a>(answers: impl Iterator<Item = &'a &'a Answer> + Clone) -> Vec<CountView> {
    let of = |verdict: Overall| {
        let testers: Vec<String> =
            answers.clone().filter(|answer| answer.overall == verdict).map(|answer| answer.tester.clone()).collect();
        CountView { says: verdict.says(), count: testers.len(), testers }
    };
    [Overall::Serious, Overall::Small, Overall::Ready].map(of).into_iter().filter(|view| view.count > 0).collect()
}

impl<'a> Parts<'a> {
    fn new(merged: &'a Merged, titles: &'a Titles, answers: Vec<&'a Answer>, remarks: Vec<&'a Remark<'a>>) -> Self {
        let mut placed: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for one in &remarks {
            let paper = if one.part == Part::Sheet { one.answer().paper.as_str() } else { "" };
            placed.entry((one.part, paper, one.place)).or_default().push(*one);
        }
        Self { merged, titles, answers, remarks, placed }
    }

    fn at(&self, part: Part, paper: &'a str, place: &'a str) -> &[&'a Remark<'a>] {
        self.placed.get(&(part, paper, place)).map(Vec::as_slice).unwrap_or_default()
    }

    fn says(&self, wanted: impl Fn(&Remark) -> bool) -> Vec<Says> {
        self.remarks.iter().filter(|one| wanted(one)).map(|one| self.one(one)).collect()
    }

    fn one(&self, remark: &Remark) -> Says {
        let answer = remark.answer();
        Says {
            tester: answer.tester.clone(),
            size: answer.size.clone(),
            language: answer.language.clone(),
            about: self.about(remark),
            what: remark.what,
            severity: remark.severity.says(),
            stops: remark.severity == Severity::Stops,
            text: remark.text.clone(),
            new: remark.new,
        }
    }

    fn about(&self, remark: &Remark) -> String {
        match remark.part {
            Part::Sheet => say!("feedback-about-sheet", label = remark.place, paper = remark.answer().paper),
            Part::Step => self.titles.get(remark.place).cloned().unwrap_or_default(),
            _ => String::new(),
        }
    }

    /// One map a paper.
    fn maps(&self) -> Vec<MapView> {
        let papers: BTreeSet<&'a str> = self.answers.iter().map(|answer| answer.paper.as_str()).collect();
        papers.into_iter().map(|paper| self.map(paper)).filter(|map| !map.sheets.is_empty()).collect()
    }

    fn map(&self, paper: &'a str) -> MapView {
        let answers = || self.answers.iter().filter(|answer| answer.paper == paper);
        let asked = answers().flat_map(|answer| &answer.map);
        let told = answers().flat_map(|answer| answer.sheets.iter().map(|one| &one.sheet));
        let mut labels: Vec<(usize, usize, &'a str)> =
            asked.chain(told).filter_map(|label| place(label).map(|(row, column)| (row, column, label.as_str()))).collect();
        labels.sort_unstable();
        labels.dedup();
        let sheet = |(row, column, label): (usize, usize, &'a str)| {
            let mut says: Vec<Says> = self.at(Part::Sheet, paper, label).iter().map(|one| self.one(one)).collect();
            says.sort_by_key(|one| !one.stops);
            let count = says.len();
            let shade = SHADES.iter().filter(|from| count >= **from).count();
            SheetView { label: label.into(), row: row + 1, column: column + 1, count, shade, says }
        };
        let id = paper.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        MapView { id, paper: paper.into(), testers: answers().count(), sheets: labels.into_iter().map(sheet).collect() }
    }

    fn sizes(&self) -> Vec<SizeView> {
        let sizes: BTreeSet<&str> = self.answers.iter().map(|answer| answer.size.as_str()).collect();
        let view = |size: &str| {
            let answers = self.answers.iter().filter(|answer| answer.size == size);
            let of = |part: Part| self.remarks.iter().filter(move |one| one.part == part && one.answer().size == size);
            SizeView {
                size: size.into(),
                testers: answers.clone().map(|answer| answer.tester.clone()).collect(),
                sheets: of(Part::Sheet).count(),
                steps: of(Part::Step).filter(|one| one.is_problem()).count(),
                worst: of(Part::Sheet).map(|one| one.severity).max().unwrap_or_default().says(),
                overall: overall(answers),
            }
        };
        sizes.into_iter().map(view).collect()
    }

    /// In the guide's order; steps that the kit does not have come last.
    fn steps(&self) -> Vec<StepView> {
        let rank: BTreeMap<&str, usize> = self.merged.steps.iter().enumerate().map(|(n, (id, _))| (id.as_str(), n)).collect();
        let mut ids: Vec<(usize, &'a str)> = Vec::new();
        let said = self.remarks.iter().filter(|one| one.part == Part::Step);
        ids.extend(said.map(|one| (rank.get(one.place).copied().unwrap_or(usize::MAX), one.place)));
        ids.sort_unstable();
        ids.dedup();
        ids.into_iter().map(|(_, id)| self.step(id)).collect()
    }

    fn step(&self, id: &'a str) -> StepView {
        let here = self.at(Part::Step, "", id);
        let count = |clear: Clear| here.iter().filter(|one| one.what == clear.says()).count();
        StepView {
            title: self.titles.get(id).cloned().unwrap_or_default(),
            clear: count(Clear::Ok),
            unclear: count(Clear::Unclear),
            wrong: count(Clear::Wrong),
            says: here.iter().filter(|one| !one.text.trim().is_empty()).map(|one| self.one(one)).collect(),
        }
    }
}

impl ScaleView {
    /// A row for each who measured the square or named a printer.
    fn new(answer: &Answer) -> Option<Self> {
        let cause = cause_of(answer);
        let measured: Vec<f64> = answer.scale.measured().into_iter().flatten().map(crate::units::Length::to_mm).collect();
        // Of 100 mm each millimetre is one per cent.
        let mean = measured.iter().sum::<f64>() / measured.len().max(1) as f64;
        let percent = if measured.is_empty() { String::new() } else { format!("{mean:.1} %") };
        let said = cause.is_some() || !answer.printer.trim().is_empty();
        said.then(|| Self {
            tester: answer.tester.clone(),
            paper: answer.paper.clone(),
            printer: shown(&answer.printer),
            language: answer.language.clone(),
            across: typed(&answer.scale.across, answer),
            down: typed(&answer.scale.down, answer),
            percent,
            cause: cause.map(Cause::says).unwrap_or_default(),
            fine: matches!(cause, None | Some(Cause::True | Cause::Nearly)),
        })
    }
}

/// What was typed, with the unit that was chosen.
fn typed(text: &str, answer: &Answer) -> String {
    let unit = if answer.scale.unit == super::answer::Unit::In { "in" } else { "mm" };
    if text.trim().is_empty() { String::new() } else { format!("{} {unit}", shown(text.trim())) }
}
