//! The committed table: kinds of printers, the margins that each declares on each paper, and how many there are.

use std::collections::BTreeMap;
use std::ops::AddAssign;

use super::served::KINDS;
use crate::units::{Length, Margins};

/// A count of descriptions in each of the three views of the data.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Every description.
    pub all: usize,
    /// Those whose margins are their own, not the stand-in of 6.35 mm sides and 12.70 mm ends that many drivers share.
    pub own: usize,
    /// Those from drivers for inkjets and small lasers, the printers that stand at home.
    pub home: usize,
}

impl Counts {
    /// Descriptions of one kind that count in a view for both papers.
    pub(super) fn on_both(self, other: Self) -> Self {
        Self { all: self.all.min(other.all), own: self.own.min(other.own), home: self.home.min(other.home) }
    }
}

impl AddAssign for Counts {
    fn add_assign(&mut self, other: Self) {
        self.all += other.all;
        self.own += other.own;
        self.home += other.home;
    }
}

/// Declared margins in 0.01 mm, whole as the data has them, so that a search over them is exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edges {
    pub left: i32,
    pub bottom: i32,
    pub right: i32,
    pub top: i32,
}

impl Edges {
    /// The margins that just let these pass, with 0.01 mm of slack: the error that paper may have anywhere in a kit.
    pub fn limits(margins: Margins) -> Self {
        let limit = |side: Length| {
            let hundredths = side.to_mm() * 100.0 + 1.0 + 1e-6;
            // `as` would make a zero of what is no number, and zero is a margin that some printers have.
            if hundredths.is_nan() { i32::MIN } else { hundredths.floor() as i32 }
        };
        let Margins { top, right, bottom, left } = margins;
        Self { left: limit(left), bottom: limit(bottom), right: limit(right), top: limit(top) }
    }

    /// Whether each of these margins is within its limit.
    pub fn within(self, limits: Self) -> bool {
        self.left <= limits.left && self.bottom <= limits.bottom && self.right <= limits.right && self.top <= limits.top
    }
}

/// What a kind of printer declares for one paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    /// The declared margins.
    pub edges: Edges,
    /// How many descriptions there are of the kind.
    pub counts: Counts,
}

/// Descriptions that declare the same margins on every paper that they know.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Kind {
    sheets: BTreeMap<String, Reach>,
}

impl Kind {
    /// Ids of the papers that the kind knows.
    pub fn papers(&self) -> impl Iterator<Item = &str> {
        self.sheets.keys().map(String::as_str)
    }

    /// What it declares for one paper, if it knows it.
    pub fn on(&self, paper: &str) -> Option<&Reach> {
        self.sheets.get(paper)
    }

    /// What it declares for each of several papers and how many descriptions that is; none if it does not know one of them.
    pub fn on_all<'a>(&self, papers: impl IntoIterator<Item = &'a str>) -> Option<(Vec<Edges>, Counts)> {
        let known: Vec<&Reach> = papers.into_iter().map(|paper| self.on(paper)).collect::<Option<_>>()?;
        let counts = known.iter().map(|reach| reach.counts).reduce(Counts::on_both)?;
        Some((known.iter().map(|reach| reach.edges).collect(), counts))
    }
}

/// Reads `kind,paper,left_mm,bottom_mm,right_mm,top_mm,all,own,home` rows below one line of headings.
pub(super) fn parse(table: &str) -> Option<Vec<Kind>> {
    let mut kinds = BTreeMap::<usize, Kind>::new();
    for line in table.lines().skip(1) {
        let (number, paper, reach) = row(line)?;
        kinds.entry(number).or_default().sheets.insert(paper.into(), reach);
    }
    (kinds.len() <= KINDS).then(|| kinds.into_values().collect())
}

fn row(line: &str) -> Option<(usize, &str, Reach)> {
    let fields: Vec<&str> = line.split(',').collect();
    let &[kind, paper, left, bottom, right, top, all, own, home] = fields.as_slice() else { return None };
    let edges =
        Edges { left: hundredths(left)?, bottom: hundredths(bottom)?, right: hundredths(right)?, top: hundredths(top)? };
    let counts = Counts { all: all.parse().ok()?, own: own.parse().ok()?, home: home.parse().ok()? };
    Some((kind.parse().ok()?, paper, Reach { edges, counts }))
}

/// `6.35` as 635; none if that is no length of zero to ten metres.
fn hundredths(mm: &str) -> Option<i32> {
    let value = mm.parse::<f64>().ok().filter(|mm| (0.0..=10_000.0).contains(mm))?;
    Some((value * 100.0).round() as i32)
}
