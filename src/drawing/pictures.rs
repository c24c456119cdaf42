//! Pictures in a drawing: where they may come from, and their pixels.

use super::model::Pixels;
use super::request::Resources;
use crate::diagnostic::Diagnostic;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use std::io::Cursor;
use std::sync::{Arc, Mutex};
use usvg::{ImageHrefResolver, ImageKind};

/// Largest file of one picture.
const LARGEST: usize = 100 * 1024 * 1024;
/// Most pixels of one picture.
const MOST: u64 = 100_000_000;
/// What the SVG library gets in place of a picture that cannot be had: the head of a GIF of one pixel.
const STAND_IN: &[u8] = b"GIF89a\x01\x00\x01\x00\x00\x00\x00\x3b\x00\x00";

/// Pictures that cannot be had, each by the stand-in that the SVG library holds for it.
#[derive(Debug, Default)]
pub struct Refused(Mutex<Vec<(Arc<Vec<u8>>, Diagnostic)>>);

impl Refused {
    fn stand_in(&self, finding: Diagnostic) -> ImageKind {
        let bytes = Arc::new(STAND_IN.to_vec());
        if let Ok(mut list) = self.0.lock() {
            list.push((bytes.clone(), finding));
        }
        ImageKind::GIF(bytes)
    }

    /// Why a picture was refused, if it was.
    pub fn reason(&self, bytes: &Arc<Vec<u8>>) -> Option<Diagnostic> {
        let list = self.0.lock().ok()?;
        list.iter().find(|(stand_in, _)| Arc::ptr_eq(stand_in, bytes)).map(|(_, finding)| finding.clone())
    }
}

/// Gives the SVG library the pictures that a drawing holds or links, and notes the others.
pub fn resolver<'a>(resources: &'a dyn Resources, refused: &'a Refused) -> ImageHrefResolver<'a> {
    ImageHrefResolver {
        resolve_data: Box::new(move |_, bytes, _| Some(kind(bytes, || words!("embedded-picture").to_owned(), refused))),
        resolve_string: Box::new(move |href, _| Some(linked(href, resources, refused))),
    }
}

/// A picture beneath the kit's folder.
fn linked(href: &str, resources: &dyn Resources, refused: &Refused) -> ImageKind {
    let name = shown(href);
    let missing = |why: &str| refused.stand_in(error!("image-missing", name, why));
    let is_address =
        href.split_once(':').is_some_and(|(scheme, _)| scheme.chars().all(|c| c.is_ascii_alphanumeric() || c == '+'));
    match href.trim() {
        "" => missing(words!("link-is-empty")),
        // The library hands data over here when it cannot decode it.
        data if data.starts_with("data:") => refused.stand_in(bad(words!("embedded-picture"), words!("data-cannot-be-read"))),
        _ if is_address || href.starts_with(['/', '\\', '#']) => missing(words!("only-files-in-kit")),
        _ => match resources.image(href) {
            Ok(bytes) => kind(Arc::new(bytes), || say!("picture-named", name), refused),
            Err(why) => missing(&why),
        },
    }
}

/// What kind of picture the bytes are; the name and the stated type do not count.
fn kind(bytes: Arc<Vec<u8>>, what: impl Fn() -> String, refused: &Refused) -> ImageKind {
    if bytes.len() > LARGEST {
        return refused.stand_in(bad(&what(), words!("has-more-than-100")));
    }
    match bytes.as_slice() {
        [0x89, b'P', b'N', b'G', ..] | [0xff, 0xd8, 0xff, ..] if lies(&bytes) => {
            upright(&bytes).map_or_else(|finding| refused.stand_in(finding), |bytes| ImageKind::PNG(Arc::new(bytes)))
        }
        [0x89, b'P', b'N', b'G', ..] if size(&bytes).is_some() => ImageKind::PNG(bytes),
        [0xff, 0xd8, 0xff, ..] if size(&bytes).is_some() => ImageKind::JPEG(bytes),
        [0x89, b'P', b'N', b'G', ..] | [0xff, 0xd8, 0xff, ..] => refused.stand_in(bad(&what(), words!("is-damaged"))),
        [b'G', b'I', b'F', b'8', ..] => refused.stand_in(bad(&what(), words!("is-gif"))),
        [b'R', b'I', b'F', b'F', ..] => refused.stand_in(bad(&what(), words!("is-webp"))),
        [0x1f, 0x8b, ..] => refused.stand_in(nested(&what())),
        other if other.trim_ascii_start().starts_with(b"<") => refused.stand_in(nested(&what())),
        _ => refused.stand_in(bad(&what(), words!("is-neither-png-nor"))),
    }
}

fn bad(what: &str, why: &str) -> Diagnostic {
    error!("image-bad/unreadable", what, why)
}

fn nested(what: &str) -> Diagnostic {
    error!("unsupported-image", what)
}

fn shown(href: &str) -> String {
    let short: String = href.chars().take(60).collect();
    if short.len() < href.len() { short + "…" } else { short }
}

fn size(bytes: &[u8]) -> Option<(u32, u32)> {
    ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?.into_dimensions().ok()
}

/// Whether a picture is stored otherwise than its camera saw it.
fn lies(bytes: &[u8]) -> bool {
    let decoder = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok().and_then(|reader| reader.into_decoder().ok());
    decoder
        .and_then(|mut decoder| decoder.orientation().ok())
        .is_some_and(|orientation| orientation != Orientation::NoTransforms)
}

/// The same picture stored as its camera saw it, which is how it is to be shown (CSS Images 3, `image-orientation`): the SVG library does not
/// know of such turns, and fits width and height as they are stored.
fn upright(bytes: &[u8]) -> Result<Vec<u8>, Diagnostic> {
    let mut stored = Cursor::new(Vec::new());
    let written = opened(bytes)?.write_to(&mut stored, ImageFormat::Png);
    written.map(|()| stored.into_inner()).map_err(|error| bad(words!("the-picture"), &error.to_string()))
}

/// The pixels of a PNG or JPEG file, upright.
pub fn picture(bytes: &[u8]) -> Result<Pixels, Diagnostic> {
    opened(bytes).map(|picture| pixels(&picture))
}

fn opened(bytes: &[u8]) -> Result<DynamicImage, Diagnostic> {
    let unreadable = |error: &dyn std::fmt::Display| bad(words!("the-picture"), &error.to_string().to_lowercase());
    // Asked before decoding, as a small file can hold a picture of many gigabytes.
    if let Some((width, height)) = size(bytes)
        && u64::from(width) * u64::from(height) > MOST
    {
        return Err(bad(words!("the-picture"), &say!("too-many-pixels", width, height)));
    }
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|e| unreadable(&e))?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST * 8);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|e| unreadable(&e))?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|e| unreadable(&e))?;
    picture.apply_orientation(orientation);
    Ok(picture)
}

/// Three bytes a pixel, and one more where it can be seen through.
fn pixels(picture: &DynamicImage) -> Pixels {
    let (width, height) = (picture.width(), picture.height());
    if !picture.color().has_alpha() {
        return Pixels { width, height, rgb: picture.to_rgb8().into_raw(), alpha: None };
    }
    let full = picture.to_rgba8().into_raw();
    let rgb = full.chunks_exact(4).flat_map(|pixel| pixel.iter().take(3).copied()).collect();
    let alpha: Vec<u8> = full.chunks_exact(4).filter_map(|pixel| pixel.last().copied()).collect();
    // Most pictures with an alpha channel do not use it.
    let solid = alpha.iter().all(|value| *value == 255);
    Pixels { width, height, rgb, alpha: (!solid).then_some(alpha) }
}
