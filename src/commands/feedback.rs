//! `feedback`: what testers sent back, on one page and in one table.

use super::args;
use super::check::refuse;
use super::outputs::{FeedbackRecord, RoundRecord, VERSION};
use super::screen::{Screen, records};
use super::texts::{Texts, read_texts};
use crate::catalogue::{KitWords, Messages};
use crate::diagnostic::{Code, Diagnostic, Findings, Place, Severity, counted};
use crate::editions::digest;
use crate::feedback::{self, About, Answer, LARGEST_FILE, LeftOut, Merged, Returned};
use crate::files;
use crate::guide;
use crate::package::Names;
use crate::review::Roster;
use std::path::{Path, PathBuf};

/// Files of the largest round.
const MOST_FILES: usize = 2000;
/// Largest roster that is read.
const ROSTER_BYTES: u64 = 1_000_000;
/// Largest page and table that are looked at before they are replaced.
const OURS_BYTES: u64 = 500_000_000;

/// Reads all files, merges them and writes page and table.
pub(super) fn run(wish: &args::Feedback, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (texts, mut findings) = kit(wish);
    let roster = texts.as_ref().and_then(|texts| roster(wish, texts, &mut findings));
    if findings.has_errors() {
        refuse(screen, &findings);
        return Ok(findings);
    }
    let (returned, left_out) = read_all(&gathered(&wish.files)?, &mut findings);
    let (merged, more) = Merged::of(returned, &about(texts.as_ref(), roster.as_ref()));
    findings.extend(more);
    let Some(mut merged) = merged else {
        findings.push(error!("feedback-none"));
        refuse(screen, &findings);
        return Ok(findings);
    };
    merged.left_out.extend(left_out);
    if screen.stopped_by(&findings) {
        refuse(screen, &findings);
        return Ok(findings);
    }
    let folder = wish.out.clone().or_else(|| texts.map(|texts| texts.folder.join("out")));
    let written = write(&merged, &folder.unwrap_or_else(|| PathBuf::from(".")))?;
    tell(&merged, written, &findings, screen);
    Ok(findings)
}

/// What the kit says, if one is given. Its warnings are for `check`.
fn kit(wish: &args::Feedback) -> (Option<Texts>, Findings) {
    let Some(kit) = &wish.kit else { return (None, Findings::new()) };
    let (texts, findings) = read_texts(&args::KitFolder::usual(kit));
    if texts.is_some() { (texts, Findings::new()) } else { (None, findings) }
}

fn roster(wish: &args::Feedback, texts: &Texts, findings: &mut Findings) -> Option<Roster> {
    let path = wish.roster.as_ref()?;
    let text = findings.take(files::read_text(path, ROSTER_BYTES, code!("roster-unreadable")))?;
    let (roster, more) = Roster::read(&path.display().to_string(), &text, &texts.kit);
    findings.extend(more);
    roster
}

fn about<'a>(texts: Option<&Texts>, roster: Option<&'a Roster>) -> About<'a> {
    let Some(Texts { kit, .. }) = texts else { return About::default() };
    // Of a language that is not built in our own headings are English.
    let source = Messages::builtin(&kit.source_language).or_else(|| Messages::builtin("en"));
    let steps = source.map(|messages| guide::steps(kit, &messages, &KitWords::as_written())).unwrap_or_default();
    About {
        kit: Some(kit.name.clone()),
        title: Some(kit.title.clone()),
        steps: steps.into_iter().map(|step| (step.id, step.title)).collect(),
        roster,
    }
}

/// All files, those of folders by name.
fn gathered(wanted: &[PathBuf]) -> Result<Vec<PathBuf>, Diagnostic> {
    let mut found = Vec::new();
    for path in wanted {
        if path.is_dir() { found.extend(folder(path)?) } else { found.push(path.clone()) }
    }
    if found.len() > MOST_FILES {
        return Err(error!("feedback-many", most = MOST_FILES));
    }
    Ok(found)
}

fn folder(path: &Path) -> Result<Vec<PathBuf>, Diagnostic> {
    let shown = path.display().to_string();
    let code = code!("feedback-unreadable");
    let failed = |error: std::io::Error| error!(as code, "cannot-read", file = shown, why = error).at(Place::file(&shown));
    let is_json = |path: &PathBuf| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json"));
    let entries = std::fs::read_dir(path).map_err(failed)?.flatten().map(|entry| entry.path());
    // One more than may be tells as well that there are too many.
    let mut found: Vec<PathBuf> = entries.filter(is_json).take(MOST_FILES + 1).collect();
    found.sort();
    Ok(found)
}

/// Reads every file; one that cannot be read does not keep the others out.
fn read_all(paths: &[PathBuf], findings: &mut Findings) -> (Vec<Returned>, Vec<LeftOut>) {
    let (mut returned, mut left_out) = (Vec::new(), Vec::new());
    for path in paths {
        let file = path.display().to_string();
        match one(path, &file) {
            Ok(answer) => {
                if answer.is_strange() {
                    findings.push(warning!("feedback-signs").at(Place::file(&file)));
                }
                returned.push(Returned { file: plain(path), path: file, answer });
            }
            Err(finding) => {
                left_out.push(LeftOut { file: plain(path), why: finding.message.clone() });
                findings.push(finding);
            }
        }
    }
    (returned, left_out)
}

fn one(path: &Path, file: &str) -> Result<Answer, Diagnostic> {
    let code: Code = code!("feedback-unreadable");
    let mild = |finding| Diagnostic { severity: Severity::Warning, ..finding };
    Answer::read(file, &files::read(path, LARGEST_FILE, code).map_err(mild)?)
}

/// The name of a file without its folders, which tell about the publisher's computer.
fn plain(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Writes page and table; gives their paths. A file of such a name that is another's, or was worked on, is left alone.
fn write(merged: &Merged, folder: &Path) -> Result<[String; 2], Diagnostic> {
    let (page_name, table_name) = (Names::feedback(&merged.kit, "html"), Names::feedback(&merged.kit, "csv"));
    let table = feedback::table(merged)?;
    let page = feedback::page(merged, &table_name, &digest(&table))?;
    let (page_path, table_path) = (folder.join(page_name), folder.join(table_name));
    files::create_folder(folder)?;
    refuse_strangers(&page_path, &table_path, &merged.kit)?;
    files::replace_all(&[(&table_path, &table), (&page_path, page.as_bytes())])?;
    Ok([page_path, table_path].map(|path| path.display().to_string()))
}

/// The page says which kit it is of, and what the table beside it was when both were written.
fn refuse_strangers(page: &Path, table: &Path, kit: &str) -> Result<(), Diagnostic> {
    let read = |path: &Path| files::read(path, OURS_BYTES, code!("cannot-write")).unwrap_or_default();
    let head: String = String::from_utf8_lossy(&read(page)).chars().take(400).collect();
    let mark = format!("data-kitwright=\"feedback\" data-kit=\"{kit}\"");
    let same = || head.contains(&format!("data-table=\"{}\"", digest(&read(table))));
    let stranger = if page.exists() && !head.contains(&mark) {
        page
    } else if table.exists() && !same() {
        table
    } else {
        return Ok(());
    };
    let shown = stranger.display().to_string();
    Err(error!("cannot-write/no-feedback", shown).at(Place::file(shown)))
}

fn tell(merged: &Merged, [page, table]: [String; 2], findings: &Findings, screen: &Screen) {
    let rounds: Vec<RoundRecord> = rounds(merged);
    if !screen.for_machines() {
        screen.findings(findings);
        screen.say(summary(merged, &rounds).trim_end());
        return screen.data(&format!("{page}\n{table}\n"));
    }
    let left_out = merged.left_out.iter().map(|left| left.file.clone()).collect();
    let kit = merged.kit.clone();
    screen.record(&FeedbackRecord { version: VERSION, kit, page, table, rounds, left_out, findings: records(findings) });
}

fn rounds(merged: &Merged) -> Vec<RoundRecord> {
    let remarks = merged.remarks();
    let record = |round: &feedback::Round| {
        let problems = || remarks.iter().filter(|one| one.is_problem() && one.answer().round == round.number);
        RoundRecord {
            round: round.number,
            edition: round.edition.clone(),
            answered: round.answered.clone(),
            missing: round.missing.clone(),
            problems: problems().count(),
            new_problems: problems().filter(|one| one.new).count(),
        }
    };
    merged.rounds.iter().map(record).collect()
}

/// Each round in a line, with who is still to answer.
fn summary(merged: &Merged, rounds: &[RoundRecord]) -> String {
    let mut text = String::new();
    for round in rounds {
        let (answers, problems) = (counted(round.answered.len(), "answer"), counted(round.problems, "problem"));
        let (number, kit, edition) = (round.round, &merged.kit, &round.edition);
        text += &say!("feedback-round", number, kit, edition, answers, problems);
        if rounds.iter().any(|other| other.round < round.round) {
            text += &say!("feedback-new", count = round.new_problems);
        }
        text += "\n";
        if !round.missing.is_empty() {
            text += &format!("  {}\n", say!("feedback-missing", ids = round.missing.join(", ")));
        }
    }
    text
}
