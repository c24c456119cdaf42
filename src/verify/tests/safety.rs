//! PDFs made to hang or to bring the reader down.

use super::super::pdf::guarded;
use super::sample::{Sample, WIDE, codes, stream};
use std::fmt::Write;

const FORM: &str = "/Type /XObject /Subtype /Form /BBox [0 0 320 200]";

/// Forms that call each other: `calls` times each, one level after the other.
fn forms(sample: &mut Sample, levels: usize, calls: usize) {
    let objects = sample.pdfs.get_mut(WIDE).unwrap();
    let first = objects.len() + 1;
    for level in 0..levels {
        let next = first + level + 1;
        let dict = format!("{FORM} /Resources << /XObject << /N {next} 0 R >> >>");
        objects.push(stream(&dict, &"/N Do ".repeat(calls)));
    }
    objects.push(stream(FORM, "0 0 m 1 1 l S"));
    // The page calls the first form instead of the drawing.
    objects[2] = objects[2].replace("/Drawing 8 0 R", &format!("/Drawing {first} 0 R"));
}

#[test]
fn forms_that_multiply_are_stopped() {
    let mut sample = Sample::good();
    // Followed to the end it would take 10^20 steps.
    forms(&mut sample, 20, 10);
    let verdict = sample.verdict();
    assert_eq!(codes(&verdict), ["pdf-unreadable"]);
    assert!(verdict.findings.iter().any(|finding| finding.message.contains("too many steps")));
}

#[test]
fn forms_that_call_themselves_and_deep_ones_end() {
    let mut sample = Sample::good();
    forms(&mut sample, 200, 1);
    assert_eq!(codes(&sample.verdict()), ["control-missing", "ink-extra", "size-pages"]);
    // Without resources of its own, a form uses those of the page, and so can call itself.
    let own = Sample::good().swap(WIDE, "40 60 m 280 60 l S", "/Drawing Do 40 60 m 280 60 l S");
    assert_eq!(codes(&own.verdict()), ["ink-missing"]);
}

#[test]
fn deep_objects_and_pages_in_a_ring_end() {
    let mut deep = "[".repeat(100_000);
    let _ = write!(deep, "{}", "]".repeat(100_000));
    let mut sample = Sample::good();
    sample.pdfs.get_mut(WIDE).unwrap()[4] = deep;
    sample.verdict();
    let ring =
        Sample::good().swap(WIDE, "/Kids [3 0 R]", "/Parent 2 0 R /Kids [2 0 R 3 0 R]").swap(WIDE, "/MediaBox", "/Other");
    assert!(codes(&ring.verdict()).contains(&"page-box"));
}

#[test]
fn numbers_beyond_all_bounds_do_no_harm() {
    // JSON and PDF have no such numbers, but a file can hold any letters.
    for number in ["1e999", "99999999999999999999999999999999999999999", "-", "0.0000000000000000000000000000001", "nan"] {
        let verdict = Sample::good().swap(WIDE, "280 60 l", &format!("{number} 60 l")).verdict();
        assert!(!verdict.is_fine(), "{number}");
        Sample::good().swap(WIDE, "/UserUnit 2", &format!("/UserUnit {number}")).verdict();
        Sample::good().swap(WIDE, "[0 0 255.1181102", &format!("[0 0 {number}")).verdict();
    }
}

#[test]
fn curves_without_end_are_not_followed() {
    let far = "40 60 m 999999999999 0 0 999999999999 280 60 c S";
    let verdict = Sample::good().swap(WIDE, "40 60 m 280 60 l S", far).verdict();
    assert!(codes(&verdict).contains(&"pdf-unreadable"));
    assert!(verdict.findings.iter().any(|finding| finding.message.contains("kilometre")));
}

#[test]
fn a_reader_that_panics_is_an_answer() {
    // `resume_unwind` is a panic without a message on the terminal.
    let answer: Result<(), String> = guarded(|| std::panic::resume_unwind(Box::new("broken")));
    assert_eq!(answer, Err("its damage brings the reader down".to_owned()));
}
