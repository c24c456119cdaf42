//! The sheets of every paper, put together, against the drawing as the largest sheets of the package show it: the same
//! marks in the same places, none missing, none more.

use super::archive::Files;
use super::assembly::{Assembly, shown};
use super::mark::{Mark, Part};
use super::pdf;
use super::promises::{Paper, Press, Promises};
use kurbo::{Point, Rect};
use std::collections::BTreeSet;

/// How far a mark may be off, in mm: the error budget.
pub(super) const OFF: f64 = 0.01;

/// The drawing as one paper shows it, against which all others are laid.
pub(super) struct Reference<'a> {
    paper: &'a Paper,
    /// All that it shows.
    pub assembly: Assembly,
    /// For each mark where the paper shows it.
    windows: Vec<Vec<Rect>>,
}

impl<'a> Reference<'a> {
    /// The first wide paper with all sizes, or else the first paper; none if it cannot be read, which is told elsewhere.
    pub fn of(promises: &'a Promises, files: &Files) -> Option<Self> {
        let whole = |paper: &&Paper| paper.language.is_none() && paper.variant.is_none() && !paper.one_of_many_sizes;
        let mut papers = promises.papers.iter().filter(whole);
        let first = papers.clone().next();
        let paper = papers.find(|paper| paper.press == Press::Wide).or(first)?;
        let reading = pdf::read(files.get(&paper.file)?, &[]).ok()?;
        let sheets = shown(paper, &reading.pages);
        let assembly = Assembly::of(&sheets);
        let laid = assembly.lay(&sheets);
        let windows = laid.seen.iter().map(|seen| seen.iter().map(|seen| seen.window).collect()).collect();
        Some(Self { paper, assembly, windows })
    }

    /// Its file.
    pub fn file(&self) -> &str {
        &self.paper.file
    }

    /// The language of its words, if it is not the source language.
    pub fn language(&self) -> Option<&str> {
        self.paper.language.as_deref()
    }

    /// Each mark with the windows in which the reference shows it; none for those that a paper does without.
    pub fn wanted<'r>(&'r self, paper: &'r Paper) -> impl Iterator<Item = Option<(&'r Mark, &'r [Rect])>> {
        let marks = self.assembly.marks.iter().zip(&self.windows);
        marks.map(|(mark, windows)| self.wants(paper, mark).then_some((mark, windows.as_slice())))
    }

    /// For each mark how far those that were found in its place are from it, in mm; then those that belong to no place. Some
    /// files do not tell letters from lines.
    pub fn find(&self, marks: &[Mark]) -> (Vec<Vec<f64>>, Vec<Mark>) {
        let (mut seen, mut extra) = (vec![Vec::new(); self.assembly.marks.len()], Vec::new());
        for mark in marks {
            let free = |index: &usize| seen.get(*index).is_some_and(Vec::is_empty);
            let letter = Mark { part: Part::Words, ..mark.clone() };
            match self.assembly.nearest(mark, free).or_else(|| self.assembly.nearest(&letter, free)) {
                Some((index, off)) => seen.get_mut(index).into_iter().for_each(|list| list.push(off)),
                None => extra.push(mark.clone()),
            }
        }
        (seen, extra)
    }

    /// Where marks begin that a paper should show and that were not found.
    pub fn lost(&self, paper: &Paper, found: &[Vec<f64>]) -> Vec<Point> {
        let marks = self.assembly.marks.iter().zip(found);
        marks.filter(|(mark, found)| found.is_empty() && self.wants(paper, mark)).map(|(mark, _)| mark.start()).collect()
    }

    /// Whether a paper should show a mark: words of its own language, lines of its own sizes.
    fn wants(&self, paper: &Paper, mark: &Mark) -> bool {
        let own_words = mark.part != Part::Words || paper.language == self.paper.language;
        let shown: BTreeSet<&str> = paper.sizes.iter().map(|size| size.size.as_str()).collect();
        let layer = |size: &&super::promises::SizePages| size.layer.is_some() && size.layer.as_deref() == mark.layer.as_deref();
        let size = self.paper.sizes.iter().find(layer);
        own_words && size.is_none_or(|size| shown.contains(size.size.as_str()))
    }
}

/// A place of the drawing in words.
pub(super) fn placed(at: Point) -> String {
    say!("place-in-drawing", right = format_args!("{:.1}", at.x), down = format_args!("{:.1}", at.y))
}
