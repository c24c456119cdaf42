//! Drawings that are too much: for the XML reader, for memory, for patience; and those that only look so.

use super::{check, kit, refused, svg};

/// A drawing that is refused with this code.
#[track_caller]
fn bad(body: &str, code: &str) {
    refused(&kit(svg(body)), code);
}

#[track_caller]
fn fine(bytes: impl AsRef<[u8]>) {
    assert_eq!(check(&kit(bytes), &[]), []);
}

#[test]
fn a_tag_with_a_million_attributes() {
    let many: String = (0..1_000_000).map(|n| format!(" a{n}=\"\"")).collect();
    bad(&format!("<path d=\"M0 0h9\"{many}/>"), "drawing-too-complex");
    let one = "fill:none;".repeat(1_000_000);
    bad(&format!("<path d=\"M0 0h9\" style=\"{one}\"/>"), "drawing-too-complex");
}

#[test]
fn three_hundred_namespaces() {
    let spaces = |count: usize| -> String { (0..count).map(|n| format!(" xmlns:n{n}=\"urn:{n}\"")).collect() };
    bad(&format!("<g{}/>", spaces(300)), "drawing-too-complex");
    // As many as are taken, and each element declares one more.
    let more = "<g xmlns:more=\"urn:more\"/>".repeat(50_000);
    fine(svg(&format!("<g{}>{more}</g>", spaces(250))));
}

#[test]
fn a_million_nested_groups() {
    bad(&"<g>".repeat(1_000_000), "drawing-too-complex");
    let nest = |depth: usize| svg(&format!("{}{}", "<g>".repeat(depth), "</g>".repeat(depth)));
    refused(&kit(nest(300)), "drawing-too-complex");
    assert_eq!(check(&kit(nest(300)), &["--larger", "2"]), []);
    // The library's own depth is reached before a hundred times the usual one, and ends in a finding too.
    let deep = check(&kit(nest(20_000)), &["--larger", "100"]);
    assert!(deep.iter().all(|finding| finding.code == "drawing-too-complex") && deep.len() == 1, "{deep:?}");
}

#[test]
fn more_elements_than_are_read() {
    bad(&"<g/>".repeat(2_000_001), "drawing-too-complex");
    bad(&"<g/>".repeat(1_000_001), "drawing-too-complex");
}

#[test]
fn a_file_larger_than_is_read() {
    let scene = kit("");
    std::fs::File::create(scene.path("kit/d.svg")).unwrap().set_len(201_000_000).unwrap();
    refused(&scene, "drawing-too-large");
}

#[test]
fn entities_that_grow() {
    let bomb = |declared: &str, used: &str| {
        kit(svg(&format!("<text>{used}</text>")).replacen("<svg", &format!("<!DOCTYPE svg [{declared}]>\n<svg"), 1))
    };
    let laugh = |level: usize| format!("<!ENTITY l{level} \"{}\">", format!("&l{};", level - 1).repeat(10));
    let laughs: String = (1..20).map(laugh).collect();
    refused(&bomb(&format!("<!ENTITY l0 \"ha\">{laughs}"), "&l19;"), "xml-entity");
    let long = "a".repeat(50_000);
    refused(&bomb(&format!("<!ENTITY a \"{long}\">"), &"&a;".repeat(50_000)), "xml-entity");
    refused(&bomb("<!ENTITY a \"&b;\"><!ENTITY b \"&a;\">", "&a;"), "xml-syntax");
    refused(&bomb("<!ENTITY % a \"b\">%a;", ""), "xml-entity");
}

#[test]
fn a_doctype_with_the_namespaces_of_common_editors() {
    let doctype = "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [\n\
        <!ENTITY ns_svg \"http://www.w3.org/2000/svg\">\n<!ENTITY ns_xlink \"http://www.w3.org/1999/xlink\">\n]>\n";
    let named = svg("")
        .replace("xmlns=\"http://www.w3.org/2000/svg\"", "xmlns=\"&ns_svg;\"")
        .replace("xmlns:xlink=\"http://www.w3.org/1999/xlink\"", "xmlns:xlink=\"&ns_xlink;\"");
    fine(format!("<?xml version=\"1.0\"?>\n{doctype}{named}"));
    let plain = "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">";
    fine(format!("{plain}\n{}", svg("")));
}

#[test]
fn clones_that_hold_themselves_or_double() {
    bad("<g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g>", "use-cycle");
    let double = |n: usize| format!("<g id=\"a{n}\"><use href=\"#a{m}\"/><use href=\"#a{m}\"/></g>", m = n - 1);
    let doublings: String = (1..=40).map(double).collect();
    bad(&format!("<defs><path id=\"a0\" d=\"M0 0h9\"/></defs>{doublings}"), "drawing-too-complex");
    // Few elements and many points.
    let long = format!("<path id=\"a0\" stroke=\"red\" d=\"M0 0{}\"/>", "h1h-1".repeat(1_000));
    let eleven: String = (1..=14).map(double).collect();
    bad(&format!("<defs>{long}</defs>{eleven}"), "drawing-too-complex");
}

#[test]
fn a_marker_on_every_point() {
    let inside = "<path d=\"M0 0h1\"/>".repeat(1_000);
    let marked = format!("<g marker-mid=\"url(#m)\"><path stroke=\"red\" d=\"M0 0{}\"/></g>", "h1h-1".repeat(10_000));
    bad(&format!("<marker id=\"m\">{inside}</marker>{marked}"), "drawing-too-complex");
}

#[test]
fn more_rules_than_can_be_followed() {
    let rules: String = (0..20_000).map(|n| format!(".c{n}{{display:inline}}")).collect();
    bad(&format!("<style>{rules}</style>{}", "<g/>".repeat(20_000)), "drawing-too-complex");
}

#[test]
fn numbers_that_are_none() {
    for (value, code) in
        [("NaN", "number-bad"), ("1e308", "number-bad"), ("1e", "path-bad"), ("1e400", "number-bad"), ("-1e308", "number-bad")]
    {
        bad(&format!("<path stroke=\"red\" d=\"M0 0 L {value} 5\"/>"), code);
    }
    for value in ["NaN", "1e308", "1e", "inf", "0x10"] {
        bad(&format!("<rect stroke=\"red\" x=\"1\" y=\"1\" width=\"{value}\" height=\"5\"/>"), "number-bad");
    }
    for value in ["scale(1e308)", "translate(NaN)", "rotate(1e)", "matrix(1 0 0 1 1e308 0)"] {
        let findings = check(&kit(svg(&format!("<g transform=\"{value}\"><path d=\"M0 0h5\" stroke=\"red\"/></g>"))), &[]);
        let told = findings.iter().all(|finding| ["transform-bad", "number-bad"].contains(&finding.code.as_str()));
        assert!(told && !findings.is_empty(), "{value}: {findings:?}");
    }
}

#[test]
fn a_million_broken_values() {
    bad(&"<path d=\"M x\"/>".repeat(500_000), "drawing-too-complex");
    bad(&"<use href=\"#gone\"/>".repeat(200_000), "reference-missing");
    bad(&"<script/>".repeat(200_000), "unsupported-script");
}

#[test]
fn a_path_of_ten_megabytes() {
    // As a tracing program may leave it: a line in a great many short steps.
    let step = |n: u32| {
        let (turn, far) = (f64::from(n) / 3000.0, f64::from(n) / 720_000.0);
        format!("L{:.3} {:.3}", 50.0 + 45.0 * turn.cos() * far, 50.0 + 45.0 * turn.sin() * far)
    };
    let points: String = (0..720_000).map(step).collect();
    assert!(points.len() > 10_000_000);
    fine(svg(&format!("<path fill=\"none\" stroke=\"#000\" stroke-width=\"0.3\" d=\"M50 50{points}\"/>")));
    bad(&format!("<path stroke=\"red\" d=\"M0 0{}\"/>", "h1".repeat(21_000_000)), "drawing-too-complex");
}

#[test]
fn short_files_that_ask_for_much_ink() {
    let path = |d: &str, more: &str| format!("<path fill=\"none\" stroke=\"#000\" {more} d=\"{d}\"/>");
    bad(&path("M5 5H90V90H5Z", "stroke-dasharray=\"0.0001\""), "drawing-too-complex");
    let thick = check(&kit(svg(&path("M5 5H90V90H5Z", "stroke-width=\"1e30\""))), &[]);
    assert!(thick.iter().any(|finding| finding.code == "number-bad"), "{thick:?}");
    bad(&path("M5 5L90000 90000", ""), "drawing-too-large");
    let back: String = (0..300).map(|n| format!("L{} {}", n, if n % 2 == 0 { 18_000 } else { 5 })).collect();
    bad(&path(&format!("M5 5{back}"), ""), "drawing-too-complex");
}

#[test]
fn words_of_ten_megabytes() {
    bad(&format!("<text x=\"5\" y=\"50\">{}</text>", "word ".repeat(100_000)), "drawing-too-complex");
    let texts = format!("<text x=\"5\" y=\"50\">{}</text>", "word ".repeat(1_900)).repeat(66);
    bad(&texts, "drawing-too-complex");
    bad(&format!("<text x=\"5\" y=\"50\">{}</text>", "word ".repeat(2_000_000)), "drawing-too-complex");
    bad(&format!("<text x=\"5\" y=\"50\">{}</text>", "<tspan>word</tspan>".repeat(200_000)), "drawing-too-complex");
}

#[test]
fn other_encodings_and_what_is_cut_off() {
    let text = svg("<text x=\"5\" y=\"50\">Größe</text>");
    let utf16 = |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> { format!("\u{feff}{text}").encode_utf16().flat_map(bytes).collect() };
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let declared = [b"<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>".to_vec(), latin.clone()].concat();
    let nul = text.replace("90", "9\u{0}0").into_bytes();
    for bytes in [utf16(u16::to_le_bytes), utf16(u16::to_be_bytes), latin, declared, nul] {
        refused(&kit(bytes), "drawing-encoding");
    }
    fine(format!("\u{feff}{text}"));
    for end in [text.len() - 1, text.len() / 2, text.find("stroke").unwrap() + 3, 20, 1, 0] {
        refused(&kit(&text.as_bytes()[..end]), "xml-syntax");
    }
}

/// The head of a PNG that claims this many pixels a side, and holds none.
fn png(side: u32) -> Vec<u8> {
    let mut chunk = b"IHDR".to_vec();
    chunk.extend([side.to_be_bytes(), side.to_be_bytes()].concat());
    chunk.extend([8, 2, 0, 0, 0]);
    let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\x0d".to_vec();
    bytes.extend(&chunk);
    bytes.extend(crc(&chunk).to_be_bytes());
    bytes
}

/// The check of a chunk of PNG (W3C, Portable Network Graphics, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let step = |crc: u32, _| if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
    !bytes.iter().fold(!0, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), step))
}

#[test]
fn a_picture_of_sixty_thousand_pixels_a_side() {
    let scene = kit(svg("<image href=\"p.png\" width=\"50\" height=\"50\"/>"));
    std::fs::write(scene.path("kit/p.png"), png(60_000)).unwrap();
    refused(&scene, "image-bad");
    let scene = kit(svg("")).file("kit/kit.yaml", &super::manifest("logo: p.png\n"));
    std::fs::write(scene.path("kit/p.png"), png(60_000)).unwrap();
    refused(&scene, "logo-unreadable");
}
