//! Ink coverage: how much of a sheet's paper the drawing's ink covers, by level scan lines.
//!
//! Along a line lengths are exact, overlaps counted once; between lines 0.05 mm apart ink is taken to go on. A level line of 0.35 mm
//! may so be off by a seventh, anything that leans or curves by far less; a sheet's figure is good to a tenth of itself. In drawings
//! with far more lines than usual, some 100 m of them, scan lines lie farther apart. Marks are not counted, and pale ink counts like
//! black.

use super::ink::{Ink, Outline};
use crate::units::Rect;
use rayon::prelude::*;

/// Distance of scan lines, in mm.
const STEP_MM: f64 = 0.05;
/// In how many parts the ink is looked at.
const PARTS: usize = 4;
/// Crossings of scan lines and edges that are held at once; with more ink than that the lines lie farther apart.
const MOST_CROSSINGS: f64 = 4e6;

/// Inked stretches of every scan line.
#[derive(Debug)]
pub(super) struct Coverage {
    /// Distance of the lines, in mm.
    step: f64,
    /// Number of the first line; line `n` lies at `(n + 0.5)` steps.
    first: i64,
    /// Stretches of each line, from left to right, none over another.
    rows: Vec<Vec<Stretch>>,
}

/// An inked stretch of a scan line, in mm.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    from: f32,
    to: f32,
    /// How much of the line is inked before it.
    before: f32,
}

impl Coverage {
    /// The coverage of all ink.
    pub(super) fn of(ink: &Ink, bounds: Rect) -> Self {
        let area = bounds.to_kurbo_mm();
        let step = step(ink);
        let (first, last) = (row_after(area.y0, step), row_after(area.y1, step));
        let count = usize::try_from(last - first).unwrap_or(0);
        let part = |pieces: &[Vec<Outline>]| {
            let mut rows: Vec<Vec<Stretch>> = vec![Vec::new(); count];
            let mut crossings = Crossings::default();
            for outline in pieces.iter().flatten() {
                crossings.gather(outline, step);
                for (row, from, to) in crossings.spans(outline) {
                    let row = usize::try_from(row - first).ok().and_then(|row| rows.get_mut(row));
                    row.into_iter().for_each(|row| row.push(Stretch { from: from as f32, to: to as f32, before: 0.0 }));
                }
            }
            rows
        };
        let both = |mut one: Vec<Vec<_>>, other: Vec<Vec<_>>| {
            one.iter_mut().zip(other).for_each(|(row, more)| row.extend(more));
            one
        };
        let parts = ink.pieces.par_chunks(ink.pieces.len().div_ceil(PARTS).max(1)).map(part);
        let mut rows = parts.reduce(|| vec![Vec::new(); count], both);
        // An outline's own stretches are few; those of all outlines together are joined once at the end.
        rows.par_iter_mut().for_each(join);
        Self { step, first, rows }
    }

    /// How much ink lies in a rectangle of the drawing, in mm².
    pub(super) fn ink_in(&self, area: Rect) -> f64 {
        let area = area.to_kurbo_mm();
        let index = |y: f64| usize::try_from(row_after(y, self.step) - self.first).unwrap_or(0).min(self.rows.len());
        let (left, right) = (area.x0 as f32, area.x1 as f32);
        let rows = self.rows.get(index(area.y0)..index(area.y1)).unwrap_or_default();
        // Stretches rise: what lies within is known from the first and the last that reach into the rectangle.
        let within = |row: &Vec<Stretch>| {
            let (from, past) = (row.partition_point(|it| it.to <= left), row.partition_point(|it| it.from < right));
            let (first, last) = (row.get(from)?, row.get(from..past)?.last()?);
            Some(last.before - first.before + last.to.min(right) - last.from - (left - first.from).max(0.0))
        };
        rows.iter().filter_map(within).map(f64::from).sum::<f64>() * self.step
    }
}

/// The number of the first scan line below a level.
fn row_after(y: f64, step: f64) -> i64 {
    (y / step - 0.5).ceil() as i64
}

/// The distance of scan lines at which no outline has more crossings than can be held.
fn step(ink: &Ink) -> f64 {
    let tall = |outline: &Outline| -> f64 { outline.edges().map(|(a, b)| (b.y - a.y).abs()).sum() };
    ink.outlines().map(tall).sum::<f64>().max(STEP_MM * MOST_CROSSINGS) / MOST_CROSSINGS
}

/// Where scan lines cross the edges of one outline; its room is used again for the next.
#[derive(Default)]
struct Crossings {
    /// The first line.
    first: i64,
    /// Line from the first one, place along it, 1 downwards and -1 upwards; in the order of the edges.
    found: Vec<(u32, f64, i8)>,
    /// Where the crossings of each line end in `sorted`.
    ends: Vec<usize>,
    /// Places and turns, line by line, from left to right.
    sorted: Vec<(f64, i8)>,
}

impl Crossings {
    /// Takes the crossings of an outline in place of what was there.
    fn gather(&mut self, outline: &Outline, step: f64) {
        let last = row_after(outline.bounds.y1, step);
        self.first = row_after(outline.bounds.y0, step);
        self.found.clear();
        for (a, b) in outline.edges() {
            let slope = (b.x - a.x) / (b.y - a.y);
            for row in row_after(a.y.min(b.y), step).max(self.first)..row_after(a.y.max(b.y), step).min(last) {
                let x = a.x + slope * ((row as f64 + 0.5) * step - a.y);
                let line = u32::try_from(row - self.first).unwrap_or(u32::MAX);
                self.found.push((line, x, if a.y < b.y { 1 } else { -1 }));
            }
        }
        self.sort(usize::try_from(last - self.first).unwrap_or(0));
    }

    /// Sorts them by lines, of which there are so many, then along each: by counting, since that takes two passes and no more.
    fn sort(&mut self, lines: usize) {
        self.ends.clear();
        self.ends.resize(lines + 1, 0);
        let add =
            |ends: &mut Vec<usize>, line: usize, count: usize| ends.get_mut(line).into_iter().for_each(|end| *end += count);
        self.found.iter().for_each(|(line, ..)| add(&mut self.ends, *line as usize + 1, 1));
        let mut sum = 0;
        for end in &mut self.ends {
            sum += *end;
            *end = sum;
        }
        self.sorted.clear();
        self.sorted.resize(self.found.len(), (0.0, 0));
        for &(line, x, turn) in &self.found {
            let Some(end) = self.ends.get_mut(line as usize) else { continue };
            self.sorted.get_mut(*end).into_iter().for_each(|place| *place = (x, turn));
            *end += 1;
        }
        let mut from = 0;
        for &end in &self.ends {
            let line = self.sorted.get_mut(from..end).unwrap_or_default();
            line.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
            from = end;
        }
    }

    /// Inked stretches that lie inside the outline, within its clips: line, from, to.
    fn spans(&self, outline: &Outline) -> impl Iterator<Item = (i64, f64, f64)> {
        let starts = [0].into_iter().chain(self.ends.iter().copied());
        let lines = starts.zip(&self.ends).zip(self.first..);
        lines.flat_map(move |((from, &end), line)| {
            let crossings = self.sorted.get(from..end).unwrap_or_default();
            inner(crossings, outline).map(move |(from, to)| (line, from, to))
        })
    }
}

/// Stretches of one line that lie inside an outline, within its clips.
fn inner(crossings: &[(f64, i8)], outline: &Outline) -> impl Iterator<Item = (f64, f64)> {
    let mut winding = 0;
    let inside = crossings.windows(2).filter_map(move |pair| {
        let [(from, turn), (to, _)] = pair else { return None };
        winding += i32::from(*turn);
        let inked = if outline.even_odd { winding % 2 != 0 } else { winding != 0 };
        inked.then_some((from.max(outline.limit.x0), to.min(outline.limit.x1)))
    });
    inside.filter(|(from, to)| to > from)
}

/// Joins stretches that overlap or touch, and adds up their lengths.
fn join(row: &mut Vec<Stretch>) {
    row.sort_unstable_by(|a, b| a.from.total_cmp(&b.from));
    row.dedup_by(|next, last| {
        let joins = next.from <= last.to;
        last.to = if joins { last.to.max(next.to) } else { last.to };
        joins
    });
    let mut sum = 0.0;
    for stretch in row {
        stretch.before = sum;
        sum += stretch.to - stretch.from;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::tests::sample::{Drawn, Sample, home};
    use crate::plan::tests::shapes::Mark;
    use kurbo::Vec2;

    /// Ink in the square of 100 mm at the top left, where these marks lie.
    fn ink(marks: Vec<Mark>) -> f64 {
        let drawn = marks.into_iter().map(|mark| Drawn { mark, clip: Some(kurbo::Rect::new(0.0, 0.0, 90.0, 90.0)), layer: 0 });
        let sample = Sample { drawn: drawn.collect(), sizes: 0, setup: home(210.0, 297.0, [5.0; 4], 3.0) };
        let ink = Ink::of(&sample.drawing(Vec2::ZERO));
        let coverage = Coverage::of(&ink, ink.bounds().unwrap());
        coverage.ink_in(Rect::from_kurbo_mm(kurbo::Rect::new(0.0, 0.0, 100.0, 100.0)))
    }

    fn block(x: f64, y: f64, width: f64, height: f64) -> Mark {
        Mark::Block(vec![(x, y).into(), (x + width, y).into(), (x + width, y + height).into(), (x, y + height).into()])
    }

    #[test]
    fn areas_are_those_of_school_books() {
        let bar = |from: (f64, f64), to: (f64, f64), width| Mark::Bar(from.into(), to.into(), width, None);
        let cases = [
            ("a block", vec![block(10.0, 10.0, 20.0, 30.0)], 600.0),
            ("two blocks over each other", vec![block(10.0, 10.0, 20.0, 30.0), block(20.0, 10.0, 20.0, 30.0)], 900.0),
            ("a block cut by its clip", vec![block(80.0, 10.0, 20.0, 30.0)], 300.0),
            ("an upright line", vec![bar((20.0, 10.0), (20.0, 60.0), 0.35)], 17.5),
            ("a leaning line", vec![bar((20.0, 20.0), (50.0, 60.0), 0.35)], 17.5),
        ];
        for (what, marks, area) in cases {
            let found = ink(marks);
            assert!((found - area).abs() <= area * 0.005, "{what}: {found} mm², not {area}");
        }
        let level = ink(vec![bar((10.0, 20.013), (60.0, 20.013), 0.35)]);
        assert!((level - 17.5).abs() <= 17.5 / 7.0 + 1e-3, "a level line is off by up to a seventh: {level}");
    }

    /// Ink of a path, in parts of the drawing.
    fn painted(path: &str, even_odd: bool, areas: &[kurbo::Rect]) -> Vec<f64> {
        let sample = Sample { drawn: Vec::new(), sizes: 0, setup: home(210.0, 297.0, [5.0; 4], 3.0) };
        let mut drawing = sample.drawing(Vec2::ZERO);
        let (path, bounds) = (kurbo::BezPath::from_svg(path).unwrap(), kurbo::Rect::new(0.0, 0.0, 90.0, 90.0));
        let fill = crate::drawing::Fill { colour: crate::manifest::Colour::BLACK, opacity: 1.0, even_odd };
        let shape = crate::drawing::PathShape { path, fill: Some(fill), stroke: None, stroke_first: false };
        let shape = crate::drawing::Shape::Path(shape);
        let origin = crate::diagnostic::Place::file("tote.svg");
        let items = vec![crate::drawing::Item { shape, clips: Vec::new(), bounds, origin, letter: None }];
        drawing.pieces.push(crate::drawing::Piece { layer: 0, name: None, bounds, items });
        let ink = Ink::of(&drawing);
        let coverage = Coverage::of(&ink, ink.bounds().unwrap());
        areas.iter().map(|area| coverage.ink_in(Rect::from_kurbo_mm(*area))).collect()
    }

    #[test]
    fn holes_and_overlaps_count_as_their_rule_says() {
        let all = [kurbo::Rect::new(0.0, 0.0, 100.0, 100.0)];
        // A square of 40 mm around one of 20 mm that turns the same way, or the other way (SVG 2, "fill-rule").
        let (same, other) = ("M10 10H50V50H10ZM20 20H40V40H20Z", "M10 10H50V50H10ZM20 20V40H40V20Z");
        for (path, even_odd, area) in
            [(same, false, 1600.0), (same, true, 1200.0), (other, false, 1200.0), (other, true, 1200.0)]
        {
            let found = painted(path, even_odd, &all)[0];
            assert!((found - area).abs() < 4.0, "{path} {even_odd}: {found}");
        }
        // A triangle is half of its box, in each half of it by its own share.
        let parts = [
            (0.0, 0.0, 100.0, 100.0),
            (0.0, 0.0, 30.0, 100.0),
            (0.0, 0.0, 100.0, 30.0),
            (60.0, 0.0, 90.0, 90.0),
            (20.0, 20.0, 30.0, 30.0),
        ];
        let found = painted("M10 10L50 50H10Z", false, &parts.map(|(x0, y0, x1, y1)| kurbo::Rect::new(x0, y0, x1, y1)));
        for (found, area) in found.into_iter().zip([800.0, 600.0, 200.0, 0.0, 50.0]) {
            assert!((found - area).abs() < 2.0, "{found} for {area}");
        }
    }
}
