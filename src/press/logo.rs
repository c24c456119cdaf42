//! The publisher's logo, from an SVG, PNG or JPEG: vector stays vector.

use super::marks::LOGO;
use super::scene::{Inked, Picture, Scene};
use super::svg::Svg;
use crate::diagnostic::{Diagnostic, Severity};
use crate::drawing::{self, Item, PathShape, Pixels, Request, Shape};
use kurbo::{Affine, Rect, Vec2};
use std::sync::Arc;

/// Fewer pixels to the inch than this show as steps (common practice, no published source).
const FINE_DPI: f64 = 300.0;
/// Colours with all parts above this can hardly be seen on white paper.
const PALE: u8 = 225;

/// A logo ready to be set.
#[derive(Clone, Debug)]
pub enum Artwork {
    /// Paths, with the box around them in their own units.
    Vector(Vec<Item>, Rect),
    /// Pixels.
    Raster(Arc<Pixels>),
}

impl Artwork {
    /// Artwork from a file's bytes; what they are decides, not the name.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Diagnostic> {
        let unreadable = |why: &str| error!("logo-unreadable", name, why);
        if !bytes.trim_ascii_start().starts_with(b"<") && !bytes.starts_with(b"\xef\xbb\xbf") {
            let pixels = drawing::picture(bytes).map_err(|finding| unreadable(&finding.message))?;
            return Ok(Self::Raster(Arc::new(pixels)));
        }
        // A logo has no true size of its own: any unit will do.
        let request = Request { units_per_inch: Some(96.0), ..Request::plain(name) };
        let (artwork, findings) = drawing::read(bytes, &request, &());
        if let Some(finding) = findings.iter().find(|finding| finding.severity == Severity::Error) {
            return Err(unreadable(&finding.message));
        }
        let pieces = artwork.map(|drawing| drawing.pieces).unwrap_or_default();
        let bounds = pieces.iter().map(|piece| piece.bounds).reduce(|a, b| a.union(b));
        let bounds = bounds.ok_or_else(|| unreadable(words!("there-is-nothing")))?;
        Ok(Self::Vector(pieces.into_iter().flat_map(|piece| piece.items).collect(), bounds))
    }

    /// What will not look well on paper, though it can be printed.
    pub fn remarks(&self, name: &str) -> Vec<Diagnostic> {
        let coarse = self.dots_per_inch().filter(|dpi| *dpi < FINE_DPI).map(|dpi| {
            let times = FINE_DPI / dpi;
            warning!("logo-coarse", name, dpi = format_args!("{dpi:.0}"), times = format_args!("{times:.1}"))
        });
        let pale = self.is_pale().then(|| warning!("logo-pale", name));
        coarse.into_iter().chain(pale).collect()
    }

    /// Pixels to the inch on a sheet, the fewest of any picture in the artwork; `None` without pixels.
    fn dots_per_inch(&self) -> Option<f64> {
        let mut scene = Scene::default();
        self.set(&mut scene, Rect::new(0.0, 0.0, LOGO.0, LOGO.1));
        let dpi = |picture: &Picture| {
            let [a, b, c, d, ..] = picture.placement.as_coeffs();
            let (across, down) = (a.hypot(b) / f64::from(picture.pixels.width), c.hypot(d) / f64::from(picture.pixels.height));
            25.4 / across.max(down)
        };
        scene.pictures.iter().map(dpi).reduce(f64::min)
    }

    /// Whether nothing in it is darker than a light grey.
    fn is_pale(&self) -> bool {
        let light = |colour: [u8; 3]| colour.iter().all(|part| *part > PALE);
        let item = |item: &Item| match &item.shape {
            Shape::Path(path) => {
                let paints = [path.fill.map(|fill| fill.colour), path.stroke.as_ref().map(|stroke| stroke.colour)];
                paints.into_iter().flatten().all(|colour| light([colour.red, colour.green, colour.blue]))
            }
            Shape::Image(image) => pale_pixels(&image.pixels, &light),
        };
        match self {
            Self::Vector(items, _) => items.iter().all(item),
            Self::Raster(pixels) => pale_pixels(pixels, &light),
        }
    }

    /// The artwork as markup for a page: an inline SVG, named `name`; pixels become a PNG within it.
    pub fn markup(&self, name: &str) -> Result<String, Diagnostic> {
        let mut scene = Scene::default();
        let place = match self {
            Self::Vector(_, bounds) => Rect::from_origin_size((0.0, 0.0), bounds.size()),
            Self::Raster(pixels) => Rect::new(0.0, 0.0, f64::from(pixels.width), f64::from(pixels.height)),
        };
        self.set(&mut scene, place);
        let written = Svg::open_inline(place, name).and_then(|mut svg| {
            svg.artwork(&scene, Vec2::ZERO)?;
            svg.close()
        });
        let failed = |error: std::io::Error| error!("bug-svg/logo", error);
        written.map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).map_err(failed)
    }

    /// Sets the artwork into the bottom right of a box, as large as fits, and gives the width it took, in mm.
    pub(super) fn set(&self, scene: &mut Scene, place: Rect) -> f64 {
        let own = match self {
            Self::Vector(_, bounds) => *bounds,
            Self::Raster(pixels) => Rect::new(0.0, 0.0, f64::from(pixels.width), f64::from(pixels.height)),
        };
        let scale = (place.width() / own.width()).min(place.height() / own.height());
        if !scale.is_finite() || scale <= 0.0 {
            return 0.0;
        }
        let (width, height) = (own.width() * scale, own.height() * scale);
        let corner = Vec2::new(place.x1 - width, place.y1 - height);
        let placement = Affine::translate(corner) * Affine::scale(scale) * Affine::translate(-own.origin().to_vec2());
        match self {
            Self::Vector(items, _) => items.iter().for_each(|item| paint(scene, item, placement, scale)),
            Self::Raster(pixels) => {
                let placement = placement * Affine::scale_non_uniform(own.width(), own.height());
                scene.pictures.push(Picture { pixels: Arc::clone(pixels), placement });
            }
        }
        width
    }
}

fn pale_pixels(pixels: &Pixels, light: &dyn Fn([u8; 3]) -> bool) -> bool {
    let colours = pixels.rgb.chunks_exact(3).filter_map(|rgb| <[u8; 3]>::try_from(rgb).ok());
    // Nearly transparent pixels count as paper.
    let seen = |index: usize| pixels.alpha.as_ref().is_none_or(|alpha| alpha.get(index).is_some_and(|alpha| *alpha > 25));
    colours.enumerate().filter(|(index, _)| seen(*index)).all(|(_, rgb)| light(rgb))
}

fn paint(scene: &mut Scene, item: &Item, placement: Affine, scale: f64) {
    match &item.shape {
        Shape::Path(PathShape { path, fill, stroke, .. }) => {
            let line = stroke.as_ref().map(|stroke| {
                let mut style = stroke.style.clone();
                style.width *= scale;
                style.dash_offset *= scale;
                style.dash_pattern.iter_mut().for_each(|dash| *dash *= scale);
                (stroke.colour, style)
            });
            scene.strokes.push(Inked {
                path: placement * path,
                fill: fill.map(|fill| fill.colour),
                even_odd: fill.is_some_and(|fill| fill.even_odd),
                line,
            });
        }
        Shape::Image(image) => {
            scene.pictures.push(Picture { pixels: Arc::clone(&image.pixels), placement: placement * image.placement });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pixels(width: u32, height: u32, grey: u8, alpha: Option<u8>) -> Artwork {
        let count = (width * height) as usize;
        let alpha = alpha.map(|alpha| vec![alpha; count]);
        Artwork::Raster(Arc::new(Pixels { width, height, rgb: vec![grey; 3 * count], alpha }))
    }

    fn codes(artwork: &Artwork) -> Vec<&'static str> {
        artwork.remarks("logo.png").iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn coarse_and_pale_logos_are_told_of() {
        // 6.2 mm are 73.2 dots at 300 dpi.
        assert_eq!(codes(&pixels(74, 74, 0, None)), [""; 0]);
        assert_eq!(codes(&pixels(72, 72, 0, None)), ["logo-coarse"]);
        assert_eq!(codes(&pixels(300, 74, 240, None)), ["logo-pale"]);
        assert_eq!(codes(&pixels(300, 74, 0, Some(10))), ["logo-pale"], "only a breath of ink");
        assert_eq!(codes(&pixels(300, 74, 0, Some(255))), [""; 0]);
        let drawn = |fill: &str| {
            let svg = format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"10\"><rect width=\"40\" height=\"10\" fill=\"{fill}\"/></svg>"
            );
            codes(&Artwork::read("logo.svg", svg.as_bytes()).unwrap())
        };
        assert_eq!((drawn("#222"), drawn("#fff")), (vec![], vec!["logo-pale"]));
    }
}
