//! Where a notch meets an edge.

use super::NEAR;
use super::edge::{Edge, along, edges};
use kurbo::{BezPath, Line, ParamCurve, PathEl, Point};

/// How far from the edge an end of a notch may lie and still touch it, in mm: the error budget.
const TOUCH: f64 = 0.01;
/// How far apart along the edge a notch may touch it, in mm: the legs of a double notch or a wide triangle.
const SPREAD: f64 = 12.0;
/// How finely curved notches are flattened, in mm.
const FLAT: f64 = 1e-4;

/// Why a place on an edge is unclear.
pub enum Unclear {
    /// Nothing of it is near; how far off it is, in mm.
    Far(f64),
    /// It touches the edge in places that lie so far apart, in mm.
    Wide(f64),
}

/// A place on an edge.
pub struct Meeting {
    /// From the edge's start, in mm.
    pub along: f64,
    /// How far off the edge what was asked for lies, in mm.
    pub off: f64,
}

/// The place of an edge nearest to a point.
pub fn point(edge: &Edge, point: Point) -> Result<Meeting, Unclear> {
    let (along, off) = edge.nearest(point);
    if off <= NEAR { Ok(Meeting { along, off }) } else { Err(Unclear::Far(off)) }
}

/// Where a notch crosses or touches an edge; the middle of the places if there are several, as with the legs of a triangle or
/// the two strokes of a double notch. If it stops short of the edge, the place nearest to it.
pub fn notch(edge: &Edge, paths: &[BezPath]) -> Result<Meeting, Unclear> {
    let vertices = paths.iter().flat_map(|path| path.elements().iter().filter_map(PathEl::end_point).collect::<Vec<_>>());
    let near: Vec<(f64, f64)> = vertices.map(|vertex| edge.nearest(vertex)).collect();
    let touching = near.iter().filter(|(_, off)| *off <= TOUCH).map(|(along, _)| *along);
    let mut met: Vec<f64> = touching.chain(crossings(edge, paths)).collect();
    if met.is_empty() {
        let best = near.into_iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let (along, off) = best.unwrap_or((0.0, f64::INFINITY));
        return if off <= NEAR { Ok(Meeting { along, off }) } else { Err(Unclear::Far(off)) };
    }
    if edge.closed {
        gather(&mut met, edge.length);
    }
    let (low, high) = met.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| (low.min(*s), high.max(*s)));
    if high - low > SPREAD {
        return Err(Unclear::Wide(high - low));
    }
    Ok(Meeting { along: (low + high) / 2.0, off: 0.0 })
}

/// Brings places on both sides of a closed line's start together.
fn gather(met: &mut [f64], length: f64) {
    let first = met.first().copied().unwrap_or_default();
    for along in met {
        // The nearest of its turns to the first place.
        *along -= ((*along - first) / length).round() * length;
    }
}

fn crossings(edge: &Edge, paths: &[BezPath]) -> Vec<f64> {
    let mut strokes: Vec<Line> = Vec::new();
    for path in paths {
        let mut flat = BezPath::new();
        kurbo::flatten(path.iter(), FLAT, |element| flat.push(element));
        strokes.extend(edges(&flat).iter().flat_map(|part| {
            part.segments().map(|(segment, _)| Line::new(segment.start(), segment.end())).collect::<Vec<_>>()
        }));
    }
    let crossed = |stroke: &Line| -> Vec<f64> {
        edge.segments()
            .flat_map(|(segment, start)| {
                segment.intersect_line(*stroke).into_iter().map(move |hit| start + along(segment, hit.segment_t))
            })
            .collect()
    };
    strokes.iter().flat_map(crossed).collect()
}
