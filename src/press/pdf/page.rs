//! Pages: which forms they show under which clip and layer, and the words set on top.

use super::font::{Fonts, font_id};
use super::{Content, tags};
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
    /// What helps to find the page and to hear it.
    pub extras: Extras,
}

/// What helps to find a page and to hear it.
#[derive(Clone, Debug, Default)]
pub struct Extras {
    /// Its bookmark.
    pub title: String,
    /// The bookmark that it stands beneath, if any.
    pub row: Option<String>,
    /// What it shows, for those who cannot see it.
    pub alt: String,
    /// Colour of the whole page, where it is not that of paper.
    pub ground: Option<Colour>,
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

    /// The page for printpdf.
    pub(super) fn pressed(&self, index: usize, content: &Content, fonts: &mut Fonts<'_>) -> PdfPage {
        let mut ops: Vec<Op> = self.extras.ground.map(|ground| self.ground_ops(ground)).unwrap_or_default();
        ops.extend(self.drawing.iter().flat_map(|view| tags::figure(self.view_ops(view, content))));
        // Layers stand within tags, never around them: Ghostscript ends a layer at the first end of anything within it.
        let marks = [Op::SaveGraphicsState, self.to_sheet(Vec2::ZERO), show(marks_id(index)), Op::RestoreGraphicsState];
        let marks = content.begin_marks().into_iter().chain(marks).chain(content.end_marks()).collect();
        ops.extend(if self.drawing.is_some() { tags::artifact(marks) } else { tags::figure(marks) });
        ops.extend(self.text_ops(content, fonts));
        let unit = self.user_unit();
        let boxed = printpdf::Rect::from_wh(points(self.size.width.to_pt() / unit), points(self.size.height.to_pt() / unit));
        PdfPage { media_box: boxed.clone(), trim_box: boxed.clone(), crop_box: boxed, ops }
    }

    /// The whole page in one colour.
    fn ground_ops(&self, ground: Colour) -> Vec<Op> {
        let whole = Rect::new(0.0, 0.0, self.size.width.to_mm(), self.size.height.to_mm());
        let rectangle = self.rectangle(whole, PaintMode::Fill);
        tags::artifact(vec![
            Op::SaveGraphicsState,
            Op::SetFillColor { col: colour(ground) },
            Op::DrawRectangle { rectangle },
            Op::RestoreGraphicsState,
        ])
    }

    fn view_ops(&self, view: &View, content: &Content) -> Vec<Op> {
        let mut ops = vec![Op::SaveGraphicsState, self.clip(view.clip), self.to_sheet(view.shift)];
        for &piece in &view.pieces {
            for (index, part) in content.grounds(piece).iter().enumerate() {
                ops.extend(tags::lettered(part.letter, vec![show(ground_id(piece, index))]));
            }
        }
        let parts =
            |piece: usize| content.parts(piece).iter().enumerate().map(move |(index, part)| (piece, index, part.letter));
        let shown = view.pieces.iter().flat_map(|&piece| parts(piece));
        let shown: Vec<_> = shown.map(|(piece, index, of)| ((content.layer_of)(piece), of, piece_id(piece, index))).collect();
        for run in shown.chunk_by(|one, other| (one.0, one.1) == (other.0, other.1)) {
            let Some(&(layer, letter, _)) = run.first() else { continue };
            let open = layer.map(|layer| Op::BeginLayer { layer_id: layer_id(layer) });
            let forms = run.iter().map(|(.., id)| show(id.clone()));
            ops.extend(tags::lettered(letter, open.into_iter().chain(forms).chain(layer.map(|_| Op::EndLayer)).collect()));
        }
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
        Op::DrawRectangle { rectangle: self.rectangle(area, PaintMode::Clip) }
    }

    fn rectangle(&self, area: Rect, mode: PaintMode) -> printpdf::Rect {
        let k = self.units_per_mm();
        printpdf::Rect {
            x: points(area.x0 * k),
            y: points((self.size.height.to_mm() - area.y1) * k),
            width: points(area.width() * k),
            height: points(area.height() * k),
            mode: Some(mode),
            winding_order: Some(WindingOrder::NonZero),
        }
    }

    /// All words, each passage marked as what it is.
    fn text_ops(&self, content: &Content, fonts: &mut Fonts<'_>) -> Vec<Op> {
        let mut ops = Vec::new();
        let mut open = None;
        for (index, words) in self.marks.words.iter().enumerate() {
            let passage = self.marks.passages.iter().enumerate().find(|(_, passage)| passage.words.contains(&index));
            let number = passage.map(|(number, _)| number);
            if open != Some(number) {
                match open {
                    Some(_) => ops.extend(content.end_marks().into_iter().chain([Op::EndMarkedContent])),
                    None => ops.push(Op::StartTextSection),
                }
                ops.extend([tags::open(passage)].into_iter().chain(content.begin_marks()));
                open = Some(number);
            }
            ops.extend(self.words_ops(words, fonts));
        }
        if open.is_some() {
            ops.extend(content.end_marks().into_iter().chain([Op::EndMarkedContent, Op::EndTextSection]));
        }
        ops
    }

    /// A rectangle of the sheet, in mm, as left, bottom, right and top in the page's own space.
    pub(super) fn units_of(&self, area: Rect) -> [f64; 4] {
        let (k, height) = (self.units_per_mm(), self.size.height.to_mm());
        [area.x0 * k, (height - area.y1) * k, area.x1 * k, (height - area.y0) * k]
    }

    /// Where the page's figure lies, in the page's own space.
    pub(super) fn figure_units(&self) -> [f64; 4] {
        let whole = Rect::new(0.0, 0.0, self.size.width.to_mm(), self.size.height.to_mm());
        self.units_of(self.drawing.as_ref().map_or(whole, |view| view.clip))
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

/// The resource name of one of a piece's forms.
pub(super) fn piece_id(piece: usize, part: usize) -> XObjectId {
    XObjectId(format!("P{piece}-{part}"))
}

/// The resource name of a form that lies beneath a piece, and all others.
pub(super) fn ground_id(piece: usize, part: usize) -> XObjectId {
    XObjectId(format!("G{piece}-{part}"))
}

/// What a resource that belongs to one of some pieces begins with.
pub(super) fn beginnings(pieces: &[usize]) -> Vec<String> {
    pieces.iter().flat_map(|piece| [format!("P{piece}-"), format!("G{piece}-")]).collect()
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
