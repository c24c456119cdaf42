//! What kitwright opens: for each format good files to begin with, and the way in that a stranger's file would take.

use crate::{fonts, setting};
use kitwright::catalogue::{Messages, po};
use kitwright::diagnostic::Place;
use kitwright::drawing::{self, FontFile, Request, Resources};
use kitwright::editions::Editions;
use kitwright::feedback::Answer;
use kitwright::manifest::{self, Kit};
use kitwright::markdown::{self, Checking};
use kitwright::press::Artwork;
use kitwright::review::Roster;
use kitwright::translation::xliff;
use kitwright::verify;
use std::collections::BTreeSet;
use std::io::{Cursor, Read};
use std::path::Path;
use std::process::Command;
use std::sync::LazyLock;

/// A kind of file.
#[derive(Clone, Copy)]
pub struct Format {
    /// Its name, as that of its test.
    pub name: &'static str,
    /// How many damaged files are tried, unless the environment says otherwise.
    pub cases: usize,
    /// Good files.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Opens a file as the program does.
    pub open: fn(&[u8]),
}

const fn format(name: &'static str, cases: usize, seeds: fn() -> Vec<Vec<u8>>, open: fn(&[u8])) -> Format {
    Format { name, cases, seeds, open }
}

/// All of them.
pub const FORMATS: [Format; 15] = [
    format(
        "manifest",
        5_000,
        || texts(&["kits/ropewalk-tote/kit.yaml", "kits/tansy-apron/kit.yaml", "templates/kit/kit.yaml"]),
        open_manifest,
    ),
    format("drawing", 5_000, || texts(&["templates/kit/drawing.svg", "kits/ropewalk-tote/tote.svg"]), open_drawing),
    format(
        "po",
        5_000,
        || vec![beginning("kits/ropewalk-tote/languages/fr.po"), beginning("kits/ropewalk-tote/languages/ar.po")],
        open_po,
    ),
    format("xliff", 5_000, || vec![XLIFF.to_vec()], open_xliff),
    format("markdown", 5_000, markdowns, open_markdown),
    format("package", 5_000, || vec![PACKAGE.clone()], open_package),
    format("pages", 500, || vec![page()], open_page),
    format("feedback", 5_000, || vec![ANSWER.to_vec()], |bytes| drop(Answer::read("answer.json", bytes))),
    format(
        "roster",
        5_000,
        || vec![b"testers:\n  - {id: \"07\", paper: a4, language: en}\n  - {id: anna}\n".to_vec()],
        open_roster,
    ),
    format("editions", 5_000, || vec![EDITIONS.to_vec()], open_editions),
    format("ttf", 10_000, || vec![small_truetype(), notosans::BOLD_TTF.to_vec()], setting::open),
    format("otf", 10_000, || vec![fonts::ordinary_compact()], setting::open),
    format("ttc", 10_000, || vec![fonts::collection(&small_truetype())], setting::open),
    format("image", 5_000, images, |bytes| drop(drawing::picture(bytes))),
    format("logo", 5_000, logos, open_logo),
];

const XLIFF: &[u8] = br#"<?xml version="1.0" encoding="UTF-8"?>
<xliff xmlns="urn:oasis:names:tc:xliff:document:2.0" version="2.1" srcLang="en" trgLang="fr"><file id="f"><group id="g">
<unit id="u1" name="kit.title"><notes><note>A name</note></notes><segment state="translated"><source>Tote <pc id="1">bag</pc></source>
<target>Sac <pc id="1">cabas</pc></target></segment></unit></group></file></xliff>
"#;
const ANSWER: &[u8] = br#"{"format": 1, "kit": "tote", "edition": "1.0.0", "round": 1, "tester": "07", "language": "en", "paper": "a4",
"printer": "ink jet", "scale": {"unit": "mm", "across": "97,5", "down": "3 7/8"}, "size": "", "map": ["A1", "B12"], "sheets":
[{"sheet": "A1", "kind": "cut", "severity": "small", "note": "at the foot"}], "steps": [{"step": "check", "title": "Check", "answer": "ok",
"note": ""}], "fit": "good", "overall": "ready", "more": ""}"#;
const EDITIONS: &[u8] =
    b"# mine\neditions:\n  - edition: \"1.0.0\"\n    date: \"2026-11-20\"\n    package: \"out/tote.zip\"\n    sha256: \
\"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad\"\n    changes: \
\"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad\"\n";

fn read(file: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).expect(file)
}

fn texts(files: &[&str]) -> Vec<Vec<u8>> {
    files.iter().map(|file| read(file)).collect()
}

fn beginning(file: &str) -> Vec<u8> {
    read(file).into_iter().take(6_000).collect()
}

/// As the program reads files: what is no UTF-8 is refused before anything else looks at it.
fn as_text(bytes: &[u8]) -> Option<&str> {
    std::str::from_utf8(bytes).ok()
}

fn open_manifest(bytes: &[u8]) {
    let Some(text) = as_text(bytes) else { return };
    if let Some(document) = manifest::parse("kit.yaml", text).0 {
        drop(manifest::kit(&document, None));
    }
}

/// The tote, with which drawings and rosters are read.
static KIT: LazyLock<Kit> = LazyLock::new(|| {
    let document = |file: &str| manifest::parse(file, as_text(&read(file)).expect("text")).0.expect(file);
    manifest::kit(&document("kits/ropewalk-tote/kit.yaml"), Some(&document("kits/ploverfield.yaml"))).0.expect("the tote")
});

/// No pictures, no fonts.
struct Nothing;

impl Resources for Nothing {
    fn image(&self, _: &str) -> Result<Vec<u8>, String> {
        Err("there is none".into())
    }

    fn fonts(&self) -> &[FontFile] {
        &[]
    }
}

fn open_drawing(bytes: &[u8]) {
    drop(drawing::read(bytes, &Request::of(&KIT), &Nothing));
}

fn open_po(bytes: &[u8]) {
    let Some(text) = as_text(bytes) else { return };
    let (entries, _) = po::parse("fr.po", text);
    drop(po::written(&entries));
    drop(Messages::spoken("fr", &entries));
}

fn open_xliff(bytes: &[u8]) {
    as_text(bytes).into_iter().for_each(|text| drop(xliff::read("fr.xlf", text)));
}

fn markdowns() -> Vec<Vec<u8>> {
    let files =
        ["kits/tansy-apron/guide/joining.md", "kits/tansy-apron/guide/pocket.md", "kits/ropewalk-tote/guide/the-bag.md"];
    texts(&files)
}

fn open_markdown(bytes: &[u8]) {
    let Some(text) = as_text(bytes) else { return };
    let (ids, place) = (BTreeSet::new(), |line| Place::at("text.md", line, 1));
    drop(markdown::check(text, &Checking { ids: &ids, place: &place }));
    drop((markdown::units(text), markdown::pictures(text), markdown::plain(text)));
}

/// The package of the kit that `new` makes, as the program packs it.
static PACKAGE: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |args: &[&str]| {
        let output =
            Command::new(env!("CARGO_BIN_EXE_kitwright")).args(args).arg("--quiet").current_dir(folder.path()).output();
        assert!(output.expect("the program").status.success(), "{args:?}");
    };
    run(&["new", "kit"]);
    run(&["build", "kit", "--paper", "a4", "--language", "en", "--out", "out"]);
    let mut files = std::fs::read_dir(folder.path().join("out")).expect("out").flatten().map(|entry| entry.path());
    let zip = files.find(|path| path.extension().is_some_and(|ending| ending == "zip")).expect("a package");
    std::fs::read(zip).expect("its bytes")
});

fn open_package(bytes: &[u8]) {
    drop(verify::package("it.zip", bytes, None));
    drop(verify::Opened::zip("it.zip", bytes));
}

/// The files of the package but its sheets.
static BESIDE: LazyLock<Vec<(String, Vec<u8>)>> = LazyLock::new(|| {
    let mut zip = zip::ZipArchive::new(Cursor::new(PACKAGE.as_slice())).expect("a zip");
    let entries = (0..zip.len()).map(|index| {
        let mut file = zip.by_index(index).expect("an entry");
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).expect("its bytes");
        (file.name().expect("a name").into_owned(), bytes)
    });
    entries.collect()
});

/// The name of the sheets' file.
fn sheets() -> &'static str {
    BESIDE.iter().map(|(name, _)| name.as_str()).find(|name| name.ends_with(".pdf")).expect("sheets")
}

fn page() -> Vec<u8> {
    BESIDE.iter().find(|(name, _)| name == sheets()).expect("sheets").1.clone()
}

/// Damage within the PDF, where no checksum of the zip hides it from the reader.
fn open_page(bytes: &[u8]) {
    let own = |(name, old): &(String, Vec<u8>)| (name.clone(), if name == sheets() { bytes.to_vec() } else { old.clone() });
    drop(verify::entries("it", BESIDE.iter().map(own).collect(), None));
}

fn open_roster(bytes: &[u8]) {
    as_text(bytes).into_iter().for_each(|text| drop(Roster::read("testers.yaml", text, &KIT)));
}

fn open_editions(bytes: &[u8]) {
    as_text(bytes).into_iter().for_each(|text| drop(Editions::read("editions.yaml", text)));
}

fn small_truetype() -> Vec<u8> {
    fonts::truetype(&fonts::composite(&[2, 3]))
}

fn images() -> Vec<Vec<u8>> {
    let picture = image::RgbaImage::from_fn(24, 16, |x, y| image::Rgba([x as u8 * 9, y as u8 * 15, 90, 255 - x as u8]));
    let encoded = |format| {
        let mut bytes = Cursor::new(Vec::new());
        let picture = image::DynamicImage::ImageRgba8(picture.clone());
        // JPEG knows no transparency.
        let picture = if format == image::ImageFormat::Jpeg { picture.to_rgb8().into() } else { picture };
        picture.write_to(&mut bytes, format).expect("a picture");
        bytes.into_inner()
    };
    vec![encoded(image::ImageFormat::Png), encoded(image::ImageFormat::Jpeg)]
}

fn logos() -> Vec<Vec<u8>> {
    let drawn = texts(&["kits/ploverfield-logo.svg", "kits/tansy-apron/guide/pictures/step-01.svg"]);
    drawn.into_iter().chain(images()).collect()
}

fn open_logo(bytes: &[u8]) {
    let name = if bytes.starts_with(b"\x89PNG") { "logo.png" } else { "logo.svg" };
    if let Ok(artwork) = Artwork::read(name, bytes) {
        drop((artwork.remarks(name), artwork.markup(name)));
    }
}
