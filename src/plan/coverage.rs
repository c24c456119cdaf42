//! Ink coverage: how much of a sheet's paper the drawing's ink covers, by level scan lines.
//!
//! Along a line lengths are exact, overlaps counted once; between lines 0.05 mm apart ink is taken to go on. A level line of 0.35 mm
//! may so be off by a seventh, anything that leans or curves by far less; a sheet's figure is good to a tenth of itself. Marks
//! are not counted, and pale ink counts like black.

use super::ink::{Ink, Outline};
use crate::units::Rect;
use rayon::prelude::*;

/// Distance of scan lines, in mm.
const STEP_MM: f64 = 0.05;
/// Crossings of scan lines and edges that are held at once; with more ink than that the lines lie farther apart.
const MOST_CROSSINGS: f64 = 16e6;

/// Inked stretches of every scan line.
#[derive(Debug)]
pub(super) struct Coverage {
    /// Distance of the lines, in mm.
    step: f64,
    /// Number of the first line; line `n` lies at `(n + 0.5)` steps.
    first: i64,
    /// Stretches of each line, from left to right, none over another.
    rows: Vec<Vec<(f32, f32)>>,
}

impl Coverage {
    /// The coverage of all ink.
    pub(super) fn of(ink: &Ink, bounds: Rect) -> Self {
        let area = bounds.to_kurbo_mm();
        let step = step(ink);
        let (first, last) = (row_after(area.y0, step), row_after(area.y1, step));
        let mut rows: Vec<Vec<(f32, f32)>> = vec![Vec::new(); usize::try_from(last - first).unwrap_or(0)];
        for outline in ink.outlines() {
            let mut spans = spans(outline, step);
            // An outline's own lines are few; those of all outlines together are joined once at the end.
            spans.retain(|(_, from, to)| to > from);
            for (row, from, to) in spans {
                let row = usize::try_from(row - first).ok().and_then(|row| rows.get_mut(row));
                row.into_iter().for_each(|row| row.push((from as f32, to as f32)));
            }
        }
        rows.par_iter_mut().for_each(join);
        Self { step, first, rows }
    }

    /// How much ink lies in a rectangle of the drawing, in mm².
    pub(super) fn ink_in(&self, area: Rect) -> f64 {
        let area = area.to_kurbo_mm();
        let index = |y: f64| usize::try_from(row_after(y, self.step) - self.first).unwrap_or(0).min(self.rows.len());
        let (left, right) = (area.x0 as f32, area.x1 as f32);
        let inside = |(from, to): &(f32, f32)| f64::from((to.min(right) - from.max(left)).max(0.0));
        let rows = self.rows.get(index(area.y0)..index(area.y1)).unwrap_or_default();
        rows.iter().flatten().map(inside).sum::<f64>() * self.step
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

/// Inked stretches of one outline: line, from, to.
fn spans(outline: &Outline, step: f64) -> Vec<(i64, f64, f64)> {
    let (first, last) = (row_after(outline.bounds.y0, step), row_after(outline.bounds.y1, step));
    let mut rows: Vec<Vec<(f64, i32)>> = vec![Vec::new(); usize::try_from(last - first).unwrap_or(0)];
    for (a, b) in outline.edges() {
        for row in row_after(a.y.min(b.y), step).max(first)..row_after(a.y.max(b.y), step).min(last) {
            let y = (row as f64 + 0.5) * step;
            let crossings = usize::try_from(row - first).ok().and_then(|row| rows.get_mut(row));
            let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
            crossings.into_iter().for_each(|list| list.push((x, if a.y < b.y { 1 } else { -1 })));
        }
    }
    let inked = |(row, crossings): (usize, Vec<(f64, i32)>)| {
        inner(crossings, outline).into_iter().map(move |(from, to)| (first + row as i64, from, to))
    };
    rows.into_iter().enumerate().flat_map(inked).collect()
}

/// Stretches of one line that lie inside an outline, within its clips.
fn inner(mut crossings: Vec<(f64, i32)>, outline: &Outline) -> Vec<(f64, f64)> {
    crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut winding = 0;
    let inside = crossings.windows(2).filter_map(|pair| {
        let [(from, turn), (to, _)] = pair else { return None };
        winding += turn;
        let inked = if outline.even_odd { winding % 2 != 0 } else { winding != 0 };
        inked.then_some((from.max(outline.limit.x0), to.min(outline.limit.x1)))
    });
    inside.collect()
}

/// Joins stretches that overlap or touch.
fn join(row: &mut Vec<(f32, f32)>) {
    row.sort_by(|a, b| a.0.total_cmp(&b.0));
    let joined = row.iter().fold(Vec::new(), |mut joined: Vec<(f32, f32)>, &(from, to)| {
        match joined.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => joined.push((from, to)),
        }
        joined
    });
    *row = joined;
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
}
