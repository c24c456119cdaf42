//! Forms: a piece of the drawing, or a sheet's marks, as one reusable PDF object in millimetres, y down.

use super::content::Content;
use crate::drawing::{ImageShape, Item, Letter, PathShape, Piece, Pixels, Shape};
use crate::press::scene::{Inked, Scene};
use flate2::{Compression, write::ZlibEncoder};
use kurbo::{Affine, Rect};
use printpdf::{DictItem, ExternalStream, ExternalXObject, XObject};
use std::collections::BTreeMap;
use std::io::Write;

/// Air around a form's box, in mm, so that a reader's rounding never shaves a line.
const AIR_MM: f64 = 1.0;

/// How hard streams are packed, of 9.
const LEVEL: u32 = 5;

/// A run of a piece's items that are letters of one kind, or none.
pub struct Part {
    /// What its items are letters of.
    pub letter: Option<Letter>,
    /// Its form.
    pub form: XObject,
}

/// The forms of a piece, in paint order: letters stand apart, so that pages can tag them.
pub fn piece(piece: &Piece) -> Vec<Part> {
    let runs = piece.items.chunk_by(|one, other| one.letter == other.letter);
    runs.map(|run| Part { letter: run.first().and_then(|item| item.letter), form: items(run) }).collect()
}

fn items(items: &[Item]) -> XObject {
    let mut form = Form::default();
    items.iter().for_each(|item| form.item(item));
    form.finish(items.iter().map(|item| item.bounds).reduce(|all, bounds| all.union(bounds)).unwrap_or_default())
}

/// The form of a scene's lines and pictures; its words are set on the page.
pub fn scene(scene: &Scene, sheet: Rect) -> XObject {
    let mut form = Form::default();
    scene.strokes.iter().for_each(|inked| form.inked(inked));
    scene.pictures.iter().for_each(|picture| form.image(&picture.pixels, picture.placement));
    form.finish(sheet)
}

/// Content and resources of a form in the making.
#[derive(Default)]
struct Form {
    content: Content,
    states: BTreeMap<String, DictItem>,
    objects: BTreeMap<String, DictItem>,
}

impl Form {
    fn item(&mut self, item: &Item) {
        self.content.save();
        for clip in &item.clips {
            self.content.path(&clip.path);
            self.content.clip(clip.even_odd);
        }
        match &item.shape {
            Shape::Path(shape) => self.path(shape),
            Shape::Image(ImageShape { pixels, placement, opacity }) => {
                self.opacity(*opacity);
                self.image(pixels, *placement);
            }
        }
        self.content.restore();
    }

    fn path(&mut self, shape: &PathShape) {
        if shape.stroke_first {
            self.stroke_path(shape);
            self.fill_path(shape);
        } else {
            self.fill_path(shape);
            self.stroke_path(shape);
        }
    }

    fn fill_path(&mut self, shape: &PathShape) {
        let Some(fill) = shape.fill else { return };
        self.opacity(fill.opacity);
        self.content.fill_colour(fill.colour);
        self.content.path(&shape.path);
        self.content.fill(fill.even_odd);
    }

    fn stroke_path(&mut self, shape: &PathShape) {
        let Some(stroke) = &shape.stroke else { return };
        self.opacity(stroke.opacity);
        self.content.stroke_colour(stroke.colour);
        self.content.stroke_style(&stroke.style);
        self.content.path(&shape.path);
        self.content.stroke();
    }

    fn inked(&mut self, inked: &Inked) {
        if let Some(colour) = inked.fill {
            self.content.fill_colour(colour);
            self.content.path(&inked.path);
            self.content.fill(inked.even_odd);
        }
        if let Some((colour, style)) = &inked.line {
            self.content.stroke_colour(*colour);
            self.content.stroke_style(style);
            self.content.path(&inked.path);
            self.content.stroke();
        }
    }

    /// Paints a picture; a PDF image fills the unit square with its foot at 0, hence the flip.
    fn image(&mut self, pixels: &Pixels, placement: Affine) {
        let name = format!("I{}", self.objects.len());
        self.objects.insert(name.clone(), DictItem::Stream { stream: picture(pixels) });
        self.content.save();
        self.content.transform(placement * Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 1.0]));
        self.content.paint_object(&name);
        self.content.restore();
    }

    /// Sets the opacity; inside `q … Q` full opacity needs no word, unless fill and stroke differ.
    fn opacity(&mut self, opacity: f64) {
        if opacity >= 1.0 && self.states.is_empty() {
            return;
        }
        let thousandths = (opacity.clamp(0.0, 1.0) * 1000.0).round();
        let name = format!("G{thousandths}");
        let value = DictItem::Real((thousandths / 1000.0) as f32);
        let state = dict([("Type", name_item("ExtGState")), ("ca", value.clone()), ("CA", value)]);
        self.states.insert(name.clone(), DictItem::Dict { map: state });
        self.content.graphics_state(&name);
    }

    fn finish(self, bounds: Rect) -> XObject {
        let resources =
            dict([("ExtGState", DictItem::Dict { map: self.states }), ("XObject", DictItem::Dict { map: self.objects })]);
        let air = bounds.inflate(AIR_MM, AIR_MM);
        let corners = [air.x0, air.y0, air.x1, air.y1].map(|value| DictItem::Real(value as f32));
        let entries = dict([
            ("Type", name_item("XObject")),
            ("Subtype", name_item("Form")),
            ("FormType", DictItem::Int(1)),
            ("BBox", DictItem::Array(corners.to_vec())),
            ("Resources", DictItem::Dict { map: resources }),
        ]);
        let stream = deflated(entries, &self.content.into_bytes());
        XObject::External(ExternalXObject { stream, width: None, height: None, dpi: None })
    }
}

/// A picture as an image object, in greys if it holds no colour, its transparency as a soft mask.
fn picture(pixels: &Pixels) -> ExternalStream {
    let image = |space: &str| {
        dict([
            ("Type", name_item("XObject")),
            ("Subtype", name_item("Image")),
            ("Width", DictItem::Int(i64::from(pixels.width))),
            ("Height", DictItem::Int(i64::from(pixels.height))),
            ("BitsPerComponent", DictItem::Int(8)),
            ("ColorSpace", name_item(space)),
        ])
    };
    let grey = pixels.rgb.chunks(3).all(|rgb| matches!(rgb, [r, g, b] if r == g && g == b));
    let mut entries = image(if grey { "DeviceGray" } else { "DeviceRGB" });
    if let Some(alpha) = &pixels.alpha {
        entries.insert("SMask".into(), DictItem::Stream { stream: deflated(image("DeviceGray"), alpha) });
    }
    if grey {
        deflated(entries, &pixels.rgb.iter().copied().step_by(3).collect::<Vec<_>>())
    } else {
        deflated(entries, &pixels.rgb)
    }
}

/// A stream that is packed already, so that printpdf leaves its bytes alone.
fn deflated(mut dict: BTreeMap<String, DictItem>, bytes: &[u8]) -> ExternalStream {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(LEVEL));
    // Writing to memory cannot fail; were it to, the raw bytes are still right.
    let packed = encoder.write_all(bytes).and_then(|()| encoder.finish());
    let content = match packed {
        Ok(packed) => {
            dict.insert("Filter".into(), name_item("FlateDecode"));
            packed
        }
        Err(_) => bytes.to_vec(),
    };
    ExternalStream { dict, content, compress: false }
}

fn name_item(name: &str) -> DictItem {
    DictItem::Name(name.as_bytes().to_vec())
}

fn dict<const N: usize>(entries: [(&str, DictItem); N]) -> BTreeMap<String, DictItem> {
    entries.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}
