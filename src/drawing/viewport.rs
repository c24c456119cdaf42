//! How a viewBox lies in its viewport. Source of the rules: SVG 2, "The preserveAspectRatio attribute" and "Computing the
//! equivalent transform of an SVG viewport"; written down here in f64, because the SVG library counts in f32.

use kurbo::{Affine, Rect, Size};
use svgtypes::{Align, AspectRatio};

/// The transform from a viewBox to a viewport of this size at the origin.
pub fn fit(view: Rect, size: Size, aspect: AspectRatio) -> Affine {
    let (sx, sy) = (size.width / view.width(), size.height / view.height());
    let (sx, sy) = match (aspect.align, aspect.slice) {
        (Align::None, _) => (sx, sy),
        (_, true) => (sx.max(sy), sx.max(sy)),
        (_, false) => (sx.min(sy), sx.min(sy)),
    };
    let (left, top) = shares(aspect.align);
    let x = (size.width - view.width() * sx) * left - view.x0 * sx;
    let y = (size.height - view.height() * sy) * top - view.y0 * sy;
    Affine::new([sx, 0.0, 0.0, sy, x, y])
}

/// Which share of the spare room lies to the left and above.
fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

/// Reads a `viewBox`; `None` if it is unreadable or has no area.
pub fn view_box(value: &str) -> Option<Rect> {
    let view = value.parse::<svgtypes::ViewBox>().ok()?;
    let rect = Rect::new(view.x, view.y, view.x + view.w, view.y + view.h);
    (view.w > 0.0 && view.h > 0.0 && rect.is_finite()).then_some(rect)
}

/// Reads a `transform`; `None` if it is unreadable.
pub fn transform(value: &str) -> Option<Affine> {
    let t = value.parse::<svgtypes::Transform>().ok()?;
    Some(Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Point;

    #[test]
    fn spare_room_is_shared_as_svg_2_says() {
        // SVG 2, "The preserveAspectRatio attribute": xMidYMid meet centres, slice covers, none stretches.
        let view = Rect::new(10.0, 20.0, 110.0, 70.0);
        let size = Size::new(100.0, 100.0);
        let at = |aspect: &str| fit(view, size, aspect.parse().unwrap()) * Point::new(10.0, 20.0);
        assert_eq!(at("xMidYMid"), Point::new(0.0, 25.0));
        assert_eq!(at("xMidYMax"), Point::new(0.0, 50.0));
        assert_eq!(at("xMidYMid slice"), Point::new(-50.0, 0.0));
        assert_eq!(at("xMaxYMin slice"), Point::new(-100.0, 0.0));
        assert_eq!(at("none"), Point::ZERO);
    }

    #[test]
    fn empty_and_broken_view_boxes_are_none() {
        for value in ["0 0 0 5", "0 0 5", "a b c d", "0 0 -1 5", "0 0 1e308 1e400"] {
            assert_eq!(view_box(value), None, "{value}");
        }
        assert_eq!(view_box("1,2,3,4"), Some(Rect::new(1.0, 2.0, 4.0, 6.0)));
    }
}
