//! SVG files: the drawing with named layers and kitwright's marks, in millimetres, as general-purpose editors read them.

use super::decimal;
use super::faces::Faces;
use super::scene::{Inked, Picture, Scene, Words};
use crate::drawing::{Drawing, ImageShape, Item, PathShape, Pixels, Shape, Stroke};
use crate::manifest::Colour;
use base64::{Engine, engine::general_purpose::STANDARD};
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use kurbo::{Affine, BezPath, Cap, Join, PathEl, Point, Vec2};
use quick_xml::Writer;
use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};
use std::io;

/// An SVG document in the making.
pub(super) struct Svg {
    writer: Writer<Vec<u8>>,
    clips: usize,
}

impl Svg {
    /// Opens a document of a size in mm; one user unit is one millimetre.
    pub(super) fn open(width: f64, height: f64, title: &str, language: &str) -> io::Result<Self> {
        let mut svg = Self { writer: Writer::new(Vec::new()), clips: 0 };
        let (w, h) = (number(width), number(height));
        svg.start(
            "svg",
            &[
                ("xmlns", "http://www.w3.org/2000/svg"),
                ("xmlns:xlink", "http://www.w3.org/1999/xlink"),
                ("xmlns:inkscape", "http://www.inkscape.org/namespaces/inkscape"),
                ("xmlns:sodipodi", "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"),
                ("width", &format!("{w}mm")),
                ("height", &format!("{h}mm")),
                ("viewBox", &format!("0 0 {w} {h}")),
                ("xml:lang", language),
            ],
        )?;
        svg.start("title", &[])?;
        svg.writer.write_event(Event::Text(BytesText::new(title)))?;
        svg.end("title")?;
        Ok(svg)
    }

    /// Closes the document and gives its bytes.
    pub(super) fn close(mut self) -> io::Result<Vec<u8>> {
        self.end("svg")?;
        let mut bytes = self.writer.into_inner();
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// Opens a layer; a locked one cannot be moved by accident. `data-kitwright` tells our own frame from a drawing.
    pub(super) fn open_layer(&mut self, id: &str, name: &str, locked: bool) -> io::Result<()> {
        let mut attributes = vec![("id", id), ("data-name", name), ("inkscape:groupmode", "layer"), ("inkscape:label", name)];
        if locked {
            attributes.extend([("sodipodi:insensitive", "true"), ("data-kitwright", "frame")]);
        }
        self.start("g", &attributes)
    }

    /// Begins a part of a document that others put together.
    pub(super) const fn fragment() -> Self {
        Self { writer: Writer::new(Vec::new()), clips: 0 }
    }

    /// The text of a part.
    pub(super) fn into_text(self) -> io::Result<String> {
        String::from_utf8(self.writer.into_inner()).map_err(io::Error::other)
    }

    /// Puts in what another part has written.
    pub(super) fn raw(&mut self, markup: &str) {
        self.writer.get_mut().extend_from_slice(markup.as_bytes());
    }

    /// Opens a group; [`Self::close_layer`] closes it.
    pub(super) fn group(&mut self, attributes: &[(&str, &str)]) -> io::Result<()> {
        self.start("g", attributes)
    }

    /// Opens a small picture for a page, named for those who hear it, in units of its own.
    pub(super) fn open_inline(bounds: kurbo::Rect, name: &str) -> io::Result<Self> {
        let mut svg = Self { writer: Writer::new(Vec::new()), clips: 0 };
        let frame = format!("0 0 {} {}", number(bounds.width()), number(bounds.height()));
        svg.start("svg", &[("viewBox", &frame), ("role", "img"), ("aria-label", name)])?;
        Ok(svg)
    }

    /// A named rectangle, of a line's width in mm.
    pub(super) fn outline(&mut self, id: &str, area: kurbo::Rect, width: f64, colour: Colour) -> io::Result<()> {
        let attributes = [("x", area.x0), ("y", area.y0), ("width", area.width()), ("height", area.height())];
        let mut all: Vec<(&str, String)> = attributes.map(|(key, value)| (key, number(value))).to_vec();
        all.extend([("id", id.to_owned()), ("fill", "none".to_owned())]);
        all.extend([("stroke", hex(colour)), ("stroke-width", number(width))]);
        self.empty_owned("rect", &all)
    }

    /// Closes a layer.
    pub(super) fn close_layer(&mut self) -> io::Result<()> {
        self.end("g")
    }

    /// The whole drawing, moved, a layer of its own for each of its layers.
    pub(super) fn drawing(&mut self, drawing: &Drawing, shift: Vec2) -> io::Result<()> {
        let mut open: Option<usize> = None;
        let mut runs = 0;
        for piece in &drawing.pieces {
            if open != Some(piece.layer) {
                open.map_or(Ok(()), |_| self.close_layer())?;
                let name = drawing.layers.get(piece.layer).map_or("", |layer| layer.name.as_str());
                self.open_layer(&format!("layer-{runs}"), name, false)?;
                (open, runs) = (Some(piece.layer), runs + 1);
            }
            let name: Vec<(&str, &str)> = piece.name.iter().map(|name| ("inkscape:label", name.as_str())).collect();
            self.start("g", &name)?;
            piece.items.iter().try_for_each(|item| self.item(item, shift))?;
            self.end("g")?;
        }
        open.map_or(Ok(()), |_| self.close_layer())
    }

    /// White paper beneath all that follows.
    pub(super) fn paper(&mut self, width: f64, height: f64) -> io::Result<()> {
        self.empty("rect", &[("width", &number(width)), ("height", &number(height)), ("fill", "#ffffff")])
    }

    /// Some pieces of the drawing, moved, as far as they lie within a rectangle.
    pub(super) fn part(&mut self, drawing: &Drawing, pieces: &[usize], shift: Vec2, within: kurbo::Rect) -> io::Result<()> {
        self.clips += 1;
        let id = format!("clip-{}", self.clips);
        self.start("clipPath", &[("id", &id)])?;
        self.empty("path", &[("d", &path_data(&kurbo::Shape::to_path(&within, 0.1), Vec2::ZERO))])?;
        self.end("clipPath")?;
        self.start("g", &[("clip-path", &format!("url(#{id})"))])?;
        let items = pieces.iter().filter_map(|&piece| drawing.pieces.get(piece)).flat_map(|piece| &piece.items);
        items.into_iter().try_for_each(|item| self.item(item, shift))?;
        self.end("g")
    }

    /// A scene, moved; words become outlines, so that no font is needed.
    pub(super) fn scene(&mut self, scene: &Scene, shift: Vec2, faces: &Faces) -> io::Result<()> {
        self.artwork(scene, shift)?;
        scene.words.iter().try_for_each(|words| self.words(words, shift, faces))
    }

    /// The lines and pictures of a scene, moved.
    pub(super) fn artwork(&mut self, scene: &Scene, shift: Vec2) -> io::Result<()> {
        scene.strokes.iter().try_for_each(|inked| self.inked(inked, shift))?;
        scene.pictures.iter().try_for_each(|picture| self.picture(picture, shift))
    }

    /// One painted thing of the drawing, moved.
    pub(super) fn item(&mut self, item: &Item, shift: Vec2) -> io::Result<()> {
        for clip in &item.clips {
            self.clips += 1;
            let id = format!("clip-{}", self.clips);
            let rule = if clip.even_odd { "evenodd" } else { "nonzero" };
            self.start("clipPath", &[("id", &id)])?;
            self.empty("path", &[("d", &path_data(&clip.path, shift)), ("clip-rule", rule)])?;
            self.end("clipPath")?;
            self.start("g", &[("clip-path", &format!("url(#{id})"))])?;
        }
        match &item.shape {
            Shape::Path(path) => self.path(path, shift)?,
            Shape::Image(ImageShape { pixels, placement, opacity }) => {
                self.image(pixels, Affine::translate(shift) * *placement, *opacity)?;
            }
        }
        item.clips.iter().try_for_each(|_| self.end("g"))
    }

    fn path(&mut self, path: &PathShape, shift: Vec2) -> io::Result<()> {
        let mut attributes = vec![("d", path_data(&path.path, shift)), ("fill", "none".to_owned())];
        if let Some(fill) = path.fill {
            attributes.pop();
            attributes.extend([("fill", hex(fill.colour)), ("fill-opacity", number(fill.opacity))]);
            attributes.push(("fill-rule", if fill.even_odd { "evenodd" } else { "nonzero" }.to_owned()));
        }
        if let Some(stroke) = &path.stroke {
            attributes.extend(stroke_attributes(&stroke.style, stroke.colour));
            attributes.push(("stroke-opacity", number(stroke.opacity)));
        }
        if path.stroke_first {
            attributes.push(("paint-order", "stroke".to_owned()));
        }
        self.empty_owned("path", &attributes)
    }

    /// A path of a scene, moved.
    pub(super) fn inked(&mut self, inked: &Inked, shift: Vec2) -> io::Result<()> {
        let fill = inked.fill.map_or("none".to_owned(), hex);
        let mut attributes = vec![("d", path_data(&inked.path, shift)), ("fill", fill)];
        if inked.even_odd {
            attributes.push(("fill-rule", "evenodd".to_owned()));
        }
        if let Some((colour, style)) = &inked.line {
            attributes.extend(stroke_attributes(style, *colour));
        }
        self.empty_owned("path", &attributes)
    }

    fn words(&mut self, words: &Words, shift: Vec2, faces: &Faces) -> io::Result<()> {
        let outlines = path_data(&faces.outlines(words), shift);
        self.empty("path", &[("d", &outlines), ("fill", &hex(words.colour)), ("aria-label", &words.text)])
    }

    /// The outlines of letters alone, for a picture that is described elsewhere.
    pub(super) fn letters(&mut self, outlines: &BezPath, colour: Colour) -> io::Result<()> {
        self.empty("path", &[("d", &path_data(outlines, Vec2::ZERO)), ("fill", &hex(colour))])
    }

    /// A picture of a scene, moved.
    pub(super) fn picture(&mut self, picture: &Picture, shift: Vec2) -> io::Result<()> {
        self.image(&picture.pixels, Affine::translate(shift) * picture.placement, 1.0)
    }

    fn image(&mut self, pixels: &Pixels, placement: Affine, opacity: f64) -> io::Result<()> {
        let matrix = placement.as_coeffs().map(|value| format!("{value:.6}")).join(" ");
        let source = format!("data:image/png;base64,{}", STANDARD.encode(png(pixels)?));
        self.empty_owned(
            "image",
            &[
                ("width", "1".to_owned()),
                ("height", "1".to_owned()),
                ("preserveAspectRatio", "none".to_owned()),
                ("transform", format!("matrix({matrix})")),
                ("opacity", number(opacity)),
                ("xlink:href", source),
            ],
        )
    }

    fn start(&mut self, name: &str, attributes: &[(&str, &str)]) -> io::Result<()> {
        self.writer.write_event(Event::Start(BytesStart::new(name).with_attributes(attributes.iter().copied())))
    }

    fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) -> io::Result<()> {
        self.writer.write_event(Event::Empty(BytesStart::new(name).with_attributes(attributes.iter().copied())))
    }

    fn empty_owned(&mut self, name: &str, attributes: &[(&str, String)]) -> io::Result<()> {
        let borrowed: Vec<(&str, &str)> = attributes.iter().map(|(key, value)| (*key, value.as_str())).collect();
        self.empty(name, &borrowed)
    }

    fn end(&mut self, name: &str) -> io::Result<()> {
        self.writer.write_event(Event::End(BytesEnd::new(name)))
    }
}

fn stroke_attributes(style: &kurbo::Stroke, colour: Colour) -> Vec<(&'static str, String)> {
    let cap = match style.start_cap {
        Cap::Butt => "butt",
        Cap::Round => "round",
        Cap::Square => "square",
    };
    let join = match style.join {
        Join::Miter => "miter",
        Join::Round => "round",
        Join::Bevel => "bevel",
    };
    let mut attributes = vec![
        ("stroke", hex(colour)),
        ("stroke-width", number(style.width)),
        ("stroke-linecap", cap.to_owned()),
        ("stroke-linejoin", join.to_owned()),
        ("stroke-miterlimit", number(style.miter_limit)),
    ];
    if !style.dash_pattern.is_empty() {
        attributes
            .push(("stroke-dasharray", style.dash_pattern.iter().map(|&dash| number(dash)).collect::<Vec<_>>().join(" ")));
        attributes.push(("stroke-dashoffset", number(style.dash_offset)));
    }
    attributes
}

/// A sample of a line for a page, true to size, hidden from those who hear the page: the name stands beside it.
pub(super) fn size_sample(stroke: Option<&Stroke>) -> String {
    let line = stroke.map(|stroke| {
        let attributes = stroke_attributes(&stroke.style, stroke.colour).into_iter();
        let attributes: String = attributes.map(|(key, value)| format!(" {key}=\"{value}\"")).collect();
        format!("<path d=\"M0 2H36\" fill=\"none\"{attributes}/>")
    });
    let line = line.unwrap_or_default();
    format!("<svg class=\"sample\" viewBox=\"0 0 36 4\" width=\"136\" height=\"15\" aria-hidden=\"true\">{line}</svg>")
}

/// Path data with four decimals of a millimetre.
pub(super) fn path_data(path: &BezPath, shift: Vec2) -> String {
    let mut data = Vec::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => points(&mut data, b'M', &[p], shift),
            PathEl::LineTo(p) => points(&mut data, b'L', &[p], shift),
            PathEl::QuadTo(c, p) => points(&mut data, b'Q', &[c, p], shift),
            PathEl::CurveTo(a, b, p) => points(&mut data, b'C', &[a, b, p], shift),
            PathEl::ClosePath => data.push(b'Z'),
        }
    }
    String::from_utf8(data).unwrap_or_default()
}

fn points(data: &mut Vec<u8>, letter: u8, points: &[Point], shift: Vec2) {
    for (blank, p) in [letter].into_iter().chain(std::iter::repeat(b' ')).zip(points) {
        data.push(blank);
        decimal::push_exact(data, p.x + shift.x);
        data.push(b' ');
        decimal::push_exact(data, p.y + shift.y);
    }
}

/// A number with at most four decimals.
pub(super) fn number(value: f64) -> String {
    let mut text = Vec::new();
    decimal::push_exact(&mut text, value);
    String::from_utf8(text).unwrap_or_default()
}

fn hex(colour: Colour) -> String {
    format!("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue)
}

/// Pixels as a PNG file.
fn png(pixels: &Pixels) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    let (w, h) = (pixels.width, pixels.height);
    let written = match &pixels.alpha {
        None => encoder.write_image(&pixels.rgb, w, h, ExtendedColorType::Rgb8),
        Some(alpha) => {
            let rgba: Vec<u8> = pixels.rgb.chunks(3).zip(alpha).flat_map(|(rgb, a)| rgb.iter().copied().chain([*a])).collect();
            encoder.write_image(&rgba, w, h, ExtendedColorType::Rgba8)
        }
    };
    written.map_err(io::Error::other)?;
    Ok(bytes)
}
