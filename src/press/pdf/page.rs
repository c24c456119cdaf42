//! Pages: which forms they show under which clip and layer, and the words set on top.

use super::font::{Fonts, font_id};
use crate::manifest::Colour;
use crate::press::scene::{Scene, Words};
use crate::units::{Length, Size};
use kurbo::{Rect, Vec2};
use printpdf::{
    Codepoint, Color, CurTransMat, Greyscale, LayerInternalId, Op, PaintMode, PdfFontHandle, PdfPage, Pt, Rgb, TextItem,
    TextMatrix, WindingOrder, XObjectId, XObjectTransform,
};

/// The largest side of a page in PDF units (ISO 32000-1, annex C: 14,400, that is 200 in).
const LARGEST_UNITS: f64 = 14_400.0;

/// One page to be written.
#[derive(Clone, Debug)]
pub struct Page {
    /// Size of the paper.
    pub size: Size,
    /// Page label, as viewers show it in place of the page's number.
    pub label: String,
    /// The part of the drawing on it, if any.
    pub drawing: Option<View>,
    /// Everything that kitwright adds, in mm on the sheet.
    pub marks: Scene,
}

/// A part of the drawing on a page.
#[derive(Clone, Debug)]
pub struct View {
    /// Pieces to show, in paint order.
    pub pieces: Vec<usize>,
    /// From the drawing's mm to the sheet's mm.
    pub shift: Vec2,
    /// The rectangle of the sheet, in mm, that the drawing is clipped to.
    pub clip: Rect,
}

impl Page {
    /// How many points one unit of this page's space is: 1, and more only for a page over 200 in.
    pub(super) fn user_unit(&self) -> f64 {
        (self.size.width.max(self.size.height).to_pt() / LARGEST_UNITS).ceil().max(1.0)
    }

    /// Units of this page's space in one mm.
    fn units_per_mm(&self) -> f64 {
        Length::mm(1.0).to_pt() / self.user_unit()
    }

    /// The page for printpdf; `layer_of` gives the layer of a piece.
    pub(super) fn pressed(&self, index: usize, layer_of: &dyn Fn(usize) -> usize, fonts: &mut Fonts<'_>) -> PdfPage {
        let mut ops = self.drawing.as_ref().map(|view| self.view_ops(view, layer_of)).unwrap_or_default();
        ops.push(Op::BeginLayer { layer_id: marks_layer_id() });
        ops.extend([Op::SaveGraphicsState, self.to_sheet(Vec2::ZERO), show(marks_id(index)), Op::RestoreGraphicsState]);
        if !self.marks.words.is_empty() {
            ops.push(Op::StartTextSection);
            self.marks.words.iter().for_each(|words| ops.extend(self.words_ops(words, fonts)));
            ops.push(Op::EndTextSection);
        }
        ops.push(Op::EndLayer);
        let unit = self.user_unit();
        let boxed = printpdf::Rect::from_wh(points(self.size.width.to_pt() / unit), points(self.size.height.to_pt() / unit));
        PdfPage { media_box: boxed.clone(), trim_box: boxed.clone(), crop_box: boxed, ops }
    }

    fn view_ops(&self, view: &View, layer_of: &dyn Fn(usize) -> usize) -> Vec<Op> {
        let mut ops = vec![Op::SaveGraphicsState, self.clip(view.clip), self.to_sheet(view.shift)];
        let mut open = None;
        for &piece in &view.pieces {
            let layer = layer_of(piece);
            if open != Some(layer) {
                ops.extend(open.map(|_| Op::EndLayer));
                ops.push(Op::BeginLayer { layer_id: layer_id(layer) });
                open = Some(layer);
            }
            ops.push(show(piece_id(piece)));
        }
        ops.extend(open.map(|_| Op::EndLayer));
        ops.push(Op::RestoreGraphicsState);
        ops
    }

    /// The matrix from millimetres, y down, to the page's own space, y up.
    fn to_sheet(&self, shift: Vec2) -> Op {
        let k = self.units_per_mm();
        let (x, y) = (shift.x * k, (self.size.height.to_mm() - shift.y) * k);
        Op::SetTransformationMatrix { matrix: CurTransMat::Raw([k, 0.0, 0.0, -k, x, y].map(|value| value as f32)) }
    }

    fn clip(&self, area: Rect) -> Op {
        let k = self.units_per_mm();
        let rectangle = printpdf::Rect {
            x: points(area.x0 * k),
            y: points((self.size.height.to_mm() - area.y1) * k),
            width: points(area.width() * k),
            height: points(area.height() * k),
            mode: Some(PaintMode::Clip),
            winding_order: Some(WindingOrder::NonZero),
        };
        Op::DrawRectangle { rectangle }
    }

    fn words_ops(&self, words: &Words, fonts: &mut Fonts<'_>) -> Vec<Op> {
        let k = self.units_per_mm();
        let letters = fonts.letters(words);
        let mut ops = vec![Op::SetFillColor { col: colour(words.colour) }];
        let mut font = None;
        for glyph in letters.glyphs {
            if font.replace(glyph.font) != Some(glyph.font) {
                let handle = PdfFontHandle::External(font_id(glyph.font));
                ops.push(Op::SetFont { font: handle, size: points(letters.size * k) });
            }
            let up = self.size.height.to_mm() - letters.at.y;
            let at = (letters.at.x + glyph.x * letters.size, up + glyph.y * letters.size);
            ops.push(Op::SetTextMatrix { matrix: TextMatrix::Translate(points(at.0 * k), points(at.1 * k)) });
            let letter = Codepoint { gid: glyph.id, offset: 0.0, cid: Some(glyph.text) };
            ops.push(Op::ShowText { items: vec![TextItem::GlyphIds(vec![letter])] });
        }
        ops
    }
}

/// The resource name of a piece's form.
pub(super) fn piece_id(piece: usize) -> XObjectId {
    XObjectId(format!("P{piece}"))
}

/// The resource name of the form with a page's marks.
pub(super) fn marks_id(page: usize) -> XObjectId {
    XObjectId(format!("M{page}"))
}

/// The resource name of a layer; names sort in the layers' order.
pub(super) fn layer_id(layer: usize) -> LayerInternalId {
    LayerInternalId(format!("L{layer:04}"))
}

/// The resource name of the layer that holds everything kitwright adds; it sorts last.
pub(super) fn marks_layer_id() -> LayerInternalId {
    LayerInternalId("M".into())
}

fn show(id: XObjectId) -> Op {
    Op::UseXobject { id, transform: XObjectTransform::default() }
}

fn points(value: f64) -> Pt {
    Pt(value as f32)
}

fn colour(colour: Colour) -> Color {
    let part = |value: u8| f32::from(value) / 255.0;
    if colour.red == colour.green && colour.green == colour.blue {
        return Color::Greyscale(Greyscale { percent: part(colour.red), icc_profile: None });
    }
    Color::Rgb(Rgb { r: part(colour.red), g: part(colour.green), b: part(colour.blue), icc_profile: None })
}
