//! What an edition changes on paper: two packages, sheet by sheet, by the drawing's own lines.

use super::archive::{self, Files};
use super::assembly::{Assembly, REACH, Shown, shown};
use super::mark::Mark;
use super::pdf;
use super::promises::{self, Paper, Press, Promises};
use super::sheets::OFF;
use super::verdict::Verdict;
use crate::diagnostic::Diagnostic;
use crate::units::Length;

/// The papers of a new package beside those of an earlier one.
#[derive(Clone, Debug)]
pub struct Changes {
    /// Edition of the earlier package.
    pub since: String,
    /// Home papers that both have, in the new package's order.
    pub papers: Vec<PaperChange>,
}

/// What an edition changes on one paper.
#[derive(Clone, Debug)]
pub struct PaperChange {
    /// Id of the paper.
    pub paper: String,
    /// Whether the sheets cover the same parts of the drawing as before; if not, none of the earlier ones fits.
    pub same_grid: bool,
    /// Sheets on which lines differ, by their labels; new sheets are among them.
    pub changed: Vec<String>,
    /// Sheets of the earlier edition that there are no more.
    pub gone: Vec<String>,
    /// How far the farthest line moved, of those that moved by no more than a millimetre.
    pub farthest: Length,
}

/// Compares two packages by what their home sheets show; frames, labels and words around the drawing do not count.
///
/// Fails with `package-unreadable` or another finding of verification if the earlier package cannot be read.
pub fn changes(name: &str, old: &[u8], new: &[u8]) -> Result<Changes, Diagnostic> {
    let (old_files, old) = read(name, old)?;
    let (new_files, new) = read(name, new)?;
    let home = |promises: &Promises, id: &str| -> Option<usize> {
        let fits = |it: &Paper| it.press == Press::Home && !it.one_of_many_sizes && it.language.is_none() && it.paper == id;
        promises.papers.iter().position(fits)
    };
    let mut papers = Vec::new();
    for mine in &new.papers {
        let own = home(&new, &mine.paper).and_then(|index| new.papers.get(index)).is_some_and(|it| it.file == mine.file);
        let Some(theirs) = home(&old, &mine.paper).and_then(|index| old.papers.get(index)).filter(|_| own) else { continue };
        if let (Some(mine_shown), Some(theirs_shown)) = (sheets(mine, &new_files), sheets(theirs, &old_files)) {
            papers.push(compared(mine, &mine_shown, theirs, &theirs_shown));
        }
    }
    Ok(Changes { since: old.edition, papers })
}

fn read(name: &str, bytes: &[u8]) -> Result<(Files, Promises), Diagnostic> {
    let mut verdict = Verdict::new(name);
    let files = archive::unpack(bytes, &mut verdict);
    let read = files.and_then(|files| promises::read(&files, &mut verdict).map(|promises| (files, promises)));
    let fault = || verdict.findings.into_iter().next();
    read.ok_or_else(|| fault().unwrap_or_else(|| error!("promises-missing", file = promises::FILE)))
}

fn sheets(paper: &Paper, files: &Files) -> Option<Vec<Shown>> {
    let reading = pdf::read(files.get(&paper.file)?, &[]).ok()?;
    Some(shown(paper, &reading.pages))
}

fn compared(mine: &Paper, mine_shown: &[Shown], theirs: &Paper, theirs_shown: &[Shown]) -> PaperChange {
    let same_grid = mine.origin_mm == theirs.origin_mm && mine.tile_mm == theirs.tile_mm;
    let label = |label: &str, paper: &Paper| paper.sheets.iter().position(|sheet| sheet.label == label);
    let (mut changed, mut farthest) = (Vec::new(), 0.0_f64);
    for (sheet, new) in mine.sheets.iter().zip(mine_shown) {
        let old = label(&sheet.label, theirs).and_then(|index| theirs_shown.get(index)).filter(|_| same_grid);
        let moved = old.map_or(f64::INFINITY, |old| apart(old, new));
        if moved > OFF {
            changed.push(sheet.label.clone());
        }
        farthest = if moved <= REACH { farthest.max(moved) } else { farthest };
    }
    let gone = theirs.sheets.iter().filter(|sheet| label(&sheet.label, mine).is_none()).map(|sheet| sheet.label.clone());
    PaperChange { paper: mine.paper.clone(), same_grid, changed, gone: gone.collect(), farthest: Length::mm(farthest) }
}

/// How far the lines of two sheets are apart at most, in mm; endless if one has a line that the other has not, or in another pen.
fn apart(old: &Shown, new: &Shown) -> f64 {
    let assembly = Assembly::of(std::slice::from_ref(old));
    let laid = assembly.lay(std::slice::from_ref(new));
    // A line twice in one place is one line.
    let more = |mark: &Mark| assembly.nearest(mark, |_| true).is_none_or(|(_, off)| off > OFF);
    if laid.extra.iter().any(|(_, mark)| more(mark)) || laid.seen.iter().any(Vec::is_empty) {
        return f64::INFINITY;
    }
    let off = |seen: &super::assembly::Seen| if seen.same_colour { seen.off.max(seen.pen_off) } else { f64::INFINITY };
    laid.seen.iter().flatten().map(off).fold(0.0, f64::max)
}
