//! Ink cut by a clip of any shape; clips that are plain boxes need no cutting.

use super::ink::rings;
use crate::drawing::Clip;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Point, Rect, Shape, Vec2};

/// How much a box's area may be off for noise, as a part of it.
const NOISE: f64 = 1e-9;

/// The box that a clip is, if it is one.
pub(super) fn as_box(clip: &Clip) -> Option<Rect> {
    let bounds = clip.path.bounding_box();
    let full = (clip.path.area().abs() - bounds.area()).abs() <= bounds.area() * NOISE;
    (full && rings(&clip.path, Vec2::ZERO).len() == 1).then_some(bounds)
}

/// What a clip leaves of an area between rings: rings for which nonzero and even-odd are the same.
pub(super) fn cut(area: &[Vec<Point>], even_odd: bool, clip: &Clip) -> Vec<Vec<Point>> {
    let window = plain(&rings(&clip.path, Vec2::ZERO), clip.even_odd);
    // Whole numbers of 64 bits: the box around both is parted far finer than a nanometre.
    let left = plain(area, even_odd).overlay_as::<i64>(&window, OverlayRule::Intersect, FillRule::NonZero);
    let point = |[x, y]: [f64; 2]| Point::new(x, y);
    left.into_iter().flatten().map(|ring| ring.into_iter().map(point).collect()).collect()
}

/// Rings as the library takes them, without overlaps, so that one rule fits all.
fn plain(rings: &[Vec<Point>], even_odd: bool) -> Vec<Vec<Vec<[f64; 2]>>> {
    let rings: Vec<Vec<[f64; 2]>> = rings.iter().map(|ring| ring.iter().map(|p| [p.x, p.y]).collect()).collect();
    rings.simplify_shape_as::<i64>(if even_odd { FillRule::EvenOdd } else { FillRule::NonZero })
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{BezPath, Circle};

    fn area(rings: &[Vec<Point>]) -> f64 {
        let ring = |ring: &Vec<Point>| {
            ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| a.to_vec2().cross(b.to_vec2())).sum::<f64>()
        };
        (rings.iter().map(ring).sum::<f64>() / 2.0).abs()
    }

    fn clip(path: BezPath, even_odd: bool) -> Clip {
        Clip { path, even_odd }
    }

    #[test]
    fn boxes_are_told_from_other_shapes() {
        let square = Rect::new(1.0, 2.0, 5.0, 9.0).to_path(0.1);
        assert_eq!(as_box(&clip(square.clone(), false)), Some(Rect::new(1.0, 2.0, 5.0, 9.0)));
        assert_eq!(as_box(&clip(Circle::new((3.0, 3.0), 2.0).to_path(0.001), false)), None);
        let mut holed = square;
        holed.extend(Rect::new(2.0, 3.0, 4.0, 8.0).to_path(0.1));
        assert_eq!(as_box(&clip(holed, true)), None);
    }

    #[test]
    fn a_square_in_a_round_window_is_round() {
        let square: Vec<Point> = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(Point::from).to_vec();
        let round = clip(Circle::new((0.0, 0.0), 4.0).to_path(0.0001), false);
        // A quarter of a disc, as the corner of the square lies in its middle.
        assert!((area(&cut(std::slice::from_ref(&square), false, &round)) - std::f64::consts::PI * 4.0).abs() < 0.02);
        let far = clip(Circle::new((-20.0, 0.0), 4.0).to_path(0.001), false);
        assert!(cut(&[square], false, &far).is_empty());
    }

    #[test]
    fn each_side_keeps_its_own_rule() {
        let square = |a: f64, b: f64| [(a, a), (b, a), (b, b), (a, b)].map(Point::from).to_vec();
        // Two rings the same way round: nonzero is full, even-odd has a hole.
        let rings = [square(0.0, 10.0), square(4.0, 6.0)];
        let window = clip(Circle::new((5.0, 5.0), 40.0).to_path(0.001), true);
        assert!((area(&cut(&rings, false, &window)) - 100.0).abs() < 1e-6);
        assert!((area(&cut(&rings, true, &window)) - 96.0).abs() < 1e-6);
    }
}
