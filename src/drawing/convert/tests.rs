//! Drawings in, millimetres out: transforms, lines, clips, words and pictures.

use crate::drawing::trial::{Folder, drawing, plain, told};
use crate::drawing::{Drawing, FontFile, Item, PathShape, Request, Shape, read};
use kurbo::{Point, Rect, Shape as _};

fn items(drawing: &Drawing) -> Vec<&Item> {
    drawing.pieces.iter().flat_map(|piece| &piece.items).collect()
}

fn path(item: &Item) -> &PathShape {
    let Shape::Path(path) = &item.shape else { panic!("a path") };
    path
}

fn good(body: &str) -> Drawing {
    let (drawing, findings) = plain(body);
    assert!(findings.is_empty(), "{body}: {findings:?}");
    drawing.unwrap()
}

fn near(a: Rect, b: Rect) -> bool {
    let pairs = [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)];
    pairs.iter().all(|(a, b)| (a - b).abs() < 0.001)
}

#[test]
fn nested_transforms_uses_and_symbols_land_where_svg_2_says() {
    // SVG 2, "The transform property" (right to left), "The use element" (x, y as a last translation),
    // "The symbol element" and nested `svg` (viewBox fitted into width and height).
    let cases = [
        (
            "<g transform=\"translate(10 20)\"><g transform=\"scale(2)\"><path d=\"M1 2h3v4z\"/></g></g>",
            Rect::new(12.0, 24.0, 18.0, 32.0),
        ),
        ("<path transform=\"matrix(0 1 -1 0 50 0)\" d=\"M1 2h3v4z\"/>", Rect::new(44.0, 1.0, 48.0, 4.0)),
        (
            "<defs><path id=\"n\" d=\"M1 2h3v4z\"/></defs><use href=\"#n\" x=\"5\" y=\"6\" transform=\"scale(2)\"/>",
            Rect::new(12.0, 16.0, 18.0, 24.0),
        ),
        (
            "<symbol id=\"s\" viewBox=\"0 0 10 10\"><path d=\"M1 2h3v4z\"/></symbol><use href=\"#s\" x=\"10\" width=\"20\" height=\"20\"/>",
            Rect::new(12.0, 4.0, 18.0, 12.0),
        ),
        (
            "<svg x=\"10\" y=\"10\" width=\"20\" height=\"40\" viewBox=\"0 0 10 10\"><path d=\"M1 2h3v4z\"/></svg>",
            Rect::new(12.0, 24.0, 18.0, 32.0),
        ),
        // CSS Values, "Absolute lengths": 1 in = 96 px = 2.54 cm = 101.6 Q = 72 pt.
        ("<rect x=\"1in\" y=\"4Q\" width=\"2cm\" height=\"6pt\"/>", Rect::new(96.0, 3.7795, 171.5906, 11.7795)),
    ];
    for (body, bounds) in cases {
        let drawing = good(body);
        let all = items(&drawing);
        assert_eq!(all.len(), 1, "{body}");
        assert!(near(path(all[0]).path.bounding_box(), bounds), "{body}: {:?}", path(all[0]).path.bounding_box());
    }
    // A transform with units is not read by the SVG library, so it must be told.
    let (_, findings) = plain("<path style=\"transform:translate(5px,5px)\" d=\"M1 2h3v4z\"/>");
    assert_eq!(told(&findings), [("transform-bad", 2, 35)]);
}

/// How far a path strays from a circle.
fn stray(path: &kurbo::BezPath, centre: Point, radius: f64) -> f64 {
    use kurbo::ParamCurve as _;
    let samples = path.segments().flat_map(|segment| (0..=16).map(move |i| segment.eval(f64::from(i) / 16.0)));
    samples.map(|point| (point.distance(centre) - radius).abs()).fold(0.0, f64::max)
}

#[test]
fn circles_and_arcs_are_round_however_they_are_written() {
    // Geometry: every point of a circle has the same distance from its centre.
    let arc = "<path d=\"M90 50A40 40 0 0 1 10 50A40 40 0 0 1 90 50\"/>";
    let long = format!("<path d=\"M90 50A40 40 0 0 1 10 50A40 40 0 0 1 90 50{}\"/>", " ".repeat(200));
    let cases = [
        "<circle cx=\"50\" cy=\"50\" r=\"40\"/>",
        "<ellipse cx=\"50\" cy=\"50\" rx=\"40\" ry=\"40\"/>",
        "<rect x=\"10\" y=\"10\" width=\"80\" height=\"80\" rx=\"40\"/>",
        arc,
        &long,
        "<g transform=\"scale(10)\"><circle cx=\"5\" cy=\"5\" r=\"4\"/></g>",
        "<circle transform=\"scale(.1)\" cx=\"500\" cy=\"500\" r=\"400\"/>",
        "<defs><circle id=\"c\" cx=\"40\" cy=\"40\" r=\"40\"/></defs><use href=\"#c\" x=\"10\" y=\"10\"/>",
        "<symbol id=\"c\" overflow=\"visible\"><circle cx=\"40\" cy=\"40\" r=\"40\"><title>x</title></circle></symbol><use href=\"#c\" x=\"10\" y=\"10\"/>",
        "<defs><path id=\"c\" d=\"M80 40A40 40 0 0 1 0 40A40 40 0 0 1 80 40\"/></defs><use href=\"#c\" x=\"10\" y=\"10\"/>",
    ];
    for body in cases {
        let drawing = good(body);
        let off = stray(&path(items(&drawing)[0]).path, Point::new(50.0, 50.0), 40.0);
        assert!(off < 0.0005, "{body}: {off}");
    }
    let clipped = good(
        "<clipPath id=\"c\"><circle cx=\"50\" cy=\"50\" r=\"40\"/></clipPath><rect clip-path=\"url(#c)\" width=\"90\" height=\"90\"/>",
    );
    let off = stray(&items(&clipped)[0].clips[0].path, Point::new(50.0, 50.0), 40.0);
    assert!(off < 0.0005, "{off}");
    let (_, findings) = plain("<circle cx=\"50\" cy=\"50\" r=\"40%\"/>");
    assert_eq!(told(&findings), [("unsupported-unit", 2, 1)]);
}

#[test]
fn dashed_ellipses_start_at_their_right() {
    // SVG 2, "The circle element" and "The ellipse element": the path starts at (cx + rx, cy) and goes to (cx, cy + ry).
    let drawing =
        good("<ellipse cx=\"50\" cy=\"50\" rx=\"10\" ry=\"40\" fill=\"none\" stroke=\"red\" stroke-dasharray=\"9 1\"/>");
    let all = items(&drawing);
    let outline = &path(all[0]).path;
    assert_eq!(outline.elements()[0], kurbo::PathEl::MoveTo(Point::new(60.0, 50.0)));
    assert!(outline.segments().next().is_some_and(|segment| kurbo::ParamCurve::end(&segment).y > 50.0));
}

#[test]
fn long_paths_keep_their_numbers_to_the_last_digit() {
    // The SVG library keeps 24 bits, which is one in 16 million.
    let body: String = (0..100).map(|i| format!("L{i}.123456789 99.987654321")).collect();
    let drawing = good(&format!("<path d=\"M0 0{body}\" fill=\"none\" stroke=\"red\"/>"));
    let bounds = path(items(&drawing)[0]).path.bounding_box();
    assert!((bounds.x1 - 99.123456789).abs() < 1e-9 && (bounds.y1 - 99.987654321).abs() < 1e-9, "{bounds:?}");
}

#[test]
fn lines_scale_with_even_transforms_and_become_outlines_under_uneven_ones() {
    let even = good(
        "<path transform=\"scale(2) rotate(30)\" d=\"M10 0h20\" stroke=\"red\" stroke-width=\".5\" stroke-dasharray=\"3 1\" stroke-dashoffset=\"1\"/>",
    );
    let stroke = path(items(&even)[0]).stroke.clone().unwrap().style;
    assert!((stroke.width - 1.0).abs() < 1e-6 && (stroke.dash_offset - 2.0).abs() < 1e-6);
    assert!((stroke.dash_pattern[0] - 6.0).abs() < 1e-6 && (stroke.dash_pattern[1] - 2.0).abs() < 1e-6);
    let uneven = good(
        "<path transform=\"scale(1 4)\" d=\"M10 10h20v10h-20z\" fill=\"blue\" stroke=\"red\" stroke-width=\"1\" stroke-linejoin=\"miter\"/>",
    );
    let all = items(&uneven);
    assert_eq!(all.len(), 2);
    assert!(path(all[1]).stroke.is_none());
    assert!(near(path(all[1]).path.bounding_box(), Rect::new(9.5, 38.0, 30.5, 82.0)));
}

#[test]
fn clips_are_kept_united_or_refused() {
    let clip = |inside: &str| {
        format!("<clipPath id=\"c\">{inside}</clipPath><circle clip-path=\"url(#c)\" cx=\"20\" cy=\"20\" r=\"10\"/>")
    };
    let one = good(&clip("<rect width=\"20\" height=\"20\"/>"));
    assert_eq!(items(&one)[0].clips.len(), 1);
    assert!(near(items(&one)[0].bounds, Rect::new(10.0, 10.0, 20.0, 20.0)));
    // A rectangle around everything cuts nothing.
    assert!(items(&good(&clip("<rect width=\"50\" height=\"50\"/>")))[0].clips.is_empty());
    let two = good(&clip("<rect width=\"15\" height=\"50\"/><rect x=\"25\" width=\"15\" height=\"50\"/>"));
    assert_eq!(items(&two)[0].clips[0].path.elements().iter().filter(|el| matches!(el, kurbo::PathEl::MoveTo(_))).count(), 2);
    let nested = good(&format!(
        "<clipPath id=\"d\"><circle cx=\"20\" cy=\"20\" r=\"5\"/></clipPath>{}",
        clip("<path d=\"M0 0h20v20h-20z\"/>").replace("id=\"c\"", "id=\"c\" clip-path=\"url(#d)\"")
    ));
    assert_eq!(items(&nested)[0].clips.len(), 2);
    let mixed = plain(&clip("<rect width=\"20\" height=\"50\"/><rect x=\"15\" width=\"15\" height=\"50\"/>")).1;
    assert_eq!(told(&mixed)[0].0, "unsupported-clip");
    // A point inside both clips, and one outside.
    let inside = |item: &Item, p: Point| item.clips.iter().all(|clip| clip.path.winding(p) != 0);
    assert!(inside(items(&nested)[0], Point::new(18.0, 18.0)) && !inside(items(&nested)[0], Point::new(12.0, 12.0)));
}

#[test]
fn opacity_multiplies_and_overlaps_are_told() {
    let drawing = good("<g opacity=\".5\"><rect width=\"10\" height=\"10\" fill=\"red\" fill-opacity=\".5\"/></g>");
    assert!((path(items(&drawing)[0]).fill.unwrap().opacity - 0.25).abs() < 1e-6);
    let (_, findings) =
        plain("<g opacity=\".5\"><rect width=\"10\" height=\"10\"/><rect x=\"5\" width=\"10\" height=\"10\"/></g>");
    assert_eq!(told(&findings), [("opacity-group", 2, 1)]);
}

#[test]
fn words_come_as_outlines_of_fonts_that_are_there() {
    let text = |style: &str, words: &str| format!("<text x=\"10\" y=\"50\" font-size=\"10\" style=\"{style}\">{words}</text>");
    for style in
        ["", "font-family:Noto Sans", "font-family:sans-serif", "font-family:'Noto Sans';font-weight:bold;font-style:italic"]
    {
        let drawing = good(&text(style, "Hem"));
        // Noto Sans has capitals of 714 units in 1000 (its OS/2 table, sCapHeight).
        let bounds = items(&drawing)[0].bounds;
        assert!((bounds.height() - 7.14).abs() < 0.3, "{style}: {bounds:?}");
    }
    let cases = [
        ("font-family:Helvetica", "Hem", "font-missing"),
        ("font-family:Helvetica,sans-serif", "Hem", "font-missing"),
        ("font-family:serif", "Hem", "font-missing"),
        ("font-family:monospace", "Hem", "font-missing"),
        ("", "a\u{65e5}b", "glyph-missing"),
    ];
    for (style, words, code) in cases {
        let (_, findings) = plain(&text(style, words));
        assert_eq!(told(&findings), [(code, 2, 1)], "{style}");
    }
    let (_, findings) = plain(&text("font-family:Helvetica", "Hem"));
    let finding = findings.iter().next().unwrap();
    assert!(finding.message.contains("Helvetica") && finding.message.contains("Hem"));
    assert!(finding.hints[1].contains("Noto Sans"), "{:?}", finding.hints);
    let (_, findings) = plain(&text("", "a\u{65e5}b"));
    assert!(findings.iter().next().unwrap().message.contains("U+65E5"));
}

#[test]
fn a_kits_own_fonts_are_used_and_bad_ones_told() {
    let body = drawing("<text x=\"10\" y=\"50\" font-size=\"10\">Hem</text>");
    let fonts = vec![FontFile { name: "fonts/a.ttf".into(), bytes: b"no font".to_vec() }];
    let (_, findings) = read(body.as_bytes(), &Request::plain("a.svg"), &Folder { fonts, ..Folder::default() });
    assert_eq!(told(&findings), [("font-bad", 0, 0)]);
}

fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let pixels = image::RgbaImage::from_pixel(width, height, image::Rgba([10, 20, 30, 200]));
    pixels.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    bytes.into_inner()
}

#[test]
fn pictures_are_placed_and_bad_ones_told() {
    let folder = Folder {
        pictures: vec![
            ("a.png", png(4, 2)),
            ("b.png", b"\x89PNG broken".to_vec()),
            ("c.gif", b"GIF89a\x01\0\x01\0\0\0\0;".to_vec()),
            ("d.svg", b"<svg/>".to_vec()),
        ],
        ..Folder::default()
    };
    let of = |body: &str| read(drawing(body).as_bytes(), &Request::plain("a.svg"), &folder);
    let (drawing, findings) = of("<image x=\"10\" y=\"10\" width=\"40\" height=\"40\" href=\"a.png\" opacity=\".5\"/>");
    assert!(findings.is_empty(), "{findings:?}");
    let drawing = drawing.unwrap();
    let all = items(&drawing);
    let Shape::Image(picture) = &all[0].shape else { panic!("a picture") };
    assert_eq!((picture.pixels.width, picture.pixels.height, picture.pixels.rgb.len()), (4, 2, 24));
    assert_eq!(picture.pixels.alpha.as_ref().map(Vec::len), Some(8));
    assert!((picture.opacity - 0.5).abs() < 1e-6);
    // preserveAspectRatio meets and centres: 40 wide, 20 high, in the middle.
    assert!(near(all[0].bounds, Rect::new(10.0, 20.0, 50.0, 40.0)), "{:?}", all[0].bounds);
    let line = "<path d=\"M0 0h9\" stroke=\"red\"/>\n";
    let cases = [
        ("href=\"gone.png\"", "image-missing"),
        ("href=\"https://example.org/a.png\"", "image-missing"),
        ("href=\"file:///etc/passwd\"", "image-missing"),
        ("href=\"/dev/zero\"", "image-missing"),
        ("", "image-missing"),
        ("href=\"b.png\"", "image-bad"),
        ("href=\"c.gif\"", "image-bad"),
        ("href=\"data:image/png;base64,AAAA\"", "image-bad"),
        ("href=\"data:image/png;base64,###\"", "image-bad"),
        ("href=\"data:\"", "image-bad"),
        ("href=\"d.svg\"", "unsupported-image"),
        ("href=\"data:image/svg+xml,%3Csvg/%3E\"", "unsupported-image"),
    ];
    for (href, code) in cases {
        let (_, findings) = of(&format!("{line}<image width=\"4\" height=\"4\" {href}/>"));
        assert_eq!(told(&findings), [(code, 3, 1)], "{href}");
    }
}

#[test]
fn what_lies_outside_the_page_is_told() {
    let (drawing, findings) = plain("<path d=\"M0 0h9\" stroke=\"red\"/>\n<path d=\"M200 0h9\" stroke=\"red\"/>");
    assert_eq!(told(&findings), [("outside-page", 3, 1)]);
    assert_eq!(items(&drawing.unwrap()).len(), 1);
}

#[test]
fn hidden_parts_are_left_out_and_markers_drawn() {
    let hidden = "<path d=\"M0 0h9\" stroke=\"red\"/><g visibility=\"hidden\"><path d=\"M0 5h9\" stroke=\"red\"/><path visibility=\"visible\" d=\"M0 8h9\" stroke=\"red\"/></g>";
    assert_eq!(items(&good(hidden)).len(), 2);
    let marker = "<marker id=\"m\" markerUnits=\"userSpaceOnUse\" markerWidth=\"4\" markerHeight=\"4\"><path d=\"M0 0h2v2z\"/></marker><path d=\"M10 10h9\" stroke=\"red\" marker-end=\"url(#m)\"/>";
    assert_eq!(items(&good(marker)).len(), 2);
}

#[test]
fn loose_items_are_gathered_by_place_and_number() {
    let many: String = (0..100).map(|i| format!("<path d=\"M{i} 0v9\" stroke=\"red\"/>")).collect();
    assert_eq!(good(&many).pieces.len(), 1);
    let long: String = (0..6).map(|i| format!("<path d=\"M0 {i}{}\" stroke=\"red\"/>", "h1h-1".repeat(1000))).collect();
    assert_eq!(good(&long).pieces.len(), 3);
    let groups = "<g id=\"pattern\"><g id=\"front\"><path d=\"M0 0v9\" stroke=\"red\"/></g><path d=\"M0 0v9\" stroke=\"red\"/><g id=\"back\"><path d=\"M0 0v9\" stroke=\"red\"/></g></g>";
    let drawing = good(groups);
    let names: Vec<Option<&str>> = drawing.pieces.iter().map(|piece| piece.name.as_deref()).collect();
    assert_eq!(names, [Some("front"), None, Some("back")]);
}

#[test]
fn a_dot_without_length_is_what_its_ends_paint() {
    let area = |body: &str| {
        let drawing = good(&format!("<path d=\"M0 0h9\" stroke=\"red\"/>{body}"));
        let all = items(&drawing);
        all.get(1).map(|dot| {
            let Shape::Path(dot) = &dot.shape else { panic!("a path") };
            assert!(dot.stroke.is_none() && dot.fill.is_some());
            (dot.path.bounding_box(), dot.path.area().abs())
        })
    };
    // SVG 2, 13.5.4: a circle, or a square along the axes, as wide as the line; nothing with butt ends.
    let round = |data: &str| area(&format!("<path d=\"{data}\" stroke=\"red\" stroke-width=\"4\" stroke-linecap=\"round\"/>"));
    for data in ["M50 50h0", "M50 50z", "M50 50L50 50z", "M50 50c0 0 0 0 0 0"] {
        let (bounds, area) = round(data).unwrap();
        assert!(near(bounds, Rect::new(48.0, 48.0, 52.0, 52.0)) && (area - 4.0 * std::f64::consts::PI).abs() < 0.01, "{data}");
    }
    let square = "<g transform=\"rotate(45 50 50)\"><line x1=\"50\" x2=\"50\" y1=\"50\" y2=\"50\" stroke=\"red\" stroke-width=\"4\" stroke-linecap=\"square\"/></g>";
    let (bounds, area_of) = area(square).unwrap();
    assert!((bounds.width() - 4.0 * 2f64.sqrt()).abs() < 1e-4 && (area_of - 16.0).abs() < 1e-4);
    assert_eq!(area("<path d=\"M50 50h0\" stroke=\"red\" stroke-width=\"4\"/>"), None);
}
