//! What helps readers of a PDF, read back by another library: bookmarks, links, metadata, layers; and the flat file.

use super::{Pressable, three_sheets, wide};
use crate::drawing::Shape;
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::plan::tests::sample::Sample;
use crate::press::{Forms, Job, home_pdf, projection_layout, projection_pdf, wide_flat_pdf};
use lopdf::{Dictionary, Document, Object, decode_text_string};

fn read(bytes: &[u8]) -> Document {
    Document::load_mem(bytes).unwrap()
}

fn home(pressable: &Pressable) -> Document {
    read(&pressable.pressed(|job, layout| home_pdf(job, layout).unwrap().bytes))
}

fn dict<'a>(document: &'a Document, object: &'a Object) -> &'a Dictionary {
    document.dereference(object).unwrap().1.as_dict().unwrap()
}

fn metadata(document: &Document) -> String {
    let id = document.catalog().unwrap().get(b"Metadata").unwrap().as_reference().unwrap();
    String::from_utf8(document.get_object(id).unwrap().as_stream().unwrap().content.clone()).unwrap()
}

/// Titles of the bookmarks from one on, each with those beneath it.
fn bookmarks(document: &Document, first: &Object) -> Vec<String> {
    let (mut found, mut next) = (Vec::new(), Some(first));
    while let Some(object) = next {
        let mark = dict(document, object);
        found.push(decode_text_string(mark.get(b"Title").unwrap()).unwrap());
        if let Ok(within) = mark.get(b"First") {
            found.extend(bookmarks(document, within).into_iter().map(|title| format!("  {title}")));
        }
        next = mark.get(b"Next").ok();
    }
    found
}

#[test]
fn bookmarks_list_the_check_page_and_then_the_sheets() {
    let document = home(&Pressable::of(&three_sheets()));
    let outlines = dict(&document, document.catalog().unwrap().get(b"Outlines").unwrap());
    let titles = bookmarks(&document, outlines.get(b"First").unwrap());
    assert_eq!(titles, ["Check the scale first", "sheet A1", "sheet A2", "sheet A3"]);
}

#[test]
fn the_small_map_leads_to_the_other_sheets() {
    let pressable = Pressable::of(&three_sheets());
    let document = home(&pressable);
    let pages: Vec<_> = document.page_iter().collect();
    // Three sheets: the map of each leads to the two others.
    for page in 1..4 {
        let notes = document.get_dictionary(pages[page]).unwrap().get(b"Annots").unwrap().as_array().unwrap();
        let target = |note: &Object| {
            let place = dict(&document, note).get(b"Dest").unwrap().as_array().unwrap();
            pages.iter().position(|&id| place[0].as_reference().ok() == Some(id)).unwrap()
        };
        let targets: Vec<usize> = notes.iter().map(target).collect();
        assert_eq!(targets, (1..4).filter(|&other| other != page).collect::<Vec<_>>());
    }
}

#[test]
fn titles_with_signs_of_xml_are_escaped_in_the_metadata() {
    let mut pressable = Pressable::of(&three_sheets());
    pressable.kit.title = "Salt & <Pepper>".into();
    let text = metadata(&home(&pressable));
    assert!(text.contains("Salt &amp; &lt;Pepper&gt;"), "{text}");
    let mut reader = quick_xml::Reader::from_str(&text);
    while !matches!(reader.read_event().unwrap(), quick_xml::events::Event::Eof) {}
}

#[test]
fn a_size_that_is_not_shown_is_a_layer_switched_off() {
    let mut pressable = Pressable::of(&three_sheets());
    pressable.kit.sizes[1].shown = false;
    let document = home(&pressable);
    let properties = dict(&document, document.catalog().unwrap().get(b"OCProperties").unwrap());
    let configuration = dict(&document, properties.get(b"D").unwrap());
    let off = configuration.get(b"OFF").unwrap().as_array().unwrap();
    let names: Vec<String> =
        off.iter().map(|group| decode_text_string(dict(&document, group).get(b"Name").unwrap()).unwrap()).collect();
    assert_eq!(names, ["size 1"]);
    assert!(configuration.get(b"AS").is_err());
}

#[test]
fn the_flat_file_has_no_layers_no_fonts_and_no_colours() {
    let mut pressable = Pressable::of(&Sample { setup: wide("a2"), ..three_sheets() });
    pressable.kit.mark_colour = Colour { red: 200, green: 0, blue: 0 };
    let bytes = pressable.pressed(|job, layout| wide_flat_pdf(job, layout).unwrap().unwrap().bytes);
    let document = read(&bytes);
    assert_eq!(document.version, "1.6");
    assert!(document.catalog().unwrap().get(b"OCProperties").is_err());
    let streams = document.objects.values().filter_map(|object| object.as_stream().ok());
    for form in
        streams.filter(|stream| stream.dict.get(b"Subtype").is_ok_and(|kind| kind.as_name().ok() == Some(b"Form".as_slice())))
    {
        let content = lopdf::content::Content::decode(&form.decompressed_content().unwrap()).unwrap();
        let used = content.operations.iter().map(|operation| operation.operator.as_str());
        assert!(used.clone().all(|operator| !["rg", "RG", "gs", "Tj", "TJ"].contains(&operator)));
    }
    assert!(metadata(&document).contains("PDF/X-4"));
}

#[test]
fn a_flat_file_takes_over_only_forms_that_are_flat_already() {
    let mut pressable = Pressable::of(&Sample { setup: wide("a2"), ..three_sheets() });
    let red = Colour { red: 200, green: 0, blue: 0 };
    for (colour, opacity) in [(Colour::BLACK, 1.0), (red, 1.0), (Colour::BLACK, 0.5)] {
        for item in pressable.drawing.pieces.iter_mut().flat_map(|piece| &mut piece.items) {
            let Shape::Path(shape) = &mut item.shape else { continue };
            shape.fill.iter_mut().for_each(|fill| (fill.colour, fill.opacity) = (colour, opacity));
            shape.stroke.iter_mut().for_each(|stroke| (stroke.colour, stroke.opacity) = (colour, opacity));
        }
        // Without forms to take over, all are made.
        let made =
            |job: &Job, layout: &Layout| wide_flat_pdf(&Job { forms: &Forms::none(), ..*job }, layout).unwrap().unwrap().bytes;
        let taken_over = |job: &Job, layout: &Layout| wide_flat_pdf(job, layout).unwrap().unwrap().bytes;
        assert!(pressable.pressed(made) == pressable.pressed(taken_over), "{colour:?} {opacity}");
    }
}

#[test]
fn the_projection_shows_everything_twice_at_true_size() {
    let pressable = Pressable::of(&three_sheets());
    pressable.pressed(|job, _| {
        let layout = projection_layout(job).unwrap();
        let pressed = projection_pdf(job, &layout).unwrap();
        // Two blocks of squares, each wide and high, on two pages; 6 by 2 of 5 cm and of 2 in.
        let lengths: Vec<f64> = pressed.promises.iter().map(|(_, mark)| mark.from.distance(mark.to)).collect();
        let wanted = [300.0, 100.0, 304.8, 101.6];
        assert_eq!(lengths.len(), 8);
        assert!(lengths.iter().zip(wanted.iter().cycle()).all(|(a, b)| (a - b).abs() < 1e-9), "{lengths:?}");
        assert_eq!(read(&pressed.bytes).page_iter().count(), 2);
        assert_eq!(layout.tile.size().width, layout.sheets[0].area.size().width);
    });
}
