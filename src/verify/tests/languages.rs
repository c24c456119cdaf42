//! A file of another language: nothing but words may differ from the one of the source language.

use super::sample::{HOME, Sample, codes, gives};
use serde_json::{Value, json};

const FRENCH: &str = "sample-1.0.0-home-card-fr.pdf";

/// The good package, with its home sheets once more in French.
fn french() -> Sample {
    let mut sample = Sample::good();
    sample.pdfs.insert(FRENCH, sample.pdfs[HOME].clone());
    let papers = sample.promises["papers"].as_array_mut().unwrap();
    let mut paper = papers[0].clone();
    paper["file"] = json!(FRENCH);
    paper["language"] = json!("fr");
    papers.push(paper);
    sample
}

#[test]
fn words_may_differ_and_lines_may_not() {
    assert!(HOME.starts_with("sample-1.0.0-home-card"));
    gives(&french(), &[]);
    // Filled outlines are words only if they are tagged as such: else it might be a notch.
    gives(&french().swap(FRENCH, "90 160 m", "/Span BMC 10 10 20 20 re f EMC 90 160 m"), &[]);
    gives(&french().swap(FRENCH, "90 160 m", "10 10 20 20 re f 90 160 m"), &["ink-extra", "language-differs"]);
    // A quarter of the budget, in half millimetres of the drawing.
    gives(&french().swap(FRENCH, "90 160 m", "90.005 160 m"), &[]);
    gives(&french().swap(FRENCH, "90 160 m", "90.1 160 m"), &["ink-moved", "language-differs"]);
    gives(&french().swap(FRENCH, "90 160 m", "5 5 m 9 5 l S 90 160 m"), &["ink-extra", "language-differs"]);
    gives(&french().swap(FRENCH, "0.4 w", "0.5 w"), &["ink-changed", "language-differs"]);
    gives(&french().swap(FRENCH, "0.4 w", "0.4 w [2 2] 0 d"), &["ink-changed", "language-differs"]);
    // A stroke that lies outside the tile of every sheet is not printed.
    gives(&french().swap(FRENCH, "90 160 m", "900 900 m 990 900 l S 90 160 m"), &[]);
}

#[test]
fn a_file_of_another_language_needs_its_source_and_the_same_plan() {
    gives(&french().promise("/papers/2/language", json!("de")), &["promises-bad"]);
    let relabelled: Value = json!("A3");
    let codes = codes(&french().promise("/papers/2/sheets/1/label", relabelled).verdict());
    assert!(codes.contains(&"language-differs"), "{codes:?}");
}
