//! A font at work, as in a kit: tried out, the brand's words on a sheet, and the words of a drawing.

use kitwright::catalogue::Messages;
use kitwright::drawing::{self, Drawing, FontFile, Request, Resources};
use kitwright::manifest::{self, Kit};
use kitwright::plan::{Layout, blank_layouts};
use kitwright::press::{Faces, Font, Forms, Job, bounded, sheet_pdf, supplied};
use std::sync::LazyLock;

const KIT: &str = "name: a\ntitle: Tansy fi ffl\npublisher: Ä 40–48 (½)\nedition: 1.0.0\ndate: 2026-11-20\ncopyright: AB\n\
    papers: [a4]\nlanguages: [en]\nblank: {rows: 1, columns: 1}\n";
const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"><g id="a">
<text x="5" y="20" font-family="Made" font-weight="700" font-size="8">Tansy ABab Ä 40</text><text y="50" font-family="Noto Sans">fi</text></g></svg>"#;

/// A kit of one blank sheet.
struct Sheet {
    kit: Kit,
    drawing: Drawing,
    layout: Layout,
    messages: Messages,
}

static SHEET: LazyLock<Sheet> = LazyLock::new(|| {
    let document = manifest::parse("kit.yaml", KIT).0.expect("YAML");
    let (kit, findings) = manifest::kit(&document, None);
    let kit = kit.unwrap_or_else(|| panic!("{findings:?}"));
    let drawing = Drawing::blank(&kit);
    let layout = blank_layouts(&kit, &drawing, kit.blank.expect("blank")).remove(0);
    Sheet { kit, drawing, layout, messages: Messages::builtin("en").expect("English") }
});

/// Opens a font in all the ways that a kit may use it.
pub fn open(bytes: &[u8]) {
    let texts = [SHEET.kit.title.clone(), SHEET.kit.publisher.clone()];
    if let Ok(font) = supplied("it.ttf", bytes.to_vec(), &texts) {
        press(font);
    }
    if bounded("it.ttf", bytes).is_err() {
        return;
    }
    let fonts = Fonts([FontFile { name: "it.ttf".into(), bytes: bytes.to_vec() }]);
    drop(drawing::read(DRAWING.as_bytes(), &Request::plain("a.svg"), &fonts));
}

/// A sheet with the font as the brand's.
fn press(font: Font) {
    let Sheet { kit, drawing, layout, messages } = &*SHEET;
    let mut faces = Faces::built_in();
    faces.add_brand(font);
    let forms = Forms::none();
    let job = Job { kit, drawing, ground: drawing, forms: &forms, messages, others: &[], faces: &faces, logo: None };
    drop(sheet_pdf(&job, layout, 0));
}

struct Fonts([FontFile; 1]);

impl Resources for Fonts {
    fn image(&self, _: &str) -> Result<Vec<u8>, String> {
        Err("there is none".into())
    }

    fn fonts(&self) -> &[FontFile] {
        &self.0
    }
}
