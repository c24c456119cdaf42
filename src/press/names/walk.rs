//! A walk along a path: stretches of it that are nearly straight.

use kurbo::{BezPath, PathEl, Point, Rect, Vec2};

/// How far a flattened path may stand off the curve, in mm.
const FLATNESS_MM: f64 = 0.05;
/// From one stretch to the next that is looked at, in mm.
const STEP: f64 = 2.0;
/// How far a path may leave the chord of a stretch, in mm.
const BOW: f64 = 0.2;

/// A path's parts as polylines, each point with the way from the part's start, in mm.
#[derive(Debug, Default)]
pub(super) struct Walk(Vec<Vec<(f64, Point)>>);

/// A nearly straight stretch of a path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    from: Point,
    to: Point,
}

impl Stretch {
    /// The direction in which words along it are read: from left to right, and up where it stands straight.
    pub(super) fn upright(&self) -> Vec2 {
        let along = (self.to - self.from).normalize();
        let backward = along.x < -1e-6 || (along.x.abs() <= 1e-6 && along.y > 0.0);
        if backward { -along } else { along }
    }

    /// The end where words begin.
    pub(super) fn left(&self) -> Point {
        if self.upright().dot(self.to - self.from) > 0.0 { self.from } else { self.to }
    }
}

impl Walk {
    /// A walk along all parts of a path.
    pub(super) fn along(path: &BezPath) -> Self {
        let mut parts: Vec<Vec<(f64, Point)>> = Vec::new();
        let step = |parts: &mut Vec<Vec<(f64, Point)>>, next: Point| {
            if let Some(part) = parts.last_mut() {
                let way = part.last().map_or(0.0, |(way, last)| way + last.distance(next));
                part.push((way, next));
            }
        };
        kurbo::flatten(path, FLATNESS_MM, |element| match element {
            PathEl::MoveTo(p) => parts.push(vec![(0.0, p)]),
            PathEl::LineTo(p) => step(&mut parts, p),
            _ => {
                let start = parts.last().and_then(|part| part.first()).map(|(_, start)| *start);
                start.into_iter().for_each(|start| step(&mut parts, start));
            }
        });
        Self(parts)
    }

    /// Nearly straight stretches of a length inside an area, those nearest to the middle of the walk inside it first.
    pub(super) fn stretches(&self, inner: Rect, length: f64) -> Vec<Stretch> {
        let mut found: Vec<(f64, Stretch)> = self.0.iter().flat_map(|part| in_part(part, inner, length)).collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, stretch)| stretch).collect()
    }
}

/// Stretches of one part, each with how far it is off the middle of its run inside the area.
fn in_part(part: &[(f64, Point)], inner: Rect, length: f64) -> Vec<(f64, Stretch)> {
    let whole = part.last().map_or(0.0, |(way, _)| *way);
    let starts = (0..=((whole - length) / STEP).max(-1.0).floor() as i64).map(|step| step as f64 * STEP);
    let mut runs: Vec<Vec<(f64, Stretch)>> = vec![Vec::new()];
    for start in starts {
        match straight(part, start, length).filter(|it| inner.contains(it.from) && inner.contains(it.to)) {
            Some(stretch) => runs.last_mut().into_iter().for_each(|run| run.push((start, stretch))),
            None if runs.last().is_some_and(|run| !run.is_empty()) => runs.push(Vec::new()),
            None => {}
        }
    }
    let off_middle = |run: Vec<(f64, Stretch)>| {
        let middle = run.first().zip(run.last()).map_or(0.0, |(first, last)| (first.0 + last.0) / 2.0);
        // A long run is a better place than a short one, whichever is nearer.
        let half = run.len() as f64 * STEP / 2.0;
        run.into_iter().map(move |(start, stretch)| ((start - middle).abs() - half, stretch))
    };
    runs.into_iter().flat_map(off_middle).collect()
}

/// The stretch from a way on, if the path keeps near its chord.
fn straight(part: &[(f64, Point)], start: f64, length: f64) -> Option<Stretch> {
    let (from, to) = (at(part, start)?, at(part, start + length)?);
    let chord = to - from;
    let first = part.partition_point(|(way, _)| *way <= start);
    let between = part.iter().skip(first).take_while(|(way, _)| *way < start + length);
    let near = |(_, p): &(f64, Point)| (chord.cross(*p - from) / chord.hypot()).abs() <= BOW;
    (chord.hypot() > length * 0.98 && between.clone().all(near)).then_some(Stretch { from, to })
}

/// The point at a way from the start.
fn at(part: &[(f64, Point)], way: f64) -> Option<Point> {
    let after = part.partition_point(|(reached, _)| *reached < way);
    let (next, last) = (part.get(after)?, part.get(after.saturating_sub(1))?);
    let step = next.0 - last.0;
    Some(if step > 0.0 { last.1.lerp(next.1, (way - last.0) / step) } else { next.1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_read_from_left_to_right_or_upward() {
        let reads = |svg: &str| {
            let walk = Walk::along(&BezPath::from_svg(svg).unwrap());
            walk.stretches(Rect::new(-100.0, -100.0, 100.0, 100.0), 10.0).first().map(|it| (it.upright(), it.left()))
        };
        assert_eq!(reads("M0 0H10").unwrap(), (Vec2::new(1.0, 0.0), Point::ORIGIN));
        assert_eq!(reads("M10 0H0").unwrap(), (Vec2::new(1.0, 0.0), Point::ORIGIN));
        assert_eq!(reads("M0 0V10").unwrap(), (Vec2::new(0.0, -1.0), Point::new(0.0, 10.0)));
        assert!(reads("M0 0C0 5 5 10 10 10").is_none(), "a bow is not straight");
        assert!(reads("M0 0H6V6").is_none(), "a corner is not straight");
        assert!(reads("M0 0H9").is_none(), "too short");
    }
}
