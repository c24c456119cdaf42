//! `sheet`: one page again, the same as in the file with all sheets, and refusals that say what there is.

use crate::scene::Scene;
use lopdf::{Document, Object, decode_text_string};
use std::io::Read;

/// A file of a package.
pub fn unpacked(package: &[u8], name: &str) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(package)).unwrap();
    let mut bytes = Vec::new();
    archive.by_name(name).unwrap_or_else(|error| panic!("{name}: {error}")).read_to_end(&mut bytes).unwrap();
    bytes
}

/// The content of a page, from 1, and of its forms. The number in the name of its marks is taken out, and so are the numbers of
/// letters: they count within the letters that a file needs.
fn content(document: &Document, page: u32) -> (String, Vec<Vec<u8>>) {
    let id = document.get_pages()[&page];
    let text = String::from_utf8_lossy(&document.get_page_content(id)).into_owned();
    let text = text.replace(&format!("/M{} Do", page - 1), "/M Do");
    let plain = text.split('<').map(|part| part.split_once('>').map_or(part, |(_, rest)| rest)).collect();
    let dict = |object: &Object| document.dereference(object).unwrap().1.as_dict().unwrap().clone();
    let resources = dict(document.get_dictionary(id).unwrap().get(b"Resources").unwrap());
    let forms = dict(resources.get(b"XObject").unwrap());
    let stream = |object: &Object| {
        let form = document.dereference(object).unwrap().1.as_stream().unwrap();
        form.decompressed_content().unwrap()
    };
    (plain, forms.iter().map(|(_, form)| stream(form)).collect())
}

fn label(document: &Document, page: usize) -> String {
    let labels = document.catalog().unwrap().get(b"PageLabels").unwrap();
    let nums = document.dereference(labels).unwrap().1.as_dict().unwrap().get(b"Nums").unwrap().as_array().unwrap();
    let entry = document.dereference(&nums[2 * page - 1]).unwrap().1;
    decode_text_string(entry.as_dict().unwrap().get(b"P").unwrap()).unwrap()
}

#[test]
fn a_single_sheet_is_the_page_of_the_whole() {
    let scene = Scene::first_kit();
    scene.run(&["build", "kit", "--paper", "a4", "--out", "made"]).expect_code(0);
    let whole = unpacked(&scene.bytes("made/first-kit-0.1.0-only-a4.zip"), "first-kit-0.1.0-home-a4.pdf");
    let whole = Document::load_mem(&whole).unwrap();
    for page in 2..=whole.get_pages().len() {
        let name = label(&whole, page);
        let file = format!("{name}.pdf");
        let outcome = scene.run(&["sheet", "kit", &name.to_lowercase(), "--paper", "a4", "--out", &file]).expect_code(0);
        assert_eq!(outcome.stdout, format!("{file}\n"));
        let bytes = scene.bytes(&file);
        let alone = Document::load_mem(&bytes).unwrap();
        assert_eq!((alone.get_pages().len(), label(&alone, 1)), (1, name.clone()));
        assert!(content(&alone, 1) == content(&whole, page as u32), "page {page}");
        let size = |document: &Document, page: u32| {
            let id = document.get_pages()[&page];
            document.get_dictionary(id).unwrap().get(b"MediaBox").cloned().unwrap()
        };
        assert_eq!(size(&alone, 1), size(&whole, page as u32));
        scene.run(&["sheet", "kit", &name, "--paper", "a4", "--out", "again.pdf"]).expect_code(0);
        assert!(bytes == scene.bytes("again.pdf"), "the same bytes");
        std::fs::remove_file(scene.path("again.pdf")).unwrap();
    }
}

/// Every page of a file from a page on is made again alone, and is the same but for the number in the name of its marks.
fn each_alone(scene: &Scene, args: &[&str], file: &str, from: usize) -> usize {
    let whole = Document::load_mem(&unpacked(&scene.bytes("made/first-kit-0.1.0.zip"), file)).unwrap();
    for page in from..=whole.get_pages().len() {
        let name = label(&whole, page);
        scene.run(&[&["sheet", "kit", &name, "--out", "one.pdf"], args].concat()).expect_code(0);
        let alone = Document::load_mem(&scene.bytes("one.pdf")).unwrap();
        assert_eq!((alone.get_pages().len(), label(&alone, 1)), (1, name));
        assert!(content(&alone, 1) == content(&whole, page as u32), "{args:?}, page {page}");
        std::fs::remove_file(scene.path("one.pdf")).unwrap();
    }
    whole.get_pages().len()
}

#[test]
fn parts_of_wide_paper_and_sheets_of_one_size_can_be_had_alone() {
    let scene = Scene::first_kit();
    let card = "{paper: card, width: 160 mm, height: 200 mm, press: wide}";
    scene.change("kit/kit.yaml", "papers: [a4, letter, a1]", &format!("papers: [a4, {card}]\nsize-files: true\njoins: lapped"));
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    assert!(each_alone(&scene, &["--paper", "card"], "first-kit-0.1.0-wide-card.pdf", 1) > 1, "several parts are meant");
    assert!(each_alone(&scene, &["--size", "small"], "first-kit-0.1.0-home-a4-size-small.pdf", 2) > 1);
    let refused = scene.run(&["sheet", "kit", "A1", "--size", "huge", "--out", "one.pdf"]).expect_code(2);
    assert!(refused.stderr.contains("no size `huge`") && refused.stderr.contains("`small` or `large`"), "{}", refused.stderr);
}

#[test]
fn a_single_sheet_has_a_record() {
    let scene = Scene::first_kit();
    let args = ["sheet", "kit", "A1", "--paper", "letter", "--out", "one.pdf", "--format", "json"];
    let record = scene.run(&args).expect_code(0).json();
    let said = (record["file"].as_str(), record["paper"].as_str(), record["label"].as_str(), record["page"].as_u64());
    assert_eq!(said, (Some("one.pdf"), Some("letter"), Some("A1"), Some(2)));
    assert_eq!(record["bytes"].as_u64(), Some(scene.bytes("one.pdf").len() as u64));
}

#[test]
fn refusals_say_what_there_is() {
    let scene = Scene::first_kit();
    let cases: [(&[&str], &[&str]); 5] = [
        (&["A9", "--paper", "a4"], &["no sheet `A9`", "`A1`"]),
        (&["A1", "--paper", "a5"], &["names no paper `a5`", "a4"]),
        (&["A1"], &["several home papers", "`a4` or `letter`"]),
        (&["B7", "--paper", "a1"], &["no sheet `B7` on A1 paper", "`A1`"]),
        (&["A1", "--paper", "a4", "--size", "M"], &["no files of single sizes", "size-files: true"]),
    ];
    for (wish, wanted) in cases {
        let before = scene.files();
        let outcome = scene.run(&[&["sheet", "kit"], wish, &["--out", "one.pdf"]].concat()).expect_code(2);
        for words in wanted {
            assert!(outcome.stderr.contains(words), "{wish:?} does not say `{words}`:\n{}", outcome.stderr);
        }
        assert!(scene.files() == before, "{wish:?} wrote something");
    }
}

#[test]
fn a_file_that_is_there_is_never_overwritten() {
    let scene = Scene::first_kit().file("one.pdf", "my holiday pictures");
    let outcome = scene.run(&["sheet", "kit", "A1", "--paper", "a4", "--out", "one.pdf"]).expect_code(3);
    assert!(outcome.stderr.contains("left alone"), "{}", outcome.stderr);
    assert_eq!(scene.bytes("one.pdf"), b"my holiday pictures");
}
