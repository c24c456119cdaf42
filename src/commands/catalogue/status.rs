//! `catalogue status`: how far each language is, and what is wrong where.

use super::super::args;
use super::super::languages::{catalogue, file_name, short};
use super::super::outputs::{StatusRecord, TextRecord, VERSION};
use super::super::screen::{Screen, records};
use super::{languages, texts};
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::translation::{State, Status, kit_texts, status};

/// Tells the state of each language; unfinished ones are findings, so that scripts can tell.
pub(super) fn run(wish: &args::CatalogueStatus, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (texts, mut findings) = match texts(&wish.kit, screen) {
        Ok(read) => read,
        Err(findings) => return Ok(findings),
    };
    let mut listed = Vec::new();
    let mut faults = Findings::new();
    for language in languages(&texts, &wish.language)? {
        let Some(entries) = catalogue(&texts.folder, &language, &mut findings) else { continue };
        let wanted = kit_texts(&texts.kit, &language);
        let judged = status(&wanted, &entries, &language);
        if !screen.for_machines() {
            screen.data(&table(&language, &judged));
        }
        faults.extend(unfinished(&language, &judged));
        listed.extend(judged.iter().map(|status| record(&language, status)));
    }
    findings.extend(faults);
    if screen.for_machines() {
        screen.record(&StatusRecord { version: VERSION, texts: listed, findings: records(&findings) });
    }
    screen.findings(&findings);
    Ok(findings)
}

/// One word for a state, the same for people and programs.
fn name(state: &State) -> &'static str {
    match state {
        State::Done => "done",
        State::Missing => "missing",
        State::Stale => "stale",
        State::TooLong(..) => "too-long",
        State::Placeholder(_) => "placeholder",
        State::Markup(_) => "markup",
    }
}

/// What there is to say beside the word.
fn detail(state: &State) -> String {
    match state {
        State::Done | State::Missing | State::Stale => String::new(),
        State::TooLong(letters, most) => say!("letters-room", letters, most),
        State::Placeholder(hole) => say!("is-not-filled", hole),
        State::Markup(why) => why.clone(),
    }
}

/// A line of counts, then a line for each text that is not done.
fn table(language: &str, judged: &[Status]) -> String {
    let states = ["missing", "stale", "too-long", "placeholder", "markup"];
    let count = |wanted: &str| judged.iter().filter(|status| name(&status.state) == wanted).count();
    let counts =
        states.into_iter().filter(|state| count(state) > 0).map(|state| say!("count-of-state", count = count(state), state));
    let head = say!("language-done", language, done = count("done"), all = judged.len(), counts = counts.collect::<String>());
    let lines = judged.iter().filter(|status| status.state != State::Done).map(|status| {
        let detail = Some(detail(&status.state)).filter(|detail| !detail.is_empty()).map(|detail| format!(" ({detail})"));
        let (text, state) = (short(&status.text.text), name(&status.state));
        format!("  {:<11} {}: {} {text}{}\n", state, status.place(), status.text.context, detail.unwrap_or_default())
    });
    head + "\n" + &lines.collect::<String>()
}

fn unfinished(language: &str, judged: &[Status]) -> Option<Diagnostic> {
    let open = judged.iter().filter(|status| status.state != State::Done).count();
    (open > 0)
        .then(|| error!("catalogue-unfinished", open, count = judged.len(), language).at(Place::file(file_name(language))))
}

fn record(language: &str, status: &Status) -> TextRecord {
    let place = status.place();
    TextRecord {
        language: language.to_owned(),
        context: status.text.context.clone(),
        text: status.text.text.clone(),
        state: name(&status.state).to_owned(),
        detail: detail(&status.state),
        file: place.file,
        line: place.line,
    }
}
