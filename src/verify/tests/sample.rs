//! A small package written as text: PDFs with known geometry, promises, sums and zip.
//!
//! Nothing here uses the crates that make packages; PDF syntax by ISO 32000-1, 7.5 (file structure) and 8 (graphics).

use super::super::{Verdict, entries, package, sums};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;

/// The PDF for home printers.
pub const HOME: &str = "sample-1.0.0-home-card.pdf";
/// The PDF for the copy shop.
pub const WIDE: &str = "sample-1.0.0-wide-big.pdf";
/// The guide.
pub const GUIDE: &str = "sample-1.0.0-guide-en.html";

/// From millimetres, y down, to points, y up, on the home page of 100 × 120 mm: 72 pt are 25.4 mm.
const HOME_CM: &str = "2.834645669291339 0 0 -2.834645669291339 0 340.15748031496065 cm";
/// The same on the wide page of 180 × 120 mm, in units of 2 pt.
const WIDE_CM: &str = "1.4173228346456694 0 0 -1.4173228346456694 0 170.07874015748032 cm";

/// A package that can be changed before it is packed.
#[derive(Clone)]
pub struct Sample {
    /// Objects of each PDF, from number 1.
    pub pdfs: BTreeMap<&'static str, Vec<String>>,
    /// The promises.
    pub promises: Value,
    /// All other files but the sums.
    pub files: BTreeMap<String, Vec<u8>>,
    /// Files changed after the sums were made.
    pub late: BTreeMap<String, Option<Vec<u8>>>,
}

/// A stream object.
pub fn stream(dict: &str, content: &str) -> String {
    format!("<< {dict} /Length {} >>\nstream\n{content}\nendstream", content.len())
}

fn font() -> [String; 2] {
    let names = "46 /period 48 /zero /one /two 65 /A";
    let procs = ["period", "zero", "one", "two", "A"].map(|name| format!("/{name} 11 0 R")).join(" ");
    let widths = "700 ".repeat(20);
    // A font drawn by the file itself needs no font program, and its names of glyphs say what text it is.
    let font = format!(
        "<< /Type /Font /Subtype /Type3 /FontBBox [0 0 700 700] /FontMatrix [0.001 0 0 0.001 0 0] /CharProcs << {procs} >> \
         /Encoding << /Type /Encoding /Differences [{names}] >> /FirstChar 46 /LastChar 65 /Widths [{widths}] /Resources << >> >>"
    );
    [font, stream("", "700 0 0 0 600 600 d1 0 0 600 600 re f")]
}

/// The drawing: 160 × 100 mm in half millimetres, a line from (20, 30) to (140, 30) and a bow of height 20 above (60, 80).
fn drawing() -> String {
    let dict = "/Type /XObject /Subtype /Form /BBox [0 0 320 200] /Matrix [0.5 0 0 0.5 0 0]";
    stream(dict, "0.4 w 40 60 m 280 60 l S 80 160 m 80 106.6666667 160 106.6666667 160 160 c S")
}

fn catalog() -> String {
    "<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> \
     /OCProperties << /OCGs [9 0 R] /D << /Order [9 0 R] >> >> >>"
        .into()
}

const RESOURCES: &str = "<< /Font << /T 10 0 R >> /XObject << /Drawing 8 0 R >> /Properties << /L 9 0 R >> >>";
const LAYER: &str = "<< /Type /OCG /Name (pattern) >>";

/// What differs between the two sheets: where the drawing lies, labels, the join's marks, the map.
struct Sheet {
    shift: f64,
    label: &'static str,
    other: &'static str,
    count: &'static str,
    /// Where the join is and how far its lines reach inward, in mm; where its words stand, in points.
    join: (f64, f64, f64),
    filled: f64,
}

const FIRST: Sheet = Sheet { shift: 10.0, label: "A1", other: "A2", count: "1.2", join: (90.0, 88.5, 230.0), filled: 60.0 };
const SECOND: Sheet = Sheet { shift: -70.0, label: "A2", other: "A1", count: "2.2", join: (10.0, 11.5, 34.0), filled: 64.0 };

fn sheet(sheet: &Sheet) -> String {
    let Sheet { shift, label, other, count, join: (edge, inner, words), filled } = sheet;
    let drawing =
        format!("/Figure <</MCID 0>> BDC q 10 10 80 100 re W n 1 0 0 1 {shift} 10 cm /OC /L BDC /Drawing Do EMC Q EMC");
    let comb: String = [50, 51, 52].map(|y| format!("{edge} {y} m {inner} {y} l S ")).concat();
    let map = format!("{filled} 102 4 5 re f 60 102 4 5 re S 64 102 4 5 re S");
    let text = format!(
        "BT /T 10 Tf 1 0 0 1 60 10 Tm ({label}) Tj /T 6 Tf 1 0 0 1 120 10 Tm (1.0.0) Tj 1 0 0 1 170 10 Tm ({count}) Tj"
    );
    let beside = format!("1 0 0 1 {words} 200 Tm ({other}) Tj 1 0 0 1 {words} 188 Tm (1) Tj ET");
    stream("", &format!("q {HOME_CM} {drawing} /Artifact BMC 0.2 w {comb} {map} EMC Q {text} {beside}"))
}

fn home() -> Vec<String> {
    let boxes = "[0 0 283.464567 340.157480]";
    let page = |content: u32| {
        format!(
            "<< /Type /Page /Parent 2 0 R /CropBox {boxes} /TrimBox {boxes} /Resources {RESOURCES} /Contents {content} 0 R >>"
        )
    };
    let check = stream("", &format!("q {HOME_CM} 0.2 w 20 30 m 80 30 l S 20 60 40 40 re S Q"));
    let [font, glyph] = font();
    vec![
        catalog(),
        format!("<< /Type /Pages /Kids [3 0 R 4 0 R 5 0 R] /Count 3 /MediaBox {boxes} >>"),
        page(6),
        page(7),
        page(12),
        check,
        sheet(&FIRST),
        drawing(),
        LAYER.into(),
        font,
        glyph,
        sheet(&SECOND),
    ]
}

/// One page of paper that lies on its side, with a `UserUnit` of 2, the drawing's top left at (10, 10).
fn wide() -> Vec<String> {
    let boxes = "[0 0 255.1181102 170.0787402]";
    let page = format!(
        "<< /Type /Page /Parent 2 0 R /MediaBox {boxes} /TrimBox {boxes} /UserUnit 2 /Resources {RESOURCES} /Contents 4 0 R >>"
    );
    let content = stream(
        "",
        &format!(
            "q {WIDE_CM} 0.2 w 10 115 m 60 115 l S /Figure <</MCID 0>> BDC q 1 0 0 1 10 10 cm /OC /L BDC /Drawing Do EMC Q EMC Q"
        ),
    );
    let [font, glyph] = font();
    let pages = "<< /Type /Pages /Kids [3 0 R] /Count 1 >>".into();
    vec![catalog(), pages, page, content, "null".into(), "null".into(), "null".into(), drawing(), LAYER.into(), font, glyph]
}

/// A parabola across the join, from (60, 10) to (100, 10) with its top at (80, 15); its length is [`hem`].
const HEM: &str = "120 20 m 146.6666667 33.3333333 173.3333333 33.3333333 200 20 c S";
/// A rectangle across the join, from (70, 85) to (90, 95).
const POCKET: &str = "140 170 40 20 re S";

/// Length of a parabola's arc over a chord, so high in the middle (engineers' handbooks, mensuration; from memory).
pub fn hem(chord: f64, height: f64) -> f64 {
    let slant = (chord * chord + 16.0 * height * height).sqrt();
    slant / 2.0 + chord * chord / (8.0 * height) * ((4.0 * height + slant) / chord).ln()
}

fn along() -> Value {
    let whole = [[60.0, 10.0], [70.0, 13.75], [80.0, 15.0], [90.0, 13.75], [100.0, 10.0]];
    let round = [[70.0, 85.0], [85.0, 85.0], [90.0, 95.0], [75.0, 95.0], [70.0, 85.0]];
    let part = |measure: &str, points: &[[f64; 2]]| json!({"measure": measure, "points_mm": points});
    let half = |points: &[[f64; 2]]| part("between", points);
    let mut other = half(&[[80.0, 15.0], [90.0, 13.75], [100.0, 10.0]]);
    other["minus"] = json!(true);
    let control = |name: &str, length: f64, parts: &[Value]| json!({"name": name, "promised_mm": length, "tolerance_mm": 0.05, "sizes": ["one"], "parts": parts});
    json!([
        control("hem", hem(40.0, 5.0), &[part("line", &whole)]),
        control("middle of the hem", hem(20.0, 1.25), &[half(&[[70.0, 13.75], [80.0, 15.0], [90.0, 13.75]])]),
        control("halves of the hem", 0.0, &[half(&[[60.0, 10.0], [70.0, 13.75], [80.0, 15.0]]), other]),
        control("width of the hem", 40.0, &[part("width", &[[60.0, 10.0], [100.0, 10.0]])]),
        control("pocket", 60.0, &[part("outline", &round)])
    ])
}

fn promises() -> Value {
    let mark = |what: &str, from: [f64; 2], to: [f64; 2], length: f64, page: u32| json!({"page": page, "what": what, "from_mm": from, "to_mm": to, "length_mm": length, "tolerance_mm": 0.01});
    let sheet = |label: &str, page: u32, column: u32, area: [f64; 4]| json!({"label": label, "page": page, "row": 0, "column": column, "area_mm": area});
    let mut promises = json!({
        "format": 1, "kit": "sample", "title": "A", "edition": "1.0.0", "date": "2026-11-20", "languages": ["en"],
        "sizes": ["one"],
        "papers": [
            {"paper": "card", "title": "Card", "file": HOME, "width_mm": 100, "height_mm": 120, "press": "home",
             "origin_mm": [0, 0], "tile_mm": [10, 10, 80, 100], "check_page": 1,
             "sheets": [sheet("A1", 2, 0, [0.0, 0.0, 80.0, 100.0]), sheet("A2", 3, 1, [80.0, 0.0, 80.0, 100.0])],
             "sizes": [{"size": "one", "layer": "pattern", "pages": [2, 3]}],
             "scale_marks": [mark("rule 60 mm", [20.0, 30.0], [80.0, 30.0], 60.0, 1),
                             mark("square 40 mm", [60.0, 60.0], [60.0, 100.0], 40.0, 1)]},
            {"paper": "big", "title": "Big", "file": WIDE, "width_mm": 180, "height_mm": 120, "press": "wide",
             "origin_mm": [-5, -5], "tile_mm": [5, 5, 170, 110],
             "sheets": [sheet("A1", 1, 0, [-5.0, -5.0, 170.0, 110.0])],
             "sizes": [{"size": "one", "layer": "pattern", "pages": [1]}],
             "scale_marks": [mark("rule 50 mm", [10.0, 115.0], [60.0, 115.0], 50.0, 1)]}
        ],
        "controls": [
            {"name": "body length", "promised_mm": 120, "tolerance_mm": 0.05, "from_mm": [20, 30], "to_mm": [140, 30]},
            {"name": "bow height", "promised_mm": 20, "tolerance_mm": 0.01, "from_mm": [60, 60], "to_mm": [60, 80]}
        ]
    });
    let list = promises["controls"].as_array_mut().unwrap();
    list.extend(along().as_array().unwrap().iter().cloned());
    promises
}

/// A guide that tells the sheets of the home PDF, and more in its body.
pub fn guide(more: &str) -> String {
    let cell = |label: &str, x: u32| format!("<g data-sheet=\"{label}\"><rect x=\"{x}\" y=\"0\"/></g>");
    let map = format!("<figure data-paper=\"card\"><svg>{}{}</svg></figure>", cell("A1", 0), cell("A2", 80));
    let list = "<table data-paper=\"card\"><tr data-sheets=\"A1 A2\"><td><code class=\"pages\"><span>2–3</span></code></td></tr></table>";
    format!(
        "<!DOCTYPE html><html lang=\"en\"><head><title>Guide</title></head><body>\
         <!-- a note --><p>Edition 1.0.0. <a href=\"https://example.org/\">More</a></p>{map}{list}{more}</body></html>\n"
    )
}

impl Sample {
    /// A package without fault.
    pub fn good() -> Self {
        let guide = guide("");
        // The drawing's top left at (10, 10), as on the wide page.
        let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"180mm\" height=\"120mm\" viewBox=\"0 0 180 120\">\
                   <g id=\"drawing\" fill=\"none\" stroke-width=\"9\">\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M30 40H150\"/>\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M50 90C50 63.33333335 90 63.33333335 90 90\"/>\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M55 90h15\"/>\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M70 20C83.33333335 26.66666665 96.66666665 26.66666665 110 20\"/>\
                   <path fill=\"none\" stroke=\"#000\" stroke-width=\".2\" d=\"M80 95H100V105H80Z\"/></g></svg>\n";
        // The bow's foot has no end of its own at (60, 80): a plain line of the drawing's own gives one.
        let mut home = home();
        let mut wide = wide();
        for objects in [&mut home, &mut wide] {
            objects[7] = objects[7].replace("160 160 c S", &format!("160 160 c S 90 160 m 120 160 l S {HEM} {POCKET}"));
            objects[7] =
                stream("/Type /XObject /Subtype /Form /BBox [0 0 320 200] /Matrix [0.5 0 0 0.5 0 0]", body(&objects[7]));
        }
        // Everything that a browser may do without running or loading anything.
        let files = [
            ("README.txt", "Sample, edition 1.0.0. Print at 100 %.\n"),
            (GUIDE, guide.as_str()),
            ("sample-1.0.0-wide-big.svg", svg),
        ];
        Self {
            pdfs: BTreeMap::from([(HOME, home), (WIDE, wide)]),
            promises: promises(),
            files: files.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect(),
            late: BTreeMap::new(),
        }
    }

    /// Replaces text in all objects of a PDF; the text must be there. Lengths of streams are put right.
    pub fn swap(mut self, pdf: &'static str, from: &str, to: &str) -> Self {
        let objects = self.pdfs.get_mut(pdf).unwrap();
        assert!(objects.iter().any(|object| object.contains(from)), "`{from}` is not in {pdf}");
        for object in objects.iter_mut().filter(|object| object.contains(from)) {
            *object = relength(&object.replace(from, to));
        }
        self
    }

    /// Sets a value of the promises by its JSON pointer.
    pub fn promise(mut self, pointer: &str, value: Value) -> Self {
        *self.promises.pointer_mut(pointer).unwrap() = value;
        self
    }

    /// Adds or replaces a file before the sums are made.
    pub fn file(mut self, name: &str, bytes: &[u8]) -> Self {
        self.files.insert(name.into(), bytes.into());
        self
    }

    /// Changes, adds or (`None`) removes a file after the sums were made.
    pub fn late(mut self, name: &str, bytes: Option<&[u8]>) -> Self {
        self.late.insert(name.into(), bytes.map(<[u8]>::to_vec));
        self
    }

    /// All files, with sums.
    pub fn entries(&self) -> BTreeMap<String, Vec<u8>> {
        let mut files = self.files.clone();
        files.extend(self.pdfs.iter().map(|(name, objects)| ((*name).to_owned(), pdf(objects))));
        files.insert("promises.json".into(), serde_json::to_vec_pretty(&self.promises).unwrap());
        let list: String = files.iter().map(|(name, bytes)| format!("{}  {name}\n", sums::hex(bytes))).collect();
        files.insert("SHA256SUMS".into(), list.into_bytes());
        for (name, bytes) in &self.late {
            match bytes {
                Some(bytes) => drop(files.insert(name.clone(), bytes.clone())),
                None => drop(files.remove(name)),
            }
        }
        files
    }

    /// The verdict on the zip, which must be the one on its files.
    pub fn verdict(&self) -> Verdict {
        let files = self.entries();
        // A folder is the same package as its zip.
        let zipped = package("sample.zip", &zip(&files), None);
        let listed = entries("sample.zip", files.into_iter().collect(), None);
        assert_eq!(codes(&zipped), codes(&listed));
        zipped
    }
}

/// Insists on the codes of all findings about a package.
#[track_caller]
pub fn gives(sample: &Sample, expected: &[&str]) {
    let verdict = sample.verdict();
    let messages: Vec<_> = verdict.findings.iter().map(|finding| &finding.message).collect();
    assert_eq!(codes(&verdict), expected, "{messages:#?}");
}

/// Codes of all findings, sorted, each once.
pub fn codes(verdict: &Verdict) -> Vec<&'static str> {
    let mut codes: Vec<_> = verdict.findings.iter().map(|finding| finding.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

/// A zip of the files, packed; the options are the crate's own.
pub fn zip(files: &BTreeMap<String, Vec<u8>>) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A PDF of the objects, with its table of cross-references (ISO 32000-1, 7.5.4).
pub fn pdf(objects: &[String]) -> Vec<u8> {
    let mut text = "%PDF-1.7\n".to_owned();
    let mut table = format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1);
    for (number, object) in (1..).zip(objects) {
        table += &format!("{:010} 00000 n \n", text.len());
        text += &format!("{number} 0 obj\n{object}\nendobj\n");
    }
    // Offsets count from the first byte, and every entry is 20 bytes long.
    let start = text.len();
    text += &format!("{table}trailer\n<< /Size {} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF\n", objects.len() + 1);
    text.into_bytes()
}

fn body(object: &str) -> &str {
    let (_, rest) = object.split_once("stream\n").unwrap();
    rest.strip_suffix("\nendstream").unwrap()
}

fn relength(object: &str) -> String {
    let Some((dict, _)) = object.split_once(" /Length ") else { return object.to_owned() };
    stream(dict.trim_start_matches("<< "), body(object))
}
