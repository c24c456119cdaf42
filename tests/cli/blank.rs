//! Blank sheets: made without a drawing, filled in by hand, and built again with everything where it lay.

use crate::scene::Scene;
use crate::sheet::unpacked;
use serde_json::Value;

/// A kit of 2 rows and 3 columns, and all that does not change once there is a drawing.
const HEAD: &str = "name: pouch\ntitle: Pouch\npublisher: Ploverfield Paper\nedition: 1.0.0\ndate: 2026-11-20\n\
    copyright: © 2026 Ploverfield Paper\npapers: [a4]\n";
const BLANK: &str = "blank: {rows: 2, columns: 3}\n";
const DRAWN: &str = "drawing: {file: filled.svg}\n";
const SVG: &str = "pouch-1.0.0-blank-a4.svg";

/// The SVG of a blank build.
fn blank_svg(more: &str) -> (Scene, String) {
    let scene = Scene::new().file("kit/kit.yaml", &format!("{HEAD}{BLANK}{more}"));
    scene.run(&["build", "kit", "--out", "made"]).expect_code(0);
    let svg = unpacked(&scene.bytes("made/pouch-1.0.0.zip"), SVG);
    (scene, String::from_utf8(svg).unwrap())
}

fn layout(scene: &Scene, kit: &str) -> Value {
    scene.run(&["plan", kit, "--format", "json"]).expect_code(0).json()["layouts"][0].clone()
}

fn labels(layout: &Value) -> Vec<&str> {
    layout["sheets"].as_array().unwrap().iter().map(|sheet| sheet["label"].as_str().unwrap()).collect()
}

/// Puts a path on the layer that is called `drawing`, right behind the opening tag.
fn with_path(svg: &str, path: &str) -> String {
    let (before, rest) = svg.split_once("id=\"drawing\"").expect("a layer for the drawing");
    let (attributes, after) = rest.split_once('>').unwrap();
    format!("{before}id=\"drawing\"{attributes}>{path}{after}")
}

#[test]
fn a_blank_kit_has_all_its_sheets_and_keeps_its_promises() {
    let (scene, svg) = blank_svg("");
    let plan = layout(&scene, "kit");
    assert_eq!(labels(&plan), ["A1", "A2", "A3", "B1", "B2", "B3"]);
    assert_eq!(plan["joins"].as_array().unwrap().len(), 7);
    scene.run(&["verify", "made/pouch-1.0.0.zip"]).expect_code(0);
    let side = |key: &str| plan[key].as_f64().unwrap();
    let (width, height) = (3.0 * side("tile_width_mm"), 2.0 * side("tile_height_mm"));
    let stated =
        |key: &str| svg.split(&format!("{key}=\"")).nth(1).unwrap().split("mm\"").next().unwrap().parse::<f64>().unwrap();
    assert!((stated("width") - width).abs() < 1e-4 && (stated("height") - height).abs() < 1e-4, "{width} × {height}");
}

#[test]
fn blank_layers_are_those_of_the_manifest() {
    let (_, svg) = blank_svg("base-layers: [words]\nsizes: [{name: S, layer: size S}, {name: L, layer: size L}]\n");
    let names: Vec<&str> = svg.split("inkscape:label=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert_eq!(names, ["kitwright-frame", "drawing", "words", "size S", "size L"]);
}

/// What comes back from a vector program, whole and with ever fewer of our marks left on the frame.
#[test]
fn what_is_drawn_on_blank_sheets_stays_where_it_lies() {
    let (scene, svg) = blank_svg("");
    let blank = layout(&scene, "kit");
    let (tile, down) = (blank["tile_width_mm"].as_f64().unwrap(), blank["tile_height_mm"].as_f64().unwrap());
    // From the middle of sheet B2 to the middle of sheet B3: nothing on the first row or in the first column.
    let (from, to, y) = (1.5 * tile, 2.5 * tile, 1.5 * down);
    let path = format!("<path d=\"M{from} {y}H{to}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.5\"/>");
    let filled = with_path(&svg, &path);
    let forgetful = filled.replace(" data-kitwright=\"frame\"", "");
    let renamed = forgetful.replace("id=\"kitwright-frame\"", "id=\"g1\"");
    for (number, drawing) in [filled, forgetful, renamed].into_iter().enumerate() {
        let kit = format!("kit-{number}");
        scene.write(&format!("{kit}/kit.yaml"), &format!("{HEAD}{DRAWN}"));
        scene.write(&format!("{kit}/filled.svg"), &drawing);
        let plan = layout(&scene, &kit);
        assert_eq!(labels(&plan), ["B2", "B3"], "{kit}");
        for key in ["origin_x_mm", "origin_y_mm"] {
            assert!((plan[key].as_f64().unwrap() - blank[key].as_f64().unwrap()).abs() < 1e-6, "{kit}: {key}");
        }
        let out = format!("{kit}/out");
        scene.run(&["build", &kit, "--out", &out]).expect_code(0);
        scene.run(&["verify", &format!("{out}/pouch-1.0.0.zip")]).expect_code(0);
        let promises = unpacked(&scene.bytes(&format!("{out}/pouch-1.0.0.zip")), "promises.json");
        let promises: Value = serde_json::from_slice(&promises).unwrap();
        let area = |sheet: usize| promises["papers"][0]["sheets"][sheet]["area_mm"][0].as_f64().unwrap();
        assert!((area(0) - tile).abs() < 1e-4 && (area(1) - 2.0 * tile).abs() < 1e-4, "{kit}");
    }
}

#[test]
fn a_frame_moved_with_its_drawing_takes_the_tiles_along() {
    let (scene, svg) = blank_svg("");
    let path = "<path d=\"M20 20h300v200\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.5\"/>";
    let moved = with_path(&svg, path).replace("<g id=", "<g transform=\"translate(12 -7)\" id=");
    scene.write("kit/filled.svg", &moved);
    scene.write("kit/kit.yaml", &format!("{HEAD}{DRAWN}"));
    let plan = layout(&scene, "kit");
    assert_eq!((plan["origin_x_mm"].as_f64(), plan["origin_y_mm"].as_f64()), (Some(12.0), Some(-7.0)));
}

#[test]
fn a_frame_off_scale_is_told() {
    let (scene, svg) = blank_svg("");
    let path = "<path d=\"M20 20h300v200\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.5\"/>";
    // Saved at 72 units an inch, read at 96.
    let small = with_path(&svg, path).replacen("<svg ", "<svg data-was=\"1\" ", 1);
    let width = small.split("width=\"").nth(1).unwrap().split("mm").next().unwrap().to_owned();
    let height = small.split("height=\"").nth(1).unwrap().split("mm").next().unwrap().to_owned();
    let shrunk = |mm: &str| format!("{}mm", mm.parse::<f64>().unwrap() * 0.75);
    let small = small.replacen(&format!("width=\"{width}mm\""), &format!("width=\"{}\"", shrunk(&width)), 1);
    let small = small.replacen(&format!("height=\"{height}mm\""), &format!("height=\"{}\"", shrunk(&height)), 1);
    scene.write("kit/filled.svg", &small);
    scene.write("kit/kit.yaml", &format!("{HEAD}{DRAWN}"));
    let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(1);
    assert_eq!(outcome.findings().iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["frame-scale"]);
    // Other margins make other tiles: a warning, since the drawing itself is not wrong.
    scene.write("kit/filled.svg", &with_path(&svg, path));
    scene.write("kit/kit.yaml", &format!("{HEAD}{DRAWN}border: 6 mm\n"));
    let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(0);
    assert_eq!(outcome.findings().iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["frame-stale"]);
}

#[test]
fn what_blank_kits_cannot_be_is_refused() {
    let cases = [
        (format!("{HEAD}{BLANK}{DRAWN}"), "blank-drawing"),
        (format!("{HEAD}blank: {{rows: 0, columns: 3}}\n"), "value-range"),
        (format!("{HEAD}blank: {{rows: 2, columns: 41}}\n"), "value-range"),
        (format!("{HEAD}blank: {{rows: 2.5, columns: 3}}\n"), "value-type"),
        (format!("{HEAD}blank: {{rows: two, columns: 3}}\n"), "value-type"),
        (format!("{HEAD}blank: {{rows: 2}}\n"), "key-missing"),
        (HEAD.replace("[a4]", "[a4, roll-914]") + BLANK, "blank-roll"),
        (HEAD.to_owned(), "key-missing"),
    ];
    for (manifest, code) in cases {
        let scene = Scene::new().file("kit/kit.yaml", &manifest);
        let outcome = scene.run(&["check", "kit", "--format", "json"]).expect_code(1);
        let codes: Vec<String> = outcome.findings().into_iter().map(|finding| finding.code).collect();
        assert_eq!(codes, [code], "{manifest}");
        assert!(outcome.findings().iter().all(|finding| finding.hints > 0), "{code} does not say what to do");
    }
}
