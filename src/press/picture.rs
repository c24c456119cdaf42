//! Pictures for a shop's page: the whole drawing, or one sheet, as a PNG, drawn from the same SVG and marks that are pressed.

use super::Job;
use super::home::page;
use super::names::with_names_formless;
use super::svg::Svg;
use crate::diagnostic::Diagnostic;
use crate::plan::Layout;
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use kurbo::Vec2;
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::io;

/// Paper around the whole drawing, in mm.
const AIR: f64 = 20.0;

/// The whole drawing, as it is when all sheets are joined; `longest` is the picture's longer side in pixels.
pub fn whole_picture(job: &Job, longest: u32) -> Result<Vec<u8>, Diagnostic> {
    let ink = job.drawing.pieces.iter().map(|piece| piece.bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
    let place = ink.inflate(AIR, AIR);
    let svg = || -> io::Result<Vec<u8>> {
        let mut svg = Svg::open(place.width(), place.height(), &job.kit.title, job.messages.language())?;
        svg.paper(place.width(), place.height())?;
        svg.drawing(job.drawing, -place.origin().to_vec2())?;
        svg.close()
    };
    png(&svg().map_err(failed)?, longest)
}

/// One sheet with all its marks.
pub fn sheet_picture(job: &Job, layout: &Layout, sheet: usize, longest: u32) -> Result<Vec<u8>, Diagnostic> {
    with_names_formless(job, layout, |job| with_marks(job, layout, sheet, longest))
}

fn with_marks(job: &Job, layout: &Layout, sheet: usize, longest: u32) -> Result<Vec<u8>, Diagnostic> {
    let page = page(job, layout, sheet);
    let (width, height) = (page.size.width.to_mm(), page.size.height.to_mm());
    let svg = || -> io::Result<Vec<u8>> {
        let mut svg = Svg::open(width, height, &page.extras.title, job.messages.language())?;
        svg.paper(width, height)?;
        if let Some(view) = &page.drawing {
            svg.part(job.drawing, &view.pieces, view.shift, view.clip)?;
        }
        svg.scene(&page.marks, Vec2::ZERO, job.faces)?;
        svg.close()
    };
    png(&svg().map_err(failed)?, longest)
}

/// An SVG as pixels; it has a white ground, so that nothing shows through.
fn png(svg: &[u8], longest: u32) -> Result<Vec<u8>, Diagnostic> {
    let tree = Tree::from_data(svg, &Options::default()).map_err(failed)?;
    let (width, height) = (tree.size().width(), tree.size().height());
    let scale = longest as f32 / width.max(height);
    let pixels = |side: f32| ((side * scale).round() as u32).clamp(1, longest);
    let (w, h) = (pixels(width), pixels(height));
    let mut map = Pixmap::new(w, h).ok_or_else(|| failed(words!("no-room-for-pixels")))?;
    map.fill(Color::WHITE);
    resvg::render(&tree, Transform::from_scale(w as f32 / width, h as f32 / height), &mut map.as_mut());
    let rgb: Vec<u8> = map.data().chunks(4).flat_map(|pixel| pixel.iter().copied().take(3)).collect();
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes).write_image(&rgb, w, h, ExtendedColorType::Rgb8).map_err(failed)?;
    Ok(bytes)
}

fn failed(error: impl std::fmt::Display) -> Diagnostic {
    error!("bug-svg/picture", error)
}
