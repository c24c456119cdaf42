//! The form that a tester fills in: plain values and a language in, one self-contained HTML page out.

use crate::catalogue::Messages;
use crate::diagnostic::Diagnostic;
use crate::guide::{script_hash, speaking};
use serde::Serialize;
use tera::{Context, Tera, TeraResult};

const PAGE: &str = include_str!("../../templates/feedback/form.html");
const STYLE: &str = concat!(include_str!("../../templates/palette.css"), include_str!("../../templates/feedback/form.css"));

/// Letters that a text of a tester may have: what the form takes is what the program reads.
pub const LONGEST_TEXT: usize = 4000;

/// Kinds of problems on a sheet: as the file has them, and the key of what the form says.
const KINDS: [(&str, &str); 6] = [
    ("meet", "feedback.kind.meet"),
    ("cut", "feedback.kind.cut"),
    ("read", "feedback.kind.read"),
    ("line", "feedback.kind.line"),
    ("word", "feedback.kind.word"),
    ("other", "feedback.kind.other"),
];
/// How bad a problem is, alike.
const SEVERITIES: [(&str, &str); 3] =
    [("small", "feedback.severity.small"), ("hinders", "feedback.severity.hinders"), ("stops", "feedback.severity.stops")];
/// What a tester says of a step, alike.
const STEPS: [(&str, &str); 3] =
    [("ok", "feedback.step.ok"), ("unclear", "feedback.step.unclear"), ("wrong", "feedback.step.wrong")];
/// What a tester says of all, alike.
const OVERALL: [(&str, &str); 3] =
    [("ready", "feedback.overall.ready"), ("small", "feedback.overall.small"), ("serious", "feedback.overall.serious")];

/// What a form is made from.
#[derive(Clone, Debug)]
pub struct FormSource<'a> {
    /// Name of the kit for files.
    pub kit: String,
    /// Its name for people, in the tester's language.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// Who publishes it and gets the answers.
    pub publisher: String,
    /// Number of the round, from 1.
    pub round: u32,
    /// Id of the tester.
    pub tester: String,
    /// Sizes to be tested; empty for a one-size kit.
    pub sizes: Vec<String>,
    /// Id of the paper, as in `a4`.
    pub paper: String,
    /// Its name in the tester's language.
    pub paper_title: String,
    /// Sheets of the tester's paper, row by row.
    pub sheets: Vec<FormSheet>,
    /// Steps of the guide, in its order.
    pub steps: Vec<FormStep>,
    /// The tester's language.
    pub messages: &'a Messages,
}

/// A sheet on the form's map.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FormSheet {
    /// As in `B3`.
    pub label: String,
    /// From 0.
    pub row: usize,
    /// From 0.
    pub column: usize,
    /// Whether it is another than in the tester's last round.
    pub changed: bool,
}

/// A step of the guide.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FormStep {
    /// The same in all languages and rounds.
    pub id: String,
    /// In the tester's language.
    pub title: String,
}

/// A choice: what the file says, and what the form does.
#[derive(Serialize)]
struct Choice {
    value: &'static str,
    says: String,
}

/// Name of the file that a tester sends back.
pub fn file_name(kit: &str, edition: &str, round: u32, tester: &str) -> String {
    format!("feedback-{kit}-{edition}-round-{round}-{tester}.json")
}

/// The form. Fails with `bug-template` if the template is faulty.
pub fn form(source: &FormSource) -> Result<String, Diagnostic> {
    render(source).map_err(|error| error!("bug-template", error))
}

fn render(source: &FormSource) -> TeraResult<String> {
    let mut tera = Tera::new();
    speaking(&mut tera, source.messages);
    tera.add_raw_template("form.html", PAGE)?;
    tera.render("form.html", &context(source))
}

fn context(source: &FormSource) -> Context {
    let mut context = Context::new();
    let messages = source.messages;
    let script = include_str!("../../templates/feedback/form.js").trim();
    let changed: Vec<String> = source.sheets.iter().filter(|sheet| sheet.changed).map(|sheet| sheet.label.clone()).collect();
    let texts = [
        ("kit", source.kit.clone()),
        ("title", source.title.clone()),
        ("edition", source.edition.clone()),
        ("publisher", source.publisher.clone()),
        ("tester", source.tester.clone()),
        ("paper", source.paper.clone()),
        ("paper_title", source.paper_title.clone()),
        ("language", messages.language().to_owned()),
        ("direction", messages.direction().html().to_owned()),
        ("changed", messages.list(&changed)),
        ("file", file_name(&source.kit, &source.edition, source.round, &source.tester)),
        ("style", STYLE.to_owned()),
        ("script", script.to_owned()),
        ("script_hash", script_hash(script)),
    ];
    texts.iter().for_each(|(name, text)| context.insert(*name, text));
    context.insert("round", &source.round);
    context.insert("longest", &LONGEST_TEXT);
    context.insert("sizes", &source.sizes);
    context.insert("sheets", &source.sheets);
    context.insert("steps", &source.steps);
    for (name, choices) in [("kinds", &KINDS[..]), ("severities", &SEVERITIES), ("answers", &STEPS), ("overall", &OVERALL)] {
        context.insert(name, &said(choices, messages));
    }
    context
}

fn said(choices: &[(&'static str, &str)], messages: &Messages) -> Vec<Choice> {
    choices.iter().map(|&(value, key)| Choice { value, says: messages.text(key, &[]) }).collect()
}
