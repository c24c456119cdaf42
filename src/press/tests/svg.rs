//! Wide SVGs as XML: size, layers, and the frame locked beneath the drawing.

use super::{Pressable, three_sheets, wide};
use crate::plan::tests::sample::Sample;
use crate::press::wide_svg;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// Groups of a document in reading order, each with its depth and attributes.
fn groups(svg: &str) -> Vec<(usize, Vec<(String, String)>)> {
    let (mut reader, mut depth, mut found) = (Reader::from_str(svg), 0, Vec::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Start(start) => {
                if start.name().as_ref() == "g" {
                    found.push((depth, attributes(&start)));
                }
                depth += 1;
            }
            Event::End(_) => depth -= 1,
            Event::Eof => return found,
            _ => {}
        }
    }
}

fn attributes(start: &BytesStart) -> Vec<(String, String)> {
    start.attributes().map(Result::unwrap).map(|a| (a.key.as_ref().to_owned(), a.value.into_owned())).collect()
}

fn value<'a>(attributes: &'a [(String, String)], key: &str) -> Option<&'a str> {
    attributes.iter().find(|(name, _)| name == key).map(|(_, value)| value.as_str())
}

#[test]
fn the_frame_is_locked_and_lies_beneath_the_drawing() {
    let pressable = Pressable::of(&Sample { setup: wide("a2"), ..three_sheets() });
    let svg = String::from_utf8(pressable.pressed(|job, layout| wide_svg(job, layout).unwrap())).unwrap();
    let groups = groups(&svg);
    let top: Vec<_> = groups.iter().filter(|(depth, _)| *depth == 1).map(|(_, attributes)| attributes).collect();
    // What comes first is painted first (SVG 2, "rendering order").
    assert_eq!(top.len(), 2);
    assert_eq!((value(top[0], "id"), value(top[0], "sodipodi:insensitive")), (Some("frame"), Some("true")));
    assert_eq!((value(top[1], "id"), value(top[1], "sodipodi:insensitive")), (Some("drawing"), None));
    let layers = groups.iter().filter(|(depth, a)| *depth == 2 && value(a, "inkscape:groupmode") == Some("layer"));
    let names: Vec<_> = layers.map(|(_, attributes)| value(attributes, "inkscape:label").unwrap()).collect();
    assert_eq!(names, ["pattern", "size 1", "pattern"]);
}

#[test]
fn the_document_has_the_paper_s_size() {
    let pressable = Pressable::of(&Sample { setup: wide("a2"), ..three_sheets() });
    let svg = String::from_utf8(pressable.pressed(|job, layout| wide_svg(job, layout).unwrap())).unwrap();
    let size = pressable.layout.sheet_size;
    let head = format!(r#"width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}""#, size.width.to_mm(), size.height.to_mm());
    assert_eq!(pressable.layout.sheets.len(), 1);
    assert!(svg.contains(&head), "{head} is not in {}", svg.get(..500).unwrap());
}
