//! Control measurements against closed forms, and what is told when nothing can be measured.

use super::super::{
    Drawing, Request, read,
    trial::{drawing, told},
};
use crate::diagnostic::Findings;
use crate::drawing::{Measured, TraceKind};
use crate::manifest::{Between, Control, ControlTarget, Extent, Notch, Side, SizeLayer, Way};
use crate::units::{Length, Point};

fn control(target: ControlTarget, length: f64) -> Control {
    let entry = "control-measurements[0]".into();
    let (length, tolerance) = (Length::mm(length), Length::mm(0.05));
    Control { name: "body".into(), target, size: None, length, tolerance, entry }
}

/// The whole of the element `c`.
fn whole(extent: Extent) -> ControlTarget {
    ControlTarget::Side(Side { element: "c".into(), extent, between: None })
}

fn measured(text: &str, target: ControlTarget, length: f64) -> (Option<Drawing>, Findings) {
    let request = Request { controls: vec![control(target, length)], ..Request::plain("a.svg") };
    read(text.as_bytes(), &request, &())
}

fn length_of(body: &str, extent: Extent) -> f64 {
    let (drawing, _) = measured(&drawing(body), whole(extent), 1.0);
    drawing.unwrap().controls[0].as_ref().unwrap().length.to_mm()
}

#[test]
fn lengths_along_curves_are_those_of_geometry() {
    // Circumference 2 pi r; quarter arc of radius 10; parabola y = x^2 from 0 to 1 has (sqrt 5 + asinh(2) / 2) / 2.
    let pi = std::f64::consts::PI;
    let parabola = (5f64.sqrt() + 2f64.asinh() / 2.0) / 2.0;
    let cases = [
        ("<line id=\"c\" x1=\"10\" y1=\"10\" x2=\"40\" y2=\"50\" stroke=\"red\"/>", 50.0),
        ("<circle id=\"c\" cx=\"50\" cy=\"50\" r=\"20\"/>", 40.0 * pi),
        ("<path id=\"c\" d=\"M10 0A10 10 0 0 1 20 10\"/>", 5.0 * pi),
        ("<path id=\"c\" d=\"M0 0Q.5 0 1 1\"/>", parabola),
        ("<path id=\"c\" d=\"M0 0h10v10h-10z\"/>", 40.0),
        ("<path id=\"c\" d=\"M0 0h10v10zl3 4\"/>", 25.0 + 200f64.sqrt() - 0.0),
        ("<polyline id=\"c\" points=\"0,0 3,4 3,14\" stroke=\"red\"/>", 15.0),
        ("<rect id=\"c\" width=\"30\" height=\"20\" rx=\"5\"/>", 2.0 * 20.0 + 2.0 * 10.0 + 10.0 * pi),
        (
            "<g transform=\"translate(5 5)\"><g transform=\"scale(2)\"><path id=\"c\" transform=\"rotate(30)\" d=\"M0 0h10\"/></g></g>",
            20.0,
        ),
        ("<svg x=\"10\" width=\"50\" height=\"50\" viewBox=\"0 0 10 10\"><path id=\"c\" d=\"M0 0h4\"/></svg>", 20.0),
    ];
    for (body, expected) in cases {
        let found = length_of(&format!("{body}<path d=\"M0 0h9\" stroke=\"red\"/>"), Extent::Length);
        assert!((found - expected).abs() < 1e-5, "{body}: {found} for {expected}");
    }
}

#[test]
fn width_and_height_leave_out_the_stroke() {
    let body = "<g id=\"c\"><rect x=\"10\" y=\"20\" width=\"30\" height=\"5\" stroke=\"red\" stroke-width=\"4\"/><circle cx=\"60\" cy=\"60\" r=\"8\"/></g>";
    assert!((length_of(body, Extent::Width) - 58.0).abs() < 1e-5);
    assert!((length_of(body, Extent::Height) - 48.0).abs() < 1e-5);
    let text = drawing("<rect id=\"c\" x=\"10\" y=\"20\" width=\"30\" height=\"5\"/>");
    let (drawing, findings) = measured(&text, whole(Extent::Width), 30.0);
    assert!(findings.is_empty(), "{findings:?}");
    let ends = drawing.unwrap().controls[0].as_ref().unwrap().traces[0].points.clone();
    assert!((ends[0].to_kurbo_mm() - kurbo::Point::new(10.0, 20.0)).hypot() < 1e-9);
    assert!((ends[1].to_kurbo_mm() - kurbo::Point::new(40.0, 20.0)).hypot() < 1e-9);
}

#[test]
fn a_broken_promise_says_by_how_much() {
    let text = drawing("<path id=\"c\" d=\"M0 0h41.9\" stroke=\"red\"/>");
    let (_, findings) = measured(&text, whole(Extent::Length), 42.0);
    let finding = findings.iter().next().unwrap();
    assert_eq!(finding.code, "control-off");
    assert!(finding.message.contains("41.900 mm") && finding.message.contains("0.100 mm too short"), "{}", finding.message);
    // In f64: an offset of a million units does not hurt, though the SVG library would lose a sixteenth of a unit.
    let far = drawing(
        "<path d=\"M0 0h9\" stroke=\"red\"/><g transform=\"translate(-1000000)\"><path id=\"c\" d=\"M1000000.01 0h42.03\" stroke=\"red\"/></g>",
    );
    let (drawing, _) = measured(&far, whole(Extent::Length), 42.0);
    assert!((drawing.unwrap().controls[0].as_ref().unwrap().length.to_mm() - 42.03).abs() < 1e-6);
}

#[test]
fn points_are_taken_at_line_ends_nearby() {
    let text = drawing("<path d=\"M10 10h30.02v5\" stroke=\"red\"/>");
    let points = |x: f64| {
        let at = |x: f64| Point::new(Length::mm(x), Length::mm(10.0));
        ControlTarget::Points(at(10.0), at(x))
    };
    let (drawing, findings) = measured(&text, points(40.0), 30.0);
    assert!(findings.is_empty(), "{findings:?}");
    assert!((drawing.unwrap().controls[0].as_ref().unwrap().length.to_mm() - 30.02).abs() < 1e-4);
    assert_eq!(told(&measured(&text, points(45.0), 35.0).1), [("control-element", 0, 0)]);
    assert_eq!(told(&measured(&text, points(40.0), 30.2).1), [("control-off", 0, 0)]);
}

#[test]
fn what_cannot_be_measured_is_told() {
    let line = "<path d=\"M0 0h9\" stroke=\"red\"/>";
    let cases = [
        "<text id=\"c\">a</text>",
        "<g id=\"c\"/>",
        "<g id=\"c\"><path d=\"M0 0h1\"/><path d=\"M0 0h1\"/></g>",
        "<path data-name=\"c\" d=\"M0 0h1\"/><path data-name=\"c\" d=\"M0 0h1\"/>",
        "<path id=\"C\" d=\"M0 0h1\"/>",
        "<rect id=\"c\" width=\"10%\" height=\"5\"/>",
        "<defs><path id=\"c\" d=\"M0 0h1\"/></defs><use href=\"#c\"/>",
    ];
    for body in cases {
        let (drawing, findings) = measured(&drawing(&format!("{line}{body}")), whole(Extent::Length), 1.0);
        assert_eq!(told(&findings), [("control-element", 0, 0)], "{body}");
        assert_eq!(drawing.unwrap().controls, [None]);
    }
}

#[test]
fn a_wrong_scale_is_told_instead_of_wrong_lengths() {
    // 28.35 units for 10 mm: how an editor that counts 72 an inch writes it.
    let text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500\" height=\"500\"><path id=\"c\" d=\"M0 0h283.4646\" stroke=\"red\"/></svg>";
    let (_, findings) = measured(text, whole(Extent::Length), 100.0);
    assert_eq!(told(&findings), [("scale-suspect", 1, 1)]);
    assert!(findings.iter().next().unwrap().hints[0].contains("units-per-inch: 72"));
    let fits = text.replace("283.4646", "377.9528");
    assert_eq!(told(&measured(&fits, whole(Extent::Length), 100.0).1), []);
}

/// The element `c` between two notches.
fn between(notches: [Notch; 2], way: Way) -> ControlTarget {
    ControlTarget::Side(Side { element: "c".into(), extent: Extent::Length, between: Some(Between { notches, way }) })
}

fn named(name: &str) -> Notch {
    Notch::Element(name.into())
}

fn at(x: f64, y: f64) -> Notch {
    Notch::Point(Point::new(Length::mm(x), Length::mm(y)))
}

fn taken(body: &str, target: ControlTarget) -> Result<Measured, String> {
    let (drawing, findings) = measured(&drawing(body), target, 1.0);
    let first = || findings.iter().next().map(|finding| format!("{}: {}", finding.code, finding.message));
    drawing.and_then(|drawing| drawing.controls[0].clone()).ok_or_else(|| first().unwrap_or_default())
}

#[track_caller]
fn is(body: &str, target: ControlTarget, expected: f64) -> Measured {
    let found = taken(body, target).unwrap();
    assert!((found.length.to_mm() - expected).abs() < 1e-4, "{body}: {} for {expected}", found.length.to_mm());
    found
}

#[test]
fn whole_outlines_are_those_of_geometry() {
    let pi = std::f64::consts::PI;
    is("<circle id=\"c\" cx=\"50\" cy=\"50\" r=\"20\"/>", whole(Extent::Outline), 40.0 * pi);
    // An ellipse with axes 2a and 2b, b = a / 2, is 4 a E(m) long, m = 3/4; E(3/4) = 1.21105 60275 68460, as the tables of
    // complete elliptic integrals have it (Abramowitz and Stegun, chapter 17; from memory).
    let ellipse = "<ellipse id=\"c\" cx=\"50\" cy=\"50\" rx=\"20\" ry=\"10\"/>";
    let found = is(ellipse, whole(Extent::Outline), 80.0 * 1.211_056_027_568_46);
    assert_eq!(found.traces.iter().map(|trace| trace.kind).collect::<Vec<_>>(), [TraceKind::Outline]);
    assert_eq!(found.traces[0].points.len(), 9);
    assert!(taken("<path id=\"c\" d=\"M0 0h9v9h-9zM2 2h1v1z\"/>", whole(Extent::Outline)).unwrap_err().contains("several"));
    assert!(taken("<path id=\"c\" d=\"M0 0h9v9\"/>", whole(Extent::Outline)).unwrap_err().contains("not closed"));
}

#[test]
fn an_edge_is_measured_from_notch_to_notch() {
    let pi = std::f64::consts::PI;
    // Touching from inside, crossing, a triangle whose apex lies inside, a double notch, and one that stops 0.4 mm short.
    let notches = "<path id=\"touch\" d=\"M20 10v4\"/><path id=\"cross\" d=\"M30 8v4\"/><path id=\"vee\" d=\"M39 10l1 3 1 -3\"/>\
        <path id=\"double\" d=\"M48 10v4M52 10v4\"/><path id=\"short\" d=\"M70 10.4v4\"/><path id=\"far\" d=\"M70 12v4\"/>\
        <path id=\"wide\" d=\"M20 10v4M40 10v4\"/>";
    let line = format!("<path id=\"c\" d=\"M10 10h80\" stroke=\"red\"/>{notches}");
    let cases = [("touch", "cross", 10.0), ("touch", "vee", 20.0), ("double", "cross", 20.0), ("short", "touch", 50.0)];
    for (one, other, expected) in cases {
        is(&line, between([named(one), named(other)], Way::Short), expected);
    }
    for notch in ["far", "wide"] {
        let refused = taken(&line, between([named("touch"), named(notch)], Way::Short)).unwrap_err();
        assert!(refused.starts_with("control-notch"), "{refused}");
    }
    // A clone of a notch in store, moved and turned.
    let clone = format!(
        "<defs><path id=\"n\" transform=\"translate(0 1)\" d=\"M0 0v4\"/></defs>{line}\
         <use id=\"clone\" href=\"#n\" x=\"2\" transform=\"translate(62 8) rotate(10)\"/>"
    );
    // Its foot lies at (2, 1), turned by 10°; it meets the line 1.4 mm further down, along a direction that leans by 10°.
    let (sin, cos) = 10f64.to_radians().sin_cos();
    let foot = kurbo::Point::new(62.0 + 2.0 * cos - sin, 8.0 + 2.0 * sin + cos);
    is(&clone, between([named("touch"), named("clone")], Way::Short), foot.x - (10.0 - foot.y) * sin / cos - 20.0);
    assert!(taken(&line, between([named("touch"), named("none")], Way::Short)).unwrap_err().contains("`none`"));
    assert!(taken(&line, between([named("touch"), at(20.0, 10.0)], Way::Short)).unwrap_err().contains("one and the same"));
    // A quarter of a circle of radius 20, and the rest of it; the circle starts at its right, between the two places.
    let circle = "<circle id=\"c\" cx=\"50\" cy=\"50\" r=\"20\"/><path id=\"n\" d=\"M64.142136 64.142136l3 3\"/>";
    is(circle, between([at(64.142, 35.858), named("n")], Way::Short), 10.0 * pi);
    is(circle, between([named("n"), at(64.142, 35.858)], Way::Long), 30.0 * pi);
    // y = x² from 0 to 1 is (√5 + asinh(2) / 2) / 2 long; the edge goes on to 2.
    let parabola = "<path id=\"c\" d=\"M0 0Q1 0 2 4\"/><path id=\"n\" d=\"M1 1v-3\"/>";
    is(parabola, between([at(0.0, 0.0), named("n")], Way::Short), (5f64.sqrt() + 2f64.asinh() / 2.0) / 2.0);
}

#[test]
fn a_course_is_told_by_points_at_equal_distances() {
    let found = is("<path id=\"c\" d=\"M10 10h80v80h-80z\"/>", between([at(30.0, 10.0), at(10.0, 30.0)], Way::Short), 40.0);
    let points: Vec<(f64, f64)> = found.traces[0].points.iter().map(|p| (p.x.to_mm(), p.y.to_mm())).collect();
    let expected = [30, 25, 20, 15, 10].map(|x| (f64::from(x), 10.0)).into_iter();
    let expected = expected.chain([15, 20, 25, 30].map(|y| (10.0, f64::from(y))));
    for (found, expected) in points.iter().zip(expected) {
        assert!((found.0 - expected.0).hypot(found.1 - expected.1) < 1e-5, "{points:?}");
    }
}

#[test]
fn a_pair_is_measured_against_its_other_side() {
    let body = "<path id=\"c\" d=\"M10 10h40\" stroke=\"red\"/><path id=\"d\" d=\"M10 20h25.2\" stroke=\"red\"/>\
        <path id=\"e\" d=\"M10 30h15\" stroke=\"red\"/>";
    let side = |element: &str| Side { element: element.into(), extent: Extent::Length, between: None };
    let pair = |others: &[&str]| ControlTarget::Pair(side("c"), others.iter().map(|other| side(other)).collect());
    let found = is(body, pair(&["d", "e"]), -0.2);
    assert_eq!(found.traces.iter().map(|trace| trace.minus).collect::<Vec<_>>(), [false, true, true]);
    let (_, findings) = measured(&drawing(body), pair(&["d", "e"]), 0.0);
    let finding = findings.iter().next().unwrap();
    assert_eq!(finding.code, "control-off");
    assert!(finding.message.contains("0.200 mm too short for what it equals"), "{}", finding.message);
}

#[test]
fn widths_without_level_corners_are_told_by_the_places_that_reach_furthest() {
    let found = is("<circle id=\"c\" cx=\"50\" cy=\"50\" r=\"20\"/>", whole(Extent::Height), 40.0);
    assert_eq!(found.traces[0].kind, TraceKind::Height);
    let found = is("<path id=\"c\" d=\"M10 10Q30 50 20 20\" stroke=\"red\"/>", whole(Extent::Height), 160.0 / 7.0);
    assert_eq!(found.traces[0].kind, TraceKind::Height);
}

#[test]
fn each_size_has_its_own_element() {
    let layer = |size: &str, length: f64| {
        format!("<g inkscape:label=\"size {size}\"><path inkscape:label=\"c\" d=\"M10 10h{length}\" stroke=\"red\"/></g>")
    };
    let draft = "<g inkscape:label=\"draft\"><path inkscape:label=\"d\" d=\"M0 0h7\" stroke=\"red\"/></g>";
    let text = drawing(&format!("{}{}{draft}", layer("36", 40.0), layer("38", 45.0)));
    let sizes = ["36", "38"].map(|name| SizeLayer { name: name.into(), layer: format!("size {name}"), shown: true });
    let of = |size, target, length| Control { size, ..control(target, length) };
    let side = |element: &str| ControlTarget::Side(Side { element: element.into(), extent: Extent::Length, between: None });
    let controls = vec![
        of(Some(0), side("c"), 40.0),
        of(Some(1), side("c"), 45.0),
        of(Some(1), side("d"), 7.0),
        of(None, side("c"), 40.0),
    ];
    let never_printed = vec!["draft".into()];
    let request = Request { sizes: sizes.to_vec(), never_printed, controls, ..Request::plain("a.svg") };
    let (drawing, findings) = read(text.as_bytes(), &request, &());
    // Without a size the name is not clear.
    assert_eq!(told(&findings), [("control-element", 0, 0)]);
    let found = drawing.unwrap().controls;
    assert_eq!(found.iter().flatten().map(|found| found.sizes.clone()).collect::<Vec<_>>(), [vec![0], vec![1], vec![]]);
    // What is not printed is measured, but not promised on paper.
    assert!(found[2].as_ref().unwrap().traces.is_empty() && !found[1].as_ref().unwrap().traces.is_empty());
}
