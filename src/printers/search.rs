//! An exact search for the largest tile that enough printers print whole on one paper or on several.
//!
//! Every length is a whole count of 0.01 mm, as in the data. Only few lengths can be the best: a tile that no printer
//! touches could grow, so its width on some paper is the sheet less two declared margins, and so is its height. The
//! search goes through these widths from the widest down and keeps, for each, the sets of kinds of printers that a place
//! of the tile can serve; a set inside another one is never better and is dropped.

use std::collections::BTreeSet;

use super::served::Served;
use super::table::{Edges, Kind};

/// One axis of one paper, from the near edge (left, top) to the far one.
struct Line {
    length: i32,
    /// Declared margins at the near edge, smallest first, each with the kinds that need no more. A tile may start at any
    /// of them; from anywhere else it could move nearer and lose nobody.
    near: Vec<(i32, Served)>,
    /// The same at the far edge.
    far: Vec<(i32, Served)>,
}

/// The question: home printers by kind, and how many of them must be served.
pub(super) struct Search {
    across: Vec<Line>,
    down: Vec<Line>,
    weights: Vec<usize>,
    want: usize,
}

impl Search {
    /// Asks for a share above 0 and at most 1 of the home printers that know all the papers; none if there are none.
    pub fn new(kinds: &[Kind], papers: &[&str], sheets: &[[i32; 2]], share: f64) -> Option<Self> {
        let known: Vec<(Vec<Edges>, usize)> = kinds
            .iter()
            .filter_map(|kind| kind.on_all(papers.iter().copied()))
            .filter_map(|(edges, counts)| (counts.home > 0).then_some((edges, counts.home)))
            .collect();
        let weights: Vec<usize> = known.iter().map(|&(_, home)| home).collect();
        let want = wanted(weights.iter().sum(), share)?;
        let line = |paper: usize, length: i32, ends: fn(&Edges) -> [i32; 2]| {
            Line::new(length, known.iter().filter_map(|(edges, _)| edges.get(paper).map(ends)).collect())
        };
        let across = (0..).zip(sheets).map(|(i, sheet)| line(i, sheet[0], |e| [e.left, e.right])).collect();
        let down = (0..).zip(sheets).map(|(i, sheet)| line(i, sheet[1], |e| [e.top, e.bottom])).collect();
        Some(Self { across, down, weights, want })
    }

    /// Width and height of the largest tile, and its left top on each sheet; none if nothing is left between the margins.
    pub fn largest(&self) -> Option<([i32; 2], Vec<[i32; 2]>)> {
        let heights = self.extents(&self.down);
        let everyone = Served::of(self.weights.iter().map(|_| true));
        let (mut best, mut area) = (None, 0);
        for width in self.extents(&self.across).into_iter().rev() {
            let larger = heights.get(heights.partition_point(|&h| product(width, h) <= area)..).unwrap_or_default();
            if larger.is_empty() {
                break;
            }
            if let Some((height, served)) = self.highest(&self.serve(&[everyone], &self.across, width), larger) {
                area = product(width, height);
                best = Some(([width, height], served));
            }
        }
        best.map(|(size, served)| (size, self.places(size, served)))
    }

    /// The last of the heights, lowest first, that a place serves with one of the sets, and whom it then serves.
    fn highest(&self, sets: &[Served], heights: &[i32]) -> Option<(i32, Served)> {
        let served = |height: i32| self.heaviest(&self.serve(sets, &self.down, height));
        // Most widths are no better than the best so far, and one look at the lowest height shows it.
        served(*heights.first()?)?;
        // What serves a height serves every lower one, so the heights part in two.
        let fit = heights.partition_point(|&height| served(height).is_some());
        let height = *heights.get(fit.checked_sub(1)?)?;
        Some((height, served(height)?))
    }

    /// Every length, shortest first, that the best tile can have along these lines.
    fn extents(&self, lines: &[Line]) -> Vec<i32> {
        let mut extents = BTreeSet::new();
        for line in lines {
            let [near, far] = [&line.near, &line.far].map(|end| self.reachable(end));
            extents.extend(near.iter().flat_map(|n| far.iter().map(move |f| line.length - n - f)));
        }
        extents.into_iter().filter(|&extent| extent > 0).collect()
    }

    /// Declared margins that serve enough printers at that end, smallest first.
    fn reachable(&self, end: &[(i32, Served)]) -> Vec<i32> {
        end.iter().filter(|(_, served)| self.enough(*served)).map(|&(margin, _)| margin).collect()
    }

    /// The sets, cut down to what places of that length along each of the lines still serve; only those with enough printers.
    fn serve(&self, sets: &[Served], lines: &[Line], extent: i32) -> Vec<Served> {
        lines.iter().fold(sets.to_vec(), |sets, line| {
            let choices = self.largest_sets(line.choices(extent));
            self.largest_sets(sets.iter().flat_map(|&set| choices.iter().map(move |&choice| set & choice)))
        })
    }

    /// Sets with enough printers that lie in no other one.
    fn largest_sets(&self, sets: impl Iterator<Item = Served>) -> Vec<Served> {
        let mut kept: Vec<Served> = Vec::new();
        for set in sets {
            if self.enough(set) && !kept.iter().any(|&other| set.inside(other)) {
                kept.retain(|&other| !other.inside(set));
                kept.push(set);
            }
        }
        kept
    }

    fn enough(&self, set: Served) -> bool {
        set.weight(&self.weights) >= self.want
    }

    fn heaviest(&self, sets: &[Served]) -> Option<Served> {
        // Of equals the first, so that the answer does not hang on an accident of the library.
        sets.iter().rev().max_by_key(|set| set.weight(&self.weights)).copied()
    }

    fn places(&self, size: [i32; 2], served: Served) -> Vec<[i32; 2]> {
        let lines = self.across.iter().zip(&self.down);
        lines.map(|(across, down)| [across.middle(size[0], served), down.middle(size[1], served)]).collect()
    }
}

impl Line {
    /// A line from the near and far margins of each kind.
    fn new(length: i32, ends: Vec<[i32; 2]>) -> Self {
        let [near, far] = [|ends: &[i32; 2]| ends[0], |ends: &[i32; 2]| ends[1]].map(|end| {
            let margins: BTreeSet<i32> = ends.iter().map(end).collect();
            margins.into_iter().map(|margin| (margin, Served::of(ends.iter().map(|ends| end(ends) <= margin)))).collect()
        });
        Self { length, near, far }
    }

    /// What each place of a tile of that length serves.
    fn choices(&self, extent: i32) -> impl Iterator<Item = Served> {
        self.near.iter().filter_map(move |&(start, near)| {
            let rest = self.length - extent - start;
            let far = self.far.partition_point(|&(margin, _)| margin <= rest).checked_sub(1)?;
            self.far.get(far).map(|&(_, far)| near & far)
        })
    }

    /// Where a tile starts that lies as near the middle as those printers allow.
    fn middle(&self, extent: i32, served: Served) -> i32 {
        let need = |end: &[(i32, Served)]| end.iter().find(|(_, set)| served.inside(*set)).map_or(0, |&(margin, _)| margin);
        let rest = self.length - extent;
        (rest / 2).min(rest - need(&self.far)).max(need(&self.near))
    }
}

/// How many printers a share of them is; none if the share or the number of printers makes no sense.
fn wanted(printers: usize, share: f64) -> Option<usize> {
    let asked = printers > 0 && share > 0.0 && share <= 1.0;
    // A hair less, since 95 % of 1,540 is 1,463 and must not become 1,464 by a float.
    asked.then(|| ((share * printers as f64 - 1e-6).ceil() as usize).clamp(1, printers))
}

fn product(width: i32, height: i32) -> i64 {
    i64::from(width) * i64::from(height)
}
