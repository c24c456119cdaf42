//! Broken XML, bad values and features that paper cannot show, each told where it stands.

use crate::drawing::trial::{plain, sized, told};
use crate::drawing::{Request, Shape, read};

fn raw(text: &str) -> Vec<(&'static str, u32, u32)> {
    told(&read(text.as_bytes(), &Request::plain("a.svg"), &()).1)
}

#[test]
fn broken_xml_is_told_at_its_place() {
    // Well-formedness: XML 1.0, sections 2.1 (one root, nothing outside), 3.1 (tags, attributes) and 4.1 (references).
    let cases = [
        ("<svg>\n <g>\n  <path/></svg>", "xml-syntax", 3, 10),
        ("<svg>\n <g>\n  <path/>", "xml-syntax", 2, 2),
        ("<svg/>\n<svg/>", "xml-syntax", 2, 1),
        ("<svg/>\n  text", "xml-syntax", 2, 3),
        ("text <svg/>", "xml-syntax", 1, 1),
        ("<svg>\n<g a=\"1\" a=\"2\"/></svg>", "xml-syntax", 2, 10),
        ("<svg>\n<g a=1/></svg>", "xml-syntax", 2, 6),
        ("<svg>\n<g a=\"<\"/></svg>", "xml-syntax", 2, 7),
        ("<svg width='9mm' height='9mm'>\n<b:g/></svg>", "xml-syntax", 2, 2),
        ("<svg>\n<g a=\"&nbsp;\"/></svg>", "xml-entity", 2, 7),
        ("<svg>\n<text>&nbsp;</text></svg>", "xml-entity", 2, 7),
        ("<svg>\n<", "xml-syntax", 2, 1),
        ("", "xml-syntax", 1, 1),
        ("<!DOCTYPE svg [<!ENTITY a SYSTEM 'b'>]>\n<svg/>", "xml-entity", 1, 1),
        ("<html>\n</html>", "drawing-not-svg", 1, 1),
    ];
    for (text, code, line, column) in cases {
        assert_eq!(raw(text).first(), Some(&(code, line, column)), "{text}");
    }
}

#[test]
fn bad_values_are_told_at_their_character() {
    let cases = [
        ("<path d=\"M0 0 L ö 5\"/>", "path-bad", 2, 17),
        ("<path d=\"M0 0 L 1e400 5\"/>", "number-bad", 2, 17),
        ("<path d=\"M0 0 L NaN 5\"/>", "number-bad", 2, 17),
        ("<path d=\"M0 0 L 5 200000\"/>", "number-bad", 2, 10),
        ("<rect x=\"1\" width=\"inf\" height=\"1\"/>", "number-bad", 2, 20),
        ("<rect style=\"stroke-width:NaN\" width=\"5\" height=\"1\"/>", "number-bad", 2, 27),
        ("<polyline points=\"0 0 1\"/>", "path-bad", 2, 23),
        ("<g transform=\"rotate(x)\"><rect width=\"5\" height=\"5\"/></g>", "transform-bad", 2, 22),
        ("<g transform=\"scale(0 1)\"><rect width=\"5\" height=\"5\"/></g>", "transform-bad", 2, 15),
    ];
    for (body, code, line, column) in cases {
        assert!(told(&plain(body).1).contains(&(code, line, column)), "{body}: {:?}", told(&plain(body).1));
    }
}

#[test]
fn features_that_paper_cannot_show_are_told_where_they_would_be_printed() {
    let rect = "<rect width=\"5\" height=\"5\"";
    let cases = [
        ("unsupported-script", "<script>1</script>".to_owned()),
        ("unsupported-script", format!("{rect} onclick=\"x()\"/>")),
        ("unsupported-animation", format!("{rect}><animate attributeName=\"x\"/></rect>")),
        ("unsupported-foreign", "<foreignObject/>".to_owned()),
        ("unsupported-text", "<flowRoot/>".to_owned()),
        ("unsupported-stroke", format!("{rect} style=\"vector-effect:non-scaling-stroke\"/>")),
        ("unsupported-clip", format!("{rect} clip-path=\"circle(5)\"/>")),
        ("colour-bad", format!("{rect} fill=\"#ggg\"/>")),
        ("colour-bad", format!("{rect} style=\"stroke:nocolour\"/>")),
        (
            "unsupported-filter",
            format!("<filter id=\"f\"><feGaussianBlur stdDeviation=\"1\"/></filter>{rect} filter=\"url(#f)\"/>"),
        ),
        ("unsupported-mask", format!("<mask id=\"m\">{rect} fill=\"#fff\"/></mask>{rect} mask=\"url(#m)\"/>")),
        ("unsupported-blend", format!("{rect} style=\"mix-blend-mode:multiply\"/>")),
        (
            "unsupported-paint",
            format!(
                "<linearGradient id=\"l\"><stop/><stop offset=\"1\" stop-color=\"red\"/></linearGradient>{rect} fill=\"url(#l)\"/>"
            ),
        ),
        (
            "unsupported-paint",
            format!("<pattern id=\"p\" width=\"2\" height=\"2\">{rect}/></pattern>{rect} fill=\"url(#p)\"/>"),
        ),
    ];
    for (code, body) in &cases {
        let size = format!("<g id=\"size 36\"><path d=\"M0 0h9\" stroke=\"red\"/>{body}</g><g id=\"draft\"/>");
        let found = told(&sized(&size).1);
        assert!(found.iter().any(|(told, line, _)| told == code && *line == 2), "{code}: {found:?}");
        if *code == "unsupported-script" {
            continue;
        }
        // Neither in a layer that is never printed, nor hidden, nor in store, does it matter.
        for (open, close) in [("<g id=\"draft\">", "</g>"), ("<g display=\"none\">", "</g>"), ("<defs>", "</defs>")] {
            let elsewhere =
                format!("<g id=\"size 36\"><path d=\"M0 0h9\" stroke=\"red\"/></g>{open}{body}{close}<g id=\"draft\"/>");
            assert_eq!(told(&sized(&elsewhere).1), [], "{elsewhere}");
        }
    }
    let import = "<style>@import url(a.css);</style><path d=\"M0 0h9\" stroke=\"red\"/>";
    assert_eq!(told(&plain(import).1), [("unsupported-import", 2, 1)]);
    let sheet =
        format!("<?xml-stylesheet href='a.css'?>{}", crate::drawing::trial::drawing("<path d=\"M0 0h9\" stroke=\"red\"/>"));
    assert_eq!(raw(&sheet), [("unsupported-import", 1, 1)]);
}

#[test]
fn comments_and_instructions_in_a_style_sheet_hide_none_of_it() {
    let sheet = "<style>.a{<!-- first -->stroke:#0f0}<?b ?><![CDATA[.a{stroke-width:]]>3}</style>";
    let (drawing, findings) = plain(&format!("{sheet}<path class=\"a\" d=\"M0 0h9\"/>"));
    let Some(Shape::Path(line)) = drawing.map(|drawing| drawing.pieces[0].items[0].shape.clone()) else {
        panic!("{findings:?}")
    };
    let stroke = line.stroke.unwrap();
    assert_eq!((stroke.colour.green, stroke.style.width), (255, 3.0));
}

#[test]
fn depth_is_limited() {
    let deep = format!("{}{}", "<g>".repeat(300), "</g>".repeat(300));
    assert_eq!(told(&plain(&deep).1), [("drawing-too-complex", 2, 766)]);
    let fine = format!("{}<path d=\"M0 0h9\" stroke=\"red\"/>{}", "<g>".repeat(200), "</g>".repeat(200));
    assert_eq!(told(&plain(&fine).1), []);
}
