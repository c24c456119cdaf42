//! One paper in two editions: which sheets are to be printed anew, and why.

use super::super::assembly::{Assembly, Shown, shown};
use super::super::mark::Mark;
use super::super::pdf::{self, Page};
use super::super::promises::{Paper, Sheet, rect};
use super::ink::Unlike;
use super::texts::Texts;
use super::{Listed, Opened};
use crate::units::Length;
use kurbo::{BezPath, Point, Rect};

/// What an edition changes on one paper, in one of its files.
#[derive(Clone, Debug)]
pub struct PaperChange {
    /// Id of the paper.
    pub paper: String,
    /// Its name for people.
    pub title: String,
    /// The file of the newer package.
    pub file: String,
    /// Whether it is the paper's own home file with all sizes, in the source language.
    pub main: bool,
    /// Whether the sheets cover the same parts of the drawing as before; if not, none of the earlier ones fits.
    pub same_grid: bool,
    /// All sheets of the newer package.
    pub sheets: Vec<SheetChange>,
    /// Sheets of the earlier edition that there are no more, by their labels.
    pub gone: Vec<String>,
    /// Lines that are in both, for pictures.
    pub lines: Lines,
}

/// Lines of the drawing, in its mm.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    /// In both editions alike.
    pub both: Vec<BezPath>,
    /// In the earlier one alone.
    pub old: Vec<BezPath>,
    /// In the newer one alone.
    pub new: Vec<BezPath>,
}

/// How a sheet differs from what was there before.
#[derive(Clone, Debug)]
pub struct SheetChange {
    /// Its label.
    pub label: String,
    /// Its page, from 1.
    pub page: usize,
    /// Whether the earlier edition had no such sheet.
    pub new: bool,
    /// Length of lines that are new.
    pub added: Length,
    /// Length of lines that are gone.
    pub removed: Length,
    /// How far the farthest line is from where it was.
    pub farthest: Length,
    /// Lines drawn with another pen.
    pub restyled: usize,
    /// Sizes of which any of these are; none if they are for all.
    pub sizes: Vec<String>,
    /// Words that are new, the edition aside.
    pub words_added: Vec<String>,
    /// Words that are gone.
    pub words_removed: Vec<String>,
    /// The part of the drawing that it shows, in mm.
    pub area: Rect,
    /// Where the first difference is, in the drawing's mm.
    pub at: Option<Point>,
}

impl SheetChange {
    /// Whether its lines differ.
    pub fn by_ink(&self) -> bool {
        self.at.is_some()
    }

    /// Whether its words do.
    pub fn by_words(&self) -> bool {
        !self.words_added.is_empty() || !self.words_removed.is_empty()
    }
}

impl PaperChange {
    /// Labels of the sheets that are to be printed anew: their lines differ, or they lie elsewhere, or they are new.
    pub fn changed(&self) -> Vec<String> {
        let anew = |sheet: &&SheetChange| !self.same_grid || sheet.new || sheet.by_ink();
        self.sheets.iter().filter(anew).map(|sheet| sheet.label.clone()).collect()
    }

    /// Labels of the others, on which only words differ.
    pub fn reworded(&self) -> Vec<String> {
        let changed = self.changed();
        let only = self.sheets.iter().filter(|sheet| sheet.by_words() && !changed.contains(&sheet.label));
        only.map(|sheet| sheet.label.clone()).collect()
    }
}

/// All papers that both packages have.
pub(super) fn papers(old: &Opened, new: &Opened) -> Listed<PaperChange> {
    let name = |paper: &Paper| paper.paper.clone();
    let (before, now): (Vec<String>, Vec<String>) =
        (old.promises.papers.iter().map(name).collect(), new.promises.papers.iter().map(name).collect());
    let mut names = Listed::<PaperChange>::names(before.iter(), now.iter());
    names.come.dedup();
    names.gone.dedup();
    // A file of corrections tells of another edition than the one that is looked at.
    let both = new.promises.papers.iter().filter(|mine| !mine.is_partial()).filter_map(|mine| {
        let theirs = old.promises.papers.iter().find(|theirs| is_same(theirs, mine))?;
        compared((theirs, old), (mine, new))
    });
    Listed { both: both.collect(), ..names }
}

/// Files that the earlier package has nothing for.
pub(super) fn new_files(old: &Opened, new: &Opened) -> Vec<String> {
    let known = |mine: &&Paper| !mine.is_partial() && !old.promises.papers.iter().any(|theirs| is_same(theirs, mine));
    new.promises.papers.iter().filter(known).map(|paper| paper.file.clone()).collect()
}

/// Whether two files hold the same things for the same paper.
fn is_same(theirs: &Paper, mine: &Paper) -> bool {
    let sizes = |paper: &Paper| paper.sizes.iter().map(|size| size.size.clone()).collect::<Vec<_>>();
    theirs.paper == mine.paper
        && theirs.variant == mine.variant
        && theirs.language == mine.language
        && theirs.one_of_many_sizes == mine.one_of_many_sizes
        && (!mine.one_of_many_sizes || sizes(theirs) == sizes(mine))
}

fn pages(paper: &Paper, opened: &Opened) -> Option<Vec<Page>> {
    Some(pdf::read(opened.files.get(&paper.file)?, &[]).ok()?.pages)
}

fn compared((theirs, old): (&Paper, &Opened), (mine, new): (&Paper, &Opened)) -> Option<PaperChange> {
    let (before, now) = (pages(theirs, old)?, pages(mine, new)?);
    let (old_shown, new_shown): (Vec<Shown>, Vec<Shown>) = (shown(theirs, &before), shown(mine, &now));
    let (was, is) = (Assembly::of(&old_shown), Assembly::of(&new_shown));
    let mut unlike = Unlike::of(&was, &is);
    let same_grid = theirs.origin_mm == mine.origin_mm && theirs.tile_mm == mine.tile_mm;
    let find = |label: &str| theirs.sheets.iter().find(|sheet| sheet.label == label);
    let sheets = mine.sheets.iter().map(|sheet| {
        let earlier = find(&sheet.label);
        let mut change = ink(sheet, earlier.is_none(), mine, &mut unlike);
        if let Some(earlier) = earlier {
            let before = Texts::of(&old.promises.edition, words(earlier, &before));
            let now = Texts::of(&new.promises.edition, words(sheet, &now));
            (change.words_added, change.words_removed) = (now.more_than(&before), before.more_than(&now));
        }
        change
    });
    let sheets = sheets.collect();
    let labels: Vec<&String> = mine.sheets.iter().map(|sheet| &sheet.label).collect();
    let gone = theirs.sheets.iter().filter(|sheet| !labels.contains(&&sheet.label)).map(|sheet| sheet.label.clone());
    Some(PaperChange {
        paper: mine.paper.clone(),
        title: mine.title().to_owned(),
        file: mine.file.clone(),
        main: mine.is_main(),
        same_grid,
        sheets,
        gone: gone.collect(),
        lines: lines(&unlike),
    })
}

fn ink(sheet: &Sheet, new: bool, paper: &Paper, unlike: &mut Unlike<'_>) -> SheetChange {
    let area = rect(sheet.area_mm);
    let ink = unlike.within(area);
    let of_size = |layer: &String| paper.sizes.iter().find(|size| size.layer.as_ref() == Some(layer));
    let sizes = ink.layers.iter().map(|layer| of_size(layer).map(|size| size.size.clone())).collect::<Option<Vec<_>>>();
    // Lines of a layer that is for all sizes concern all of them.
    let mut sizes = sizes.unwrap_or_default();
    sizes.sort_by_key(|name| paper.sizes.iter().position(|size| size.size == *name));
    SheetChange {
        label: sheet.label.clone(),
        page: sheet.page,
        new,
        added: Length::mm(ink.added),
        removed: Length::mm(ink.removed),
        farthest: Length::mm(ink.farthest),
        restyled: ink.restyled,
        sizes,
        words_added: Vec::new(),
        words_removed: Vec::new(),
        area,
        at: ink.is_some().then_some(ink.at).flatten(),
    }
}

/// What is printed on a sheet, run by run.
fn words(sheet: &Sheet, pages: &[Page]) -> impl Iterator<Item = String> {
    let page = sheet.page.checked_sub(1).and_then(|index| pages.get(index));
    page.into_iter().flat_map(|page| page.words.runs()).map(|(_, run)| run.trim().to_owned())
}

fn lines(unlike: &Unlike<'_>) -> Lines {
    let path = |mark: &Mark| mark.path.clone();
    let of = |marks: &[Mark], which: &[usize]| which.iter().filter_map(|index| marks.get(*index)).map(path).collect();
    let both = unlike.new.marks.iter().enumerate().filter(|(index, _)| !unlike.come.contains(index));
    let both = both.map(|(_, mark)| path(mark)).collect();
    Lines { both, old: of(&unlike.old.marks, &unlike.gone), new: of(&unlike.new.marks, &unlike.come) }
}
