//! The publisher's pictures for the guide: small enough for a page, without what cameras write into files.

use super::logo::Artwork;
use crate::diagnostic::Diagnostic;
use crate::drawing;
use base64::{Engine, engine::general_purpose::STANDARD};
use image::codecs::{jpeg::JpegEncoder, png::PngEncoder};
use image::imageops::FilterType;
use image::{DynamicImage, RgbImage, RgbaImage};
use kurbo::Rect;

/// Most pixels across or down: twice what a page of the guide is wide, for fine screens and for print.
const MOST: u32 = 1600;
/// Quality of photos, of 100: no loss is seen at arm's length.
const QUALITY: u8 = 82;
/// Stands for the text alternative until there is one.
const ALTERNATIVE: &str = "alternative";

/// Markup of a picture up to the quote before its text alternative, and from the quote behind it.
pub type Halves = (String, String);

/// A picture from a file's bytes; what they are decides, not the name. SVG stays vector; pixels are turned upright, made
/// smaller if they are many, and written anew.
pub fn illustration(name: &str, bytes: &[u8]) -> Result<Halves, Diagnostic> {
    let unusable = |why: &str| error!("picture-bad", name, why);
    match bytes {
        [0x89, b'P', b'N', b'G', ..] => raster(bytes, false).map_err(|why| unusable(&why)),
        [0xff, 0xd8, 0xff, ..] => raster(bytes, true).map_err(|why| unusable(&why)),
        _ if bytes.trim_ascii_start().starts_with(b"<") || bytes.starts_with(b"\xef\xbb\xbf") => vector(name, bytes),
        _ => Err(unusable(words!("is-neither-svg-nor"))),
    }
}

/// An inline SVG of its own size at most.
fn vector(name: &str, bytes: &[u8]) -> Result<Halves, Diagnostic> {
    let artwork = Artwork::read(name, bytes).map_err(|finding| Diagnostic {
        code: code!("picture-bad").name(),
        message: finding.message.replacen(words!("the-logo"), words!("the-picture"), 1),
        ..finding
    })?;
    let markup = artwork.markup(ALTERNATIVE)?;
    let size = if let Artwork::Vector(_, bounds) = &artwork { *bounds } else { Rect::ZERO };
    // Millimetres of the drawing as pixels of CSS, 96 to the inch.
    let px = |mm: f64| (mm / 25.4 * 96.0).ceil().max(1.0);
    let sized = format!("<svg width=\"{}\" height=\"{}\" ", px(size.width()), px(size.height()));
    let label = format!("aria-label=\"{ALTERNATIVE}\"");
    let parts = markup.trim_end().split_once(&label);
    let (before, after) = parts.ok_or_else(|| error!("bug-svg/nameless"))?;
    let before = before.replacen("<svg ", &sized, 1);
    Ok((format!("{before}aria-label=\""), format!("\"{after}")))
}

fn raster(bytes: &[u8], photo: bool) -> Result<Halves, String> {
    let pixels = drawing::picture(bytes).map_err(|finding| finding.message)?;
    let mut picture = match &pixels.alpha {
        None => RgbImage::from_raw(pixels.width, pixels.height, pixels.rgb).map(DynamicImage::from),
        Some(alpha) => {
            let rgba = pixels.rgb.chunks_exact(3).zip(alpha).flat_map(|(rgb, alpha)| rgb.iter().chain([alpha]).copied());
            RgbaImage::from_raw(pixels.width, pixels.height, rgba.collect()).map(DynamicImage::from)
        }
    }
    .ok_or(words!("pixels-are-not-complete"))?;
    if picture.width().max(picture.height()) > MOST {
        picture = picture.resize(MOST, MOST, FilterType::Lanczos3);
    }
    let mut bytes = Vec::new();
    let (kind, written) = if photo && !picture.color().has_alpha() {
        ("jpeg", picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, QUALITY)))
    } else {
        ("png", picture.write_with_encoder(PngEncoder::new(&mut bytes)))
    };
    written.map_err(|error| error.to_string())?;
    let (width, height, data) = (picture.width(), picture.height(), STANDARD.encode(bytes));
    let before = format!("<img src=\"data:image/{kind};base64,{data}\" width=\"{width}\" height=\"{height}\" alt=\"");
    Ok((before, "\">".into()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{ImageReader, Rgb};
    use std::io::Cursor;

    fn png(width: u32, height: u32) -> Vec<u8> {
        let mut bytes = Vec::new();
        let picture = RgbImage::from_fn(width, height, |x, _| Rgb(if x * 2 < width { [200, 20, 20] } else { [20, 20, 200] }));
        picture.write_with_encoder(PngEncoder::new(&mut bytes)).unwrap();
        bytes
    }

    fn decoded(illustration: &Halves) -> DynamicImage {
        let data = illustration.0.split("base64,").nth(1).unwrap().split('"').next().unwrap();
        ImageReader::new(Cursor::new(STANDARD.decode(data).unwrap())).with_guessed_format().unwrap().decode().unwrap()
    }

    #[test]
    fn large_pictures_become_smaller_and_stay_what_they_are() {
        let shown = illustration("a.png", &png(3200, 400)).unwrap();
        let picture = decoded(&shown).to_rgb8();
        assert_eq!((picture.width(), picture.height()), (1600, 200));
        assert_eq!((picture.get_pixel(10, 10).0, picture.get_pixel(1590, 190).0), ([200, 20, 20], [20, 20, 200]));
        assert!(shown.0.contains("width=\"1600\" height=\"200\"") && shown.0.ends_with("alt=\"") && shown.1 == "\">");
        let small = decoded(&illustration("a.png", &png(40, 30)).unwrap());
        assert_eq!((small.width(), small.height()), (40, 30));
    }

    #[test]
    fn photos_stand_upright_and_tell_nothing_of_their_camera() {
        let mut bytes = Vec::new();
        let picture = RgbImage::from_fn(60, 20, |x, _| Rgb(if x < 30 { [250, 250, 250] } else { [5, 5, 5] }));
        picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 95)).unwrap();
        // An Exif segment with nothing but the tag 0x0112, orientation 6: turned by a quarter (Exif 2.32, 4.6.4).
        let exif = b"\xff\xe1\x00\x22Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0";
        let turned = [&bytes[..2], exif, &bytes[2..]].concat();
        let shown = illustration("a.jpg", &turned).unwrap();
        let upright = decoded(&shown).to_luma8();
        assert_eq!((upright.width(), upright.height()), (20, 60));
        assert!(upright.get_pixel(10, 5).0[0] > 200 && upright.get_pixel(10, 55).0[0] < 60, "what was left is on top");
        let data = STANDARD
            .decode(shown.0.split("base64,").nth(1).unwrap().trim_end_matches("\" width=\"20\" height=\"60\" alt=\""))
            .unwrap();
        assert!(shown.0.starts_with("<img src=\"data:image/jpeg") && !data.windows(4).any(|bytes| bytes == b"Exif"));
    }

    #[test]
    fn drawings_stay_vector_and_the_rest_is_refused() {
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"96\" height=\"48\" viewBox=\"0 0 96 48\"><title>x</title>\
                   <path d=\"M0,0H96V48H0Z\" fill=\"none\" stroke=\"#000\"/></svg>";
        let shown = illustration("a.svg", svg.as_bytes()).unwrap();
        assert!(shown.0.starts_with("<svg width=\"") && shown.0.ends_with("aria-label=\""), "{}", shown.0);
        assert!(shown.1.starts_with("\">") && shown.1.ends_with("</svg>") && shown.1.contains("<path"), "{}", shown.1);
        let script = svg.replace("<title>x</title>", "<script>alert(1)</script>");
        assert!(illustration("a.svg", script.as_bytes()).is_err_and(|finding| finding.code == "picture-bad"));
        for bytes in [&b"GIF89a"[..], b"", b"\x89PNG", b"\xff\xd8\xff", b"<html>"] {
            assert_eq!(illustration("a", bytes).unwrap_err().code, "picture-bad");
        }
    }
}
