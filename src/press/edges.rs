//! What of the drawing lies just outside a tile: it runs on into the border, so that a crooked cut loses no line.

use super::Job;
use super::pdf::View;
use crate::drawing::{Drawing, Item, Shape};
use crate::plan::Layout;
use kurbo::{Line, PathEl, Point, Rect, Vec2};

/// How coarsely curves are looked at, in mm; only words and small marks of ours depend on it.
const COARSE_MM: f64 = 0.1;

/// The part of the drawing on a sheet, border included: what is pressed beyond the trim line is cut away, or glued under.
pub(super) fn running_on(job: &Job, layout: &Layout, sheet: usize) -> Option<View> {
    let own = layout.sheets.get(sheet)?;
    let (clip, to_drawing) = (reach(layout), to_drawing(layout, sheet));
    let near = |piece: usize| inks(job.drawing, piece, clip + to_drawing);
    let pieces = (0..job.drawing.pieces.len()).filter(|piece| own.pieces.contains(piece) || near(*piece)).collect();
    Some(View { pieces, shift: -to_drawing, clip })
}

/// Tile and border of a sheet, in its mm, as far as the printer reaches.
pub(super) fn reach(layout: &Layout) -> Rect {
    let border = layout.setup.border.to_mm();
    layout.tile.to_kurbo_mm().inflate(border, border).intersect(layout.printable.to_kurbo_mm())
}

/// From a sheet's mm to the drawing's.
fn to_drawing(layout: &Layout, sheet: usize) -> Vec2 {
    let area = layout.sheets.get(sheet).map(|sheet| sheet.area.to_kurbo_mm()).unwrap_or_default();
    area.origin() - layout.tile.to_kurbo_mm().origin()
}

/// The stretches of a level strip of a sheet, from left to right, that no ink of the drawing touches; all in the sheet's mm.
pub(super) fn gaps(drawing: &Drawing, layout: &Layout, sheet: usize, strip: Rect) -> Vec<(f64, f64)> {
    let to_drawing = to_drawing(layout, sheet);
    let moved = strip + to_drawing;
    let mut inked: Vec<(f64, f64)> =
        drawing.pieces.iter().flat_map(|piece| &piece.items).flat_map(|item| spans(item, moved)).collect();
    inked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = Vec::new();
    let mut from = moved.x0;
    for (left, right) in inked.into_iter().chain([(moved.x1, moved.x1)]) {
        if left > from {
            free.push((from - to_drawing.x, left - to_drawing.x));
        }
        from = from.max(right);
    }
    free
}

/// Whether a piece has ink in a rectangle of the drawing.
fn inks(drawing: &Drawing, piece: usize, area: Rect) -> bool {
    let touching = drawing.pieces.get(piece).filter(|piece| overlap(piece.bounds, area));
    touching.is_some_and(|piece| piece.items.iter().any(|item| !spans(item, area).is_empty()))
}

/// From where to where, in x, an item's ink lies in a rectangle; what is filled counts with its whole box.
fn spans(item: &Item, area: Rect) -> Vec<(f64, f64)> {
    if !overlap(item.bounds, area) {
        return Vec::new();
    }
    let stroke = match &item.shape {
        Shape::Path(shape) if shape.fill.is_none() => {
            shape.stroke.as_ref().map(|stroke| (&shape.path, stroke.style.width / 2.0))
        }
        _ => None,
    };
    let Some((path, half)) = stroke else {
        return vec![(item.bounds.x0.max(area.x0), item.bounds.x1.min(area.x1))];
    };
    // What is flattened may stand off the true curve; that much more counts.
    let wide = area.inflate(half + COARSE_MM, half + COARSE_MM);
    let mut spans = Vec::new();
    let (mut start, mut at) = (Point::ORIGIN, Point::ORIGIN);
    kurbo::flatten(path, COARSE_MM, |element| {
        let to = match element {
            PathEl::MoveTo(to) => {
                (start, at) = (to, to);
                return;
            }
            PathEl::LineTo(to) => to,
            _ => start,
        };
        spans.extend(within(Line::new(at, to), wide).map(|(left, right)| (left - half, right + half)));
        at = to;
    });
    spans
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// From where to where, in x, a line runs in a rectangle (clipping as by Liang and Barsky).
fn within(line: Line, area: Rect) -> Option<(f64, f64)> {
    let (way, from) = (line.p1 - line.p0, line.p0);
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (speed, low, high) in [(way.x, area.x0 - from.x, area.x1 - from.x), (way.y, area.y0 - from.y, area.y1 - from.y)] {
        if speed == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (one, other) = (low / speed, high / speed);
        (enters, leaves) = (enters.max(one.min(other)), leaves.min(one.max(other)));
    }
    let x = |time: f64| from.x + way.x * time;
    (enters <= leaves).then(|| (x(enters).min(x(leaves)), x(enters).max(x(leaves))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::press::tests::{Pressable, three_sheets};

    #[test]
    fn a_line_is_cut_to_a_rectangle() {
        let area = Rect::new(0.0, 0.0, 10.0, 4.0);
        let cut = |from: (f64, f64), to: (f64, f64)| within(Line::new(from, to), area);
        assert_eq!(cut((-5.0, 2.0), (5.0, 2.0)), Some((0.0, 5.0)));
        assert_eq!(cut((4.0, 8.0), (4.0, -8.0)), Some((4.0, 4.0)));
        assert_eq!(cut((8.0, -4.0), (0.0, 4.0)), Some((0.0, 4.0)));
        assert_eq!(cut((-5.0, 5.0), (20.0, 5.0)), None);
        assert_eq!(cut((11.0, 0.0), (11.0, 4.0)), None);
    }

    #[test]
    fn gaps_leave_out_the_ink_that_crosses_a_strip() {
        let pressable = Pressable::of(&three_sheets());
        let (tile, layout) = (pressable.layout.tile.to_kurbo_mm(), &pressable.layout);
        // The solid line of the third sheet stands at 390 mm, half a millimetre wide, from 20 to 100 mm down.
        let top = 30.0 - to_drawing(layout, 2).y;
        let strip = Rect::new(tile.x0, top, tile.x1, top + 3.0);
        let gaps = gaps(&pressable.drawing, layout, 2, strip);
        let x = 390.0 - to_drawing(layout, 2).x;
        assert_eq!(gaps.len(), 2, "{gaps:?}");
        assert!((gaps[0].1 - (x - 0.25)).abs() < 1e-9 && (gaps[1].0 - (x + 0.25)).abs() < 1e-9, "{gaps:?}");
    }

    #[test]
    fn the_drawing_runs_on_by_the_border_and_no_further() {
        let pressable = Pressable::of(&three_sheets());
        let view = pressable.pressed(|job, layout| running_on(job, layout, 1).unwrap());
        let border = pressable.layout.setup.border.to_mm();
        assert_eq!(border, 2.0);
        assert_eq!(view.clip, pressable.layout.tile.to_kurbo_mm().inflate(border, border));
    }
}
