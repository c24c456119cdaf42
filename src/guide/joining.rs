//! How the sheets of each home paper become one: in which order they are joined, what is measured, how far it may be off.

use crate::catalogue::Messages;
use crate::manifest::{Joins, Kit};
use crate::plan::{Budget, Layout, LongCheck};
use crate::press::paper_title;
use crate::units::Length;
use serde::Serialize;
use std::ops::Range;

/// What the section on joining says beyond what is the same everywhere.
#[derive(Debug, Serialize)]
pub struct Joining {
    /// Whether sheets lie on top of each other's edges, or meet edge to edge.
    lapped: bool,
    /// One order if all papers are joined alike, else one for each way.
    orders: Vec<Alike<Vec<String>>>,
    /// Whether a row has a gap between sheets that are joined with each other.
    gaps: bool,
    checks: Vec<CheckView>,
    /// Whether some size leaves out a sheet with a cross.
    partial_checks: bool,
    /// One sentence if it holds for all papers, else one for each set of papers.
    misfits: Vec<Alike<String>>,
}

/// Something that is the same for some papers.
#[derive(Debug, PartialEq, Eq, Serialize)]
struct Alike<T> {
    /// The papers as a list.
    papers: String,
    what: T,
}

/// A length between two crosses on different sheets.
#[derive(Debug, Serialize)]
struct CheckView {
    paper: String,
    /// Label of the sheet with the left or upper cross.
    from: String,
    /// Label of the sheet with the right or lower cross.
    to: String,
    /// In millimetres and inches.
    length: String,
}

impl Joining {
    /// For home layouts, in the manifest's order.
    pub fn new(homes: &[&Layout], kit: &Kit, messages: &Messages) -> Self {
        let joined: Vec<_> = homes.iter().copied().filter(|layout| layout.sheets.len() > 1).collect();
        let budget = |layout: &Layout| misfit(layout.facts.budget, kit.join_error, messages);
        let checks = joined.iter().flat_map(|layout| layout.facts.long_checks.iter().map(move |check| (*layout, check)));
        Self {
            lapped: kit.joins == Joins::Lapped,
            orders: alike(joined.iter().map(|layout| (*layout, order(layout, messages))), messages),
            gaps: joined.iter().any(|layout| has_gaps(layout)),
            partial_checks: checks.clone().any(|(layout, check)| is_partial(layout, check)),
            checks: checks.filter_map(|(layout, check)| CheckView::new(layout, check, messages)).collect(),
            misfits: alike(joined.iter().filter_map(|layout| Some((*layout, budget(layout)?))), messages),
        }
    }
}

impl CheckView {
    fn new(layout: &Layout, check: &LongCheck, messages: &Messages) -> Option<Self> {
        let label = |sheet: usize| layout.sheets.get(sheet).map(|sheet| sheet.label.clone());
        Some(Self {
            paper: paper_title(&layout.setup.paper, messages),
            from: label(check.first)?,
            to: label(check.second)?,
            length: messages.length_mm_inches(check.length()),
        })
    }
}

/// Gathers the papers that have the same to say, so that it is said once.
fn alike<'a, T: PartialEq>(each: impl Iterator<Item = (&'a Layout, T)>, messages: &Messages) -> Vec<Alike<T>> {
    let mut groups: Vec<(Vec<String>, T)> = Vec::new();
    for (layout, what) in each {
        let title = paper_title(&layout.setup.paper, messages);
        match groups.iter_mut().find(|(_, known)| *known == what) {
            Some((papers, _)) => papers.push(title),
            None => groups.push((vec![title], what)),
        }
    }
    groups.into_iter().map(|(papers, what)| Alike { papers: messages.list(&papers), what }).collect()
}

/// The columns that are joined before the rest; all of them where the plan has no blocks.
fn blocks(layout: &Layout) -> Vec<Range<usize>> {
    let whole = 0..layout.columns;
    if layout.facts.blocks.is_empty() { vec![whole] } else { layout.facts.blocks.clone() }
}

/// The steps of joining, one sentence each.
fn order(layout: &Layout, messages: &Messages) -> Vec<String> {
    let blocks = blocks(layout);
    if blocks.len() > 1 {
        return in_blocks(layout, &blocks, messages);
    }
    let keys: &[&str] = match (layout.rows, layout.columns) {
        (1, _) => &["guide.join.one-row"],
        (_, 1) => &["guide.join.one-column"],
        _ => &["guide.join.rows", "guide.join.columns"],
    };
    keys.iter().map(|key| messages.text(key, &[])).collect()
}

fn in_blocks(layout: &Layout, blocks: &[Range<usize>], messages: &Messages) -> Vec<String> {
    let first_key = if layout.rows == 1 { "guide.join.block.one-row" } else { "guide.join.block" };
    let keys = std::iter::once(first_key).chain(std::iter::repeat("guide.join.block.next"));
    let step = |(key, block): (&str, &Range<usize>)| {
        let (first, last) = ((block.start + 1).to_string(), block.end.to_string());
        messages.text(key, &[("first", &first), ("last", &last)])
    };
    let mut steps: Vec<String> = keys.zip(blocks).map(step).collect();
    steps.push(messages.count("guide.join.blocks", blocks.len(), &[]));
    steps
}

/// Whether, in what is printed for some size, sheets of one row and block do not all touch.
fn has_gaps(layout: &Layout) -> bool {
    let all: Vec<usize> = (0..layout.sheets.len()).collect();
    let printed = layout.sizes.iter().map(|size| &size.sheets).chain([&all]);
    let blocks = blocks(layout);
    printed.into_iter().any(|sheets| {
        let used: Vec<_> = sheets.iter().filter_map(|&sheet| layout.sheets.get(sheet)).collect();
        // Sheets go row by row, so neighbours in the list are neighbours in the row unless something lies between.
        let pairs = used.iter().zip(used.iter().skip(1)).filter(|(one, next)| one.row == next.row);
        pairs.into_iter().any(|(one, next)| {
            next.column > one.column + 1
                && blocks.iter().any(|block| block.contains(&one.column) && block.contains(&next.column))
        })
    })
}

/// Whether a size leaves out one of the two sheets.
fn is_partial(layout: &Layout, check: &LongCheck) -> bool {
    layout.sizes.iter().any(|size| [check.first, check.second].iter().any(|sheet| !size.sheets.contains(sheet)))
}

/// What the joins may add up to, in halves of a millimetre, since no tape shows less; nothing where nothing is joined.
fn misfit(budget: Budget, join_error: Length, messages: &Messages) -> Option<String> {
    let halves = |length: f64| messages.length(Length::mm(length.max(1.0) / 2.0));
    let expected = halves((budget.expected.to_mm() * 2.0).round());
    // A hair off, so that three tenths ten times over do not count as more than three.
    let worst = halves((budget.worst.to_mm() * 2.0 - 1e-6).ceil());
    let values = [("join", messages.length(join_error)), ("expected", expected), ("worst", worst)];
    let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
    (budget.joins > 0).then(|| messages.text("guide.join.misfit", &values))
}
