//! The structure of pressed PDFs as another library reads it: pages, labels, layers, forms, and the same bytes each time.

use super::{Pressable, three_sheets, wide};
use crate::plan::tests::sample::Sample;
use crate::press::{home_pdf, wide_pdf};
use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId, decode_text_string};
use std::collections::BTreeSet;

/// A PDF read back.
pub(super) struct Read {
    document: Document,
    pages: Vec<ObjectId>,
}

impl Read {
    pub(super) fn of(bytes: &[u8]) -> Self {
        let document = Document::load_mem(bytes).unwrap();
        let pages = document.page_iter().collect();
        Self { document, pages }
    }

    /// The operators of a page, from 0.
    pub(super) fn operations(&self, page: usize) -> Vec<Operation> {
        Content::decode(&self.document.get_page_content(self.pages[page])).unwrap().operations
    }

    /// The content of a piece's form, unpacked.
    pub(super) fn form(&self, page: usize, piece: usize) -> Vec<u8> {
        let id = self.objects(page).get(format!("P{piece}-0").as_bytes()).unwrap().as_reference().unwrap();
        self.document.get_object(id).unwrap().as_stream().unwrap().decompressed_content().unwrap()
    }

    /// The named objects of a page.
    fn objects(&self, page: usize) -> Dictionary {
        let page = self.document.get_dictionary(self.pages[page]).unwrap();
        self.dict(self.dict(page.get(b"Resources").unwrap()).get(b"XObject").unwrap()).clone()
    }

    fn dict<'a>(&'a self, object: &'a Object) -> &'a Dictionary {
        self.document.dereference(object).unwrap().1.as_dict().unwrap()
    }

    fn texts(&self, objects: &[Object], key: &[u8]) -> Vec<String> {
        objects.iter().map(|object| decode_text_string(self.dict(object).get(key).unwrap()).unwrap()).collect()
    }

    /// Names that a page paints, in order.
    fn painted(&self, page: usize) -> Vec<String> {
        let names = self.operations(page).into_iter().filter(|operation| operation.operator == "Do");
        names.map(|operation| String::from_utf8(operation.operands[0].as_name().unwrap().to_vec()).unwrap()).collect()
    }
}

/// A number of a content stream.
pub(super) fn number(object: &Object) -> f64 {
    object.as_float().map(f64::from).unwrap()
}

fn pressed_home(sample: &Sample) -> (Pressable, Read) {
    let pressable = Pressable::of(sample);
    let bytes = pressable.pressed(|job, layout| home_pdf(job, layout).unwrap().bytes);
    (pressable, Read::of(&bytes))
}

#[test]
fn page_labels_are_those_of_the_sheets() {
    // ISO 32000-1, 12.4.2: /Nums pairs the index of a page with its label.
    let (_, pdf) = pressed_home(&three_sheets());
    let labels = pdf.dict(pdf.document.catalog().unwrap().get(b"PageLabels").unwrap());
    let pairs = labels.get(b"Nums").unwrap().as_array().unwrap();
    let (indices, labels): (Vec<Object>, Vec<Object>) = pairs.chunks(2).map(|pair| (pair[0].clone(), pair[1].clone())).unzip();
    assert!(indices.iter().map(|index| index.as_i64().unwrap()).eq(0..4));
    assert_eq!(pdf.texts(&labels, b"P"), ["check", "A1", "A2", "A3"]);
    assert_eq!(pdf.pages.len(), 4);
}

#[test]
fn layers_carry_the_drawing_s_names_and_the_marks_come_last() {
    let (_, pdf) = pressed_home(&three_sheets());
    let properties = pdf.dict(pdf.document.catalog().unwrap().get(b"OCProperties").unwrap());
    let groups = properties.get(b"OCGs").unwrap().as_array().unwrap();
    assert_eq!(pdf.texts(groups, b"Name"), ["pattern", "size 0", "size 1", "frame and marks"]);
    let order = pdf.dict(properties.get(b"D").unwrap()).get(b"Order").unwrap().as_array().unwrap();
    assert_eq!(pdf.texts(order, b"Name"), pdf.texts(groups, b"Name"));
}

#[test]
fn a_piece_is_one_form_for_all_sheets_and_called_only_where_it_has_ink() {
    let (pressable, pdf) = pressed_home(&three_sheets());
    let mut forms = BTreeSet::new();
    for (index, sheet) in pressable.layout.sheets.iter().enumerate() {
        let page = index + 1;
        let wanted: Vec<String> = sheet.pieces.iter().map(|piece| format!("P{piece}-0")).chain([format!("M{page}")]).collect();
        assert_eq!(pdf.painted(page), wanted);
        let objects = pdf.objects(page);
        let held: BTreeSet<String> = objects.iter().map(|(key, _)| String::from_utf8(key.clone()).unwrap()).collect();
        assert_eq!(held, wanted.into_iter().collect());
        forms.insert(objects.get(b"P0-0").unwrap().as_reference().unwrap());
    }
    // The block lies on the first sheet, the line of a size on the last.
    assert_eq!(
        pressable.layout.sheets.iter().map(|sheet| sheet.pieces.as_slice()).collect::<Vec<_>>(),
        [&[0, 2][..], &[0], &[0, 1]]
    );
    assert_eq!(forms.len(), 1);
    assert_eq!(pdf.painted(0), ["M0"]);
}

#[test]
fn dashes_are_those_of_the_whole_line_on_every_sheet() {
    // One dash pattern in the one form; a page that set its own would start it again at its edge.
    let (_, pdf) = pressed_home(&three_sheets());
    let form = String::from_utf8(pdf.form(1, 0)).unwrap();
    assert_eq!(form.matches("[7 3 ] 2 d\n").count(), 1, "{form}");
    assert_eq!(form.matches(" m\n").count(), 1);
    for page in 1..4 {
        assert_eq!(pdf.form(page, 0), form.as_bytes());
        assert!(pdf.operations(page).iter().all(|operation| operation.operator != "d"), "page {page}");
    }
}

#[test]
fn the_same_bytes_come_out_on_every_run_and_any_number_of_threads() {
    let sample = three_sheets();
    let broad = Sample { setup: wide("a2"), ..three_sheets() };
    let press = || {
        let home = Pressable::of(&sample).pressed(|job, layout| home_pdf(job, layout).unwrap().bytes);
        let wide = Pressable::of(&broad)
            .pressed(|job, layout| (wide_pdf(job, layout).unwrap().bytes, crate::press::wide_svg(job, layout).unwrap()));
        (home, wide)
    };
    let once = press();
    for threads in [1, 2, 4] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        assert!(pool.install(press) == once, "{threads} threads");
    }
}
