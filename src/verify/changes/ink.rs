//! How far the ink of one edition lies from that of another, within a part of the drawing.

use super::super::assembly::Assembly;
use super::super::cover::within;
use super::super::mark::Mark;
use super::super::sheets::OFF;
use kurbo::{Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape};
use std::collections::BTreeSet;

/// How closely curves are walked, in mm: a tenth of the error budget.
const FINE: f64 = 0.001;
/// How far apart the places are at which a line is looked at, in mm.
const STEP: f64 = 2.0;
/// How far away a line may be and still be the same one, moved, in mm.
pub(super) const FARTHEST: f64 = 20.0;
/// Distances that may be measured between two packages; with more, the rest counts as another drawing.
const MOST_MEASURED: usize = 20_000_000;

/// The marks of two assemblies that are not alike.
pub(super) struct Unlike<'a> {
    pub old: &'a Assembly,
    pub new: &'a Assembly,
    /// Indices of the old ones that have no equal.
    pub gone: Vec<usize>,
    /// Indices of the new ones that have none.
    pub come: Vec<usize>,
    /// Indices of new ones that run as before, drawn with another pen.
    pub restyled: Vec<usize>,
    left: usize,
}

/// How the ink within a part of the drawing differs; lengths in mm.
#[derive(Debug, Default)]
pub(super) struct Difference {
    /// Length of new lines where none of their layer was.
    pub added: f64,
    /// Length of old lines where none of their layer is.
    pub removed: f64,
    /// How far the farthest of these is from its nearest neighbour in the other edition, of those that have one nearby.
    pub farthest: f64,
    /// Lines drawn with another pen.
    pub restyled: usize,
    /// Layers with any of these.
    pub layers: BTreeSet<String>,
    /// Where the first of them is.
    pub at: Option<Point>,
}

impl Difference {
    /// Whether anything differs by more than the error budget.
    pub fn is_some(&self) -> bool {
        self.added > 0.0 || self.removed > 0.0 || self.farthest > OFF || self.restyled > 0
    }
}

impl<'a> Unlike<'a> {
    /// What is left when all equal marks are taken away.
    pub fn of(old: &'a Assembly, new: &'a Assembly) -> Self {
        let mut met = vec![false; old.marks.len()];
        let (mut come, mut restyled) = (Vec::new(), Vec::new());
        for (index, mark) in new.marks.iter().enumerate() {
            let alike = |other: &Mark| other.layer == mark.layer;
            let free = |index: &usize| old.marks.get(*index).is_some_and(alike) && met.get(*index) == Some(&false);
            match old.nearest(mark, free).filter(|(_, off)| *off <= OFF) {
                None => come.push(index),
                Some((partner, _)) => {
                    met.get_mut(partner).into_iter().for_each(|met| *met = true);
                    let pen = old.marks.get(partner).map(|other| &other.pen);
                    restyled.extend(
                        pen.is_some_and(|pen| mark.pen.off(pen) > OFF || mark.pen.colour != pen.colour).then_some(index),
                    );
                }
            }
        }
        let gone = (0..).zip(met).filter(|(_, met)| !met).map(|(index, _)| index).collect();
        Self { old, new, gone, come, restyled, left: MOST_MEASURED }
    }

    /// The difference within a part of the drawing.
    pub fn within(&mut self, area: Rect) -> Difference {
        let mut difference = Difference::default();
        let (old, new) = (self.old, self.new);
        for &index in &self.restyled {
            if let Some(mark) = new.marks.get(index).filter(|mark| is_in(mark, area)) {
                difference.restyled += 1;
                difference.touch(mark, mark.start());
            }
        }
        let (come, gone) = (self.come.clone(), self.gone.clone());
        let added = self.apart(&come, new, old, area, &mut difference);
        let removed = self.apart(&gone, old, new, area, &mut difference);
        (difference.added, difference.removed) = (added, removed);
        difference
    }

    /// Length of some marks within an area that are not where any of the other edition are.
    fn apart(&mut self, which: &[usize], from: &Assembly, to: &Assembly, area: Rect, difference: &mut Difference) -> f64 {
        let mut length = 0.0;
        for mark in which.iter().filter_map(|index| from.marks.get(*index)).filter(|mark| is_in(mark, area)) {
            let others = segments_near(mark, to);
            for (place, share) in places(mark, area) {
                let off = self.distance(place, &others);
                if off > OFF {
                    length += share;
                    difference.farthest = if off <= FARTHEST { difference.farthest.max(off) } else { difference.farthest };
                    difference.touch(mark, place);
                }
            }
        }
        length
    }

    /// To the nearest of some segments; endless beyond [`FARTHEST`].
    fn distance(&mut self, place: Point, segments: &[(Rect, PathSeg)]) -> f64 {
        let mut best = FARTHEST;
        for (reach, segment) in segments {
            if !reach.inflate(best, best).contains(place) || self.left == 0 {
                continue;
            }
            self.left -= 1;
            best = best.min(segment.nearest(place, FINE * FINE).distance_sq.sqrt());
        }
        if best < FARTHEST { best } else { f64::INFINITY }
    }
}

impl Difference {
    fn touch(&mut self, mark: &Mark, at: Point) {
        self.layers.extend(mark.layer.as_deref().map(str::to_owned));
        self.at.get_or_insert(at);
    }
}

fn is_in(mark: &Mark, area: Rect) -> bool {
    mark.reach().overlaps(area)
}

/// Segments of the other edition's marks of the same kind and layer, with their boxes.
fn segments_near(mark: &Mark, to: &Assembly) -> Vec<(Rect, PathSeg)> {
    let reach = mark.reach().inflate(FARTHEST, FARTHEST);
    let alike = |other: &&Mark| other.part == mark.part && other.layer == mark.layer && other.reach().overlaps(reach);
    let segments = to.marks.iter().filter(alike).flat_map(|other| other.path.segments().collect::<Vec<_>>());
    segments.map(|segment| (segment.bounding_box(), segment)).collect()
}

/// Places along the part of a mark that an area shows, each with the length that it stands for; ends stand for none.
fn places(mark: &Mark, area: Rect) -> Vec<(Point, f64)> {
    let area = area.inflate(mark.pen.half(), mark.pen.half());
    let mut places = Vec::new();
    for line in lines(mark) {
        let Some((from, to)) = within(line, area) else { continue };
        let length = line.p0.distance(line.p1) * (to - from);
        let count = (length / STEP).ceil().max(1.0) as u32;
        let middle = |n: u32| line.eval(from + (to - from) * (f64::from(n) + 0.5) / f64::from(count));
        places.extend([(line.eval(from), 0.0), (line.eval(to), 0.0)]);
        places.extend((0..count).map(|n| (middle(n), length / f64::from(count))));
    }
    places
}

/// The path in straight lines.
fn lines(mark: &Mark) -> Vec<Line> {
    let mut lines = Vec::new();
    let (mut start, mut at) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(&mark.path, FINE, |element| {
        let to = match element {
            PathEl::MoveTo(to) => {
                (start, at) = (to, to);
                return;
            }
            PathEl::LineTo(to) => to,
            _ => start,
        };
        lines.push(Line::new(at, to));
        at = to;
    });
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::verify::mark::{Part, Pen};
    use kurbo::BezPath;

    const AREA: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);

    fn mark(path: &str, layer: &str) -> Mark {
        let pen = Pen { width: Some(0.0), dashes: Vec::new(), colour: [0; 4] };
        Mark { part: Part::Drawing, layer: Some(layer.into()), path: BezPath::from_svg(path).unwrap(), pen, clip: AREA }
    }

    fn assembly(marks: &[Mark]) -> Assembly {
        Assembly::of(&[marks.iter().map(|mark| (mark.clone(), AREA)).collect()])
    }

    /// Lengths that came and went, and how far, in thousandths of a millimetre.
    fn between(old: &[Mark], new: &[Mark], area: Rect) -> (i64, i64, i64) {
        let (old, new) = (assembly(old), assembly(new));
        let difference = Unlike::of(&old, &new).within(area);
        let thousandths = |mm: f64| (mm * 1000.0).round() as i64;
        (thousandths(difference.added), thousandths(difference.removed), thousandths(difference.farthest))
    }

    #[test]
    fn what_moved_came_and_went_is_measured_where_the_sheet_shows_it() {
        let line = |path: &str| vec![mark(path, "one")];
        let level = || line("M10 10H50");
        assert_eq!(between(&level(), &level(), AREA), (0, 0, 0));
        // Half a millimetre is another line for a ruler, and the budget is none.
        assert_eq!(between(&level(), &line("M10 10.5H50"), AREA), (40_000, 40_000, 500));
        assert_eq!(between(&level(), &line("M10 10.009H50"), AREA), (0, 0, 0));
        assert_eq!(between(&level(), &line("M10 19.5H50"), AREA), (40_000, 40_000, 9_500));
        // Beyond 20 mm it is not the same line any more.
        assert_eq!(between(&level(), &line("M10 30.5H50"), AREA), (40_000, 40_000, 0));
        assert_eq!(between(&level(), &[], AREA), (0, 40_000, 0));
        assert_eq!(between(&[], &level(), AREA), (40_000, 0, 0));
        // Of 40 mm the sheet shows 15.
        assert_eq!(between(&[], &level(), Rect::new(35.0, 0.0, 100.0, 100.0)), (15_000, 0, 0));
        assert_eq!(between(&[], &level(), Rect::new(60.0, 0.0, 100.0, 100.0)), (0, 0, 0));
        // A closed line is measured to its start.
        assert_eq!(between(&[], &line("M10 10H50V40H10Z"), AREA), (140_000, 0, 0));
        // The same course with more points on it is the same line.
        assert_eq!(between(&level(), &line("M10 10H30H50"), AREA), (0, 0, 0));
        // Two places in the same distance that a line runs past both of.
        assert_eq!(between(&line("M10 10H50M10 12H50"), &line("M10 10H50M10 12H50M10 11H50"), AREA), (40_000, 0, 1_000));
    }

    #[test]
    fn lines_of_another_layer_or_pen_are_others() {
        let (one, two) = (mark("M10 10H50", "one"), mark("M10 10H50", "two"));
        let (old, new) = (assembly(std::slice::from_ref(&one)), assembly(&[two]));
        let difference = Unlike::of(&old, &new).within(AREA);
        assert_eq!((difference.added.round(), difference.removed.round(), difference.farthest), (40.0, 40.0, 0.0));
        assert_eq!(difference.layers, BTreeSet::from(["one".to_owned(), "two".to_owned()]));
        let pens = [
            (Pen { width: Some(0.009), ..one.pen.clone() }, 0),
            (Pen { width: Some(0.02), ..one.pen.clone() }, 1),
            (Pen { colour: [1, 0, 0, 0], ..one.pen.clone() }, 1),
        ];
        for (pen, restyled) in pens {
            let (old, new) = (assembly(std::slice::from_ref(&one)), assembly(&[Mark { pen, ..one.clone() }]));
            let difference = Unlike::of(&old, &new).within(AREA);
            assert_eq!((difference.restyled, difference.is_some(), difference.added), (restyled, restyled > 0, 0.0));
            assert_eq!(difference.at, (restyled > 0).then_some(Point::new(10.0, 10.0)));
            assert_eq!(Unlike::of(&old, &new).within(Rect::new(60.0, 0.0, 100.0, 100.0)).restyled, 0);
        }
    }
}
