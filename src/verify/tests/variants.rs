//! Files beside the plain ones: flat for print shops, and the corrected sheets alone; and ink that is no plain line.

use super::sample::{HOME, Sample, WIDE, gives};
use serde_json::{Value, json};

const FLAT: &str = "sample-1.0.0-home-card-flat.pdf";
const CORRECTIONS: &str = "sample-1.0.0-home-card-corrections.pdf";

/// The good package with its home sheets once more, promised a little otherwise.
fn with(file: &'static str, variant: &str, change: impl Fn(&mut Value)) -> Sample {
    let mut sample = Sample::good();
    sample.pdfs.insert(file, sample.pdfs[HOME].clone());
    let papers = sample.promises["papers"].as_array_mut().unwrap();
    let mut paper = papers[0].clone();
    (paper["file"], paper["variant"]) = (json!(file), json!(variant));
    change(&mut paper);
    papers.push(paper);
    sample
}

#[test]
fn a_flat_file_shows_the_same_lines_in_pens_of_its_own() {
    let flat = with(FLAT, "flat", |_| ());
    gives(&flat, &[]);
    gives(&flat.clone().swap(FLAT, "0.4 w", "0.6 w 1 0 0 RG"), &[]);
    // In a file for projecting each line lies twice, one beneath the other; numbers of joins are outlines.
    let twice = "40 60 m 280 60 l S 40 60 m 280 60 l S";
    gives(&flat.clone().swap(FLAT, "40 60 m 280 60 l S", twice), &[]);
    gives(&flat.clone().swap(HOME, "40 60 m 280 60 l S", twice), &["ink-extra"]);
    gives(&flat.clone().swap(FLAT, "34 188 Tm (1) Tj", "34 188 Tm (2) Tj"), &[]);
    gives(&flat.clone().swap(FLAT, "90 160 m", "5 5 m 9 5 l S 90 160 m"), &["ink-extra"]);
    gives(&flat.clone().swap(FLAT, "90 160 m", "90.1 160 m"), &["ink-moved"]);
    gives(&flat.swap(FLAT, "90 160 m 120 160 l S", ""), &["control-missing", "ink-missing"]);
}

/// The second sheet alone.
fn corrections() -> Sample {
    let sample = with(CORRECTIONS, "corrections", |paper| {
        paper["sheets"].as_array_mut().unwrap().remove(0);
        paper["sheets"][0]["page"] = json!(1);
        paper["check_page"] = Value::Null;
        // The left side of the small map's first cell.
        let (from, to) = (json!([60, 102]), json!([60, 107]));
        paper["scale_marks"] =
            json!([{"page": 1, "what": "cell", "from_mm": from, "to_mm": to, "length_mm": 5, "tolerance_mm": 0.01}]);
        paper["sizes"][0]["pages"] = json!([1]);
    });
    sample.swap(CORRECTIONS, "[3 0 R 4 0 R 5 0 R] /Count 3", "[5 0 R] /Count 1")
}

#[test]
fn corrections_show_their_own_sheets_and_no_more() {
    gives(&corrections(), &[]);
    // This lies on the first sheet, and that on both.
    gives(&corrections().swap(CORRECTIONS, "90 160 m 120 160 l S", ""), &[]);
    gives(&corrections().swap(CORRECTIONS, "40 60 m 280 60 l S", ""), &["ink-missing"]);
    gives(&corrections().swap(CORRECTIONS, "40 60 m 280 60 l", "40 60 m 279.8 60 l"), &["ink-moved"]);
}

/// What is told of lines that are missing or too many.
fn told(sample: &Sample, code: &str) -> String {
    let verdict = sample.verdict();
    let messages = verdict.findings.iter().filter(|finding| finding.code == code).map(|finding| finding.message.clone());
    messages.collect::<Vec<_>>().join("; ")
}

#[test]
fn findings_name_the_sheet_and_the_place_in_the_drawing() {
    let good = Sample::good();
    let missing = told(&good.clone().swap(HOME, "90 160 m 120 160 l S", ""), "ink-missing");
    assert!(missing.contains("A1") && missing.contains("52.5 mm from the left"), "{missing}");
    let extra = told(&good.clone().swap(HOME, "90 160 m", "240 160 m 260 160 l S 90 160 m"), "ink-extra");
    assert!(extra.contains("A2") && extra.contains("120.0 mm from the left and 80.0 mm"), "{extra}");
    let moved = told(&good.swap(HOME, "280 60 l", "280.2 60 l"), "ink-moved");
    assert!(
        moved.contains("A2") && moved.contains("0.1 mm") && moved.contains("140.0 mm from the left and 30.0 mm"),
        "{moved}"
    );
}

#[test]
fn pictures_are_ink_and_must_be_the_same() {
    let picture = |grey: &str| format!("q 20 0 0 20 30 30 cm BI /W 1 /H 1 /CS /G /BPC 8 ID {grey} EI Q 90 160 m");
    let both =
        |home: &str, wide: &str| Sample::good().swap(HOME, "90 160 m", &picture(home)).swap(WIDE, "90 160 m", &picture(wide));
    gives(&both("x", "x").without_svg(), &[]);
    gives(&both("x", "y").without_svg(), &["ink-changed"]);
    gives(&Sample::good().swap(HOME, "90 160 m", &picture("x")), &["ink-extra"]);
}

impl Sample {
    fn without_svg(mut self) -> Self {
        self.files.remove("sample-1.0.0-wide-big.svg");
        self
    }
}
