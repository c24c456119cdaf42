//! What is told about ink.

use super::drawing;
use crate::diagnostic::Diagnostic;
use crate::inking::advice::advice;
use crate::manifest::SizeLines;

fn told(pattern: &str, a: &str) -> Vec<Diagnostic> {
    advice(&drawing(pattern, a, "<path d='M5 5H95'/>"), SizeLines::AsDrawn).into_iter().collect()
}

fn codes(findings: &[Diagnostic]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.code).collect()
}

#[test]
fn each_kind_is_told_once_with_its_first_places() {
    let thin: String = (0..50).map(|i| format!("<path id='t{i}' stroke-width='.1' d='M5 {0}H95'/>\n", i + 10)).collect();
    let findings = told(&thin, &thin);
    assert_eq!(codes(&findings), ["ink-thin", "ink-thin"]);
    let first = &findings[0];
    let place = first.place.clone().unwrap();
    assert_eq!((place.file.as_str(), place.line, place.element.as_deref()), ("d.svg", Some(3), Some("t0")));
    assert!(first.message.starts_with("50 lines on layer `pattern` (also on lines 4, 5, 6 …)"), "{}", first.message);
    assert!(first.message.contains("0.10 mm"), "{}", first.message);
    assert_eq!((first.hints.len(), findings[1].hints.len()), (1, 2), "size lines have one remedy more");
    assert!(findings[1].message.contains("on the layers of sizes"), "{}", findings[1].message);
    let restyled = advice(&drawing("", &thin, &thin), SizeLines::Distinct);
    let hints: Vec<usize> = restyled.iter().map(|finding| finding.hints.len()).collect();
    assert_eq!(hints, [1], "all sizes are told as one, and what is restyled already is no remedy");
}

#[test]
fn limits_are_kept() {
    // Two dots at 300 dpi: 0.1693 mm. WCAG 2.1 contrast of 3 : 1: #949494 has it, #959595 has not.
    let line = |style: &str| told(&format!("<path {style} d='M5 5H95'/>"), "");
    assert_eq!(codes(&line("stroke-width='.17'")), [""; 0]);
    assert_eq!(codes(&line("stroke-width='.168'")), ["ink-thin"]);
    assert_eq!(codes(&line("stroke='#949494'")), [""; 0]);
    assert_eq!(codes(&line("stroke='#959595'")), ["ink-pale"]);
    assert_eq!(codes(&line("stroke='#0f0'")), ["ink-pale"], "a green that shines on a screen is pale on paper");
    assert_eq!(codes(&line("stroke-opacity='.3'")), ["ink-pale"]);
    assert_eq!(codes(&line("stroke='#fff'")), [""; 0], "white is no ink");
}

#[test]
fn large_fills_are_told_with_their_area() {
    let fill =
        |style: &str, w: u32, h: u32| told(&format!("<rect stroke='none' {style} x='5' y='5' width='{w}' height='{h}'/>"), "");
    let heavy = fill("fill='#333'", 50, 20);
    assert_eq!(codes(&heavy), ["ink-heavy"]);
    assert!(heavy[0].message.contains("10 cm²"), "{}", heavy[0].message);
    assert_eq!(codes(&fill("fill='#333'", 20, 19)), [""; 0], "3.8 cm² is not large");
    assert_eq!(codes(&fill("fill='#333'", 190, 3)), ["ink-heavy"]);
    assert_eq!(codes(&fill("fill='#eee'", 50, 20)), [""; 0], "a light ground costs little");
    assert_eq!(codes(&fill("fill='#eee'", 5, 5)), ["ink-pale"], "a small mark must be seen");
}
