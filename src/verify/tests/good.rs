//! The good package: nothing is found, and everything promised was measured.

use super::super::{Check, Verdict, VerdictRecord};
use super::sample::{HOME, Sample, WIDE};
use crate::units::Length;

#[test]
fn a_good_package_has_no_finding() {
    let verdict = Sample::good().verdict();
    assert_eq!(verdict.findings.iter().collect::<Vec<_>>(), Vec::<&_>::new());
    assert!(verdict.is_fine());
    for check in [Check::Package, Check::Checksum, Check::Promises, Check::Pdf, Check::PageBox, Check::Label] {
        assert!(verdict.tallies[&check].made > 0, "{check:?}");
    }
}

fn measured(verdict: &Verdict, file: &str, what: &str) -> Vec<Length> {
    let of = verdict.figures.iter().filter(|figure| figure.file == file && figure.what == what);
    of.map(|figure| figure.measured).collect()
}

#[test]
fn every_promised_length_was_measured_in_the_ink() {
    let verdict = Sample::good().verdict();
    // Lengths from the paths as written in the sample, in mm.
    let expected =
        [(HOME, "rule 60 mm", 60.0), (HOME, "square 40 mm", 40.0), (HOME, "body length", 120.0), (HOME, "bow height", 20.0)];
    let wide = [(WIDE, "rule 50 mm", 50.0), (WIDE, "body length", 120.0), (WIDE, "bow height", 20.0)];
    for (file, what, mm) in expected.into_iter().chain(wide) {
        let found = measured(&verdict, file, what);
        assert_eq!(found.len(), 1, "{file} {what}");
        assert!(found[0].within(Length::mm(mm), Length::mm(0.0001)), "{file} {what}: {}", found[0].to_mm());
    }
    assert_eq!(measured(&verdict, HOME, "page width").len(), 3);
}

#[test]
fn a_length_across_two_sheets_belongs_to_no_page() {
    let verdict = Sample::good().verdict();
    let across = verdict.figures.iter().find(|figure| figure.what == "body length" && figure.file == HOME).unwrap();
    assert_eq!(across.page, None);
}

#[test]
fn the_text_begins_with_the_verdict_and_shows_deviations() {
    let mut good = Sample::good().verdict();
    assert!(good.text().starts_with("sample.zip: fine, "), "{}", good.text());
    assert!(good.text().contains("scale marks"));
    good = Sample::good().swap(HOME, "80 30 l", "80.05 30 l").verdict();
    assert!(good.text().starts_with("sample.zip: not fine, 1 error in "), "{}", good.text());
    assert!(good.text().contains("0.05 mm"), "{}", good.text());
}

#[test]
fn the_record_carries_version_figures_and_findings() {
    let verdict = Sample::good().late("README.txt", Some(b"other")).verdict();
    let record = serde_json::to_value(VerdictRecord::from(&verdict)).unwrap();
    assert_eq!(record["version"], 1);
    assert_eq!(record["fine"], false);
    assert_eq!(record["findings"][0]["code"], "checksum-off");
    assert_eq!(record["figures"].as_array().unwrap().len(), verdict.figures.len());
    let schema = schemars::schema_for!(VerdictRecord);
    assert!(schema.to_value()["properties"]["figures"].is_object());
}
