//! Sheets that no longer belong together, and guides that tell of others.

use super::super::{Changes, Opened, PaperChange, package, sums};
use super::sample::{GUIDE, HOME, Sample, WIDE, codes, gives, guide, zip};
use serde_json::json;
use std::collections::BTreeMap;

#[test]
fn a_good_package_is_measured_in_all_its_parts() {
    let verdict = Sample::good().verdict();
    let made: Vec<&str> = verdict.tallies.keys().map(|check| check.name()).collect();
    for check in ["sheets", "joins", "sizes", "guides", "control", "scale-mark"] {
        assert!(made.contains(&check), "{check} is not among {made:?}");
    }
    assert_eq!(verdict.findings.iter().count(), 0);
}

#[test]
fn the_same_drawing_on_all_papers() {
    let good = Sample::good();
    gives(&good.clone().swap(HOME, "90 160 m 120 160 l S", ""), &["control-missing", "ink-missing"]);
    gives(&good.clone().swap(WIDE, "90 160 m 120 160 l S", ""), &["control-missing", "ink-extra"]);
    gives(&good.clone().swap(HOME, "0.4 w", "0.5 w"), &["ink-changed"]);
    gives(&good.clone().swap(HOME, "0.4 w", "0.4 w 1 0 0 RG"), &["ink-changed"]);
    // A clip that is half a millimetre short where the sheets meet.
    gives(
        &good.clone().swap(HOME, "q 10 10 80 100 re W n 1 0 0 1 10 10 cm", "q 10 10 79.5 100 re W n 1 0 0 1 10 10 cm"),
        &["control-missing", "ink-missing"],
    );
    // Half of the budget for the clip is no fault.
    gives(
        &good.clone().swap(HOME, "q 10 10 80 100 re W n 1 0 0 1 10 10 cm", "q 10 10 79.995 100 re W n 1 0 0 1 10 10 cm"),
        &[],
    );
    gives(&good.swap(HOME, "/Artifact BMC 0.2 w", "/Artifact BMC 1 g 10 10 80 90 re f 0 g 0.2 w"), &["ink-covered"]);
}

#[test]
fn the_wide_svg_is_measured_too() {
    let svg = "sample-1.0.0-wide-big.svg";
    let changed = |from: &str, to: &str| {
        let good = Sample::good();
        let text = String::from_utf8(good.files[svg].clone()).unwrap();
        assert!(text.contains(from), "{from}");
        good.file(svg, text.replace(from, to).as_bytes())
    };
    gives(&changed("M30 40H150", "M30 40H150.005"), &[]);
    gives(&changed("M30 40H150", "M30 40.1H150"), &["ink-moved"]);
    gives(&changed("width=\"180mm\"", "width=\"182mm\""), &["ink-extra", "ink-missing", "ink-moved"]);
    gives(&changed("<g id=\"drawing\"", "<g id=\"drawing\" transform=\"translate(.2 0)\""), &["ink-moved"]);
    gives(&changed("M55 90h15", "M55 90"), &["ink-extra", "ink-missing"]);
    gives(&changed("viewBox=\"0 0 180 120\"", ""), &["svg-unreadable"]);
    gives(&changed("M55 90h15", "M55 90h15h"), &["svg-unreadable"]);
}

#[test]
fn marks_on_a_join_meet_and_name_each_other() {
    let good = Sample::good();
    gives(&good.clone().swap(HOME, "90 51 m 88.5 51 l", "90 51.1 m 88.5 51.1 l"), &["join-off"]);
    gives(&good.clone().swap(HOME, "90 51 m 88.5 51 l", "90 51.005 m 88.5 51.005 l"), &[]);
    gives(&good.clone().swap(HOME, "90 51 m 88.5 51 l S", ""), &["join-off"]);
    gives(&good.clone().swap(HOME, "34 188 Tm (1) Tj", "34 188 Tm (2) Tj"), &["join-off"]);
    gives(&good.swap(HOME, "34 200 Tm (A1) Tj", "34 200 Tm (A2) Tj"), &["join-off"]);
}

#[test]
fn counts_and_maps_on_the_sheets() {
    let good = Sample::good();
    gives(&good.clone().swap(HOME, "(2.2) Tj", "(1.2) Tj"), &["map-off"]);
    gives(&good.clone().swap(HOME, "64 102 4 5 re f", "60 102 4 5 re f"), &["map-off"]);
    gives(&good.swap(HOME, "64 102 4 5 re S", "64 102 4 5 re S 68 102 4 5 re S"), &["map-off"]);
}

#[test]
fn pages_of_a_size_are_those_with_its_lines() {
    let mut good = Sample::good();
    // The list leaves out a page that holds lines of the size.
    good = good.promise("/papers/0/sizes/0/pages", json!([2]));
    let list = guide("").replace("A1 A2\"><td", "A1\"><td").replace("2–3", "2");
    gives(&good.file(GUIDE, list.as_bytes()), &["size-pages"]);
}

#[test]
fn guides_tell_of_the_sheets_that_there_are() {
    let changed = |from: &str, to: &str| {
        let text = guide("");
        assert!(text.contains(from), "{from}");
        Sample::good().file(GUIDE, text.replace(from, to).as_bytes())
    };
    gives(&changed("lang=\"en\"", "lang=\"fr\""), &["guide-off"]);
    gives(&changed("1.0.0", "1.0.1"), &["guide-off"]);
    gives(&changed("2–3", "2,3"), &[]);
    gives(&changed("2–3", "2–4"), &["guide-off"]);
    gives(&changed("x=\"80\"", "x=\"81\""), &["guide-off"]);
    gives(&changed("data-sheets=\"A1 A2\"", "data-sheets=\"A1\""), &["guide-off"]);
    gives(&changed("<p>Edition", "<p class=\"untranslated\">Edition"), &["guide-incomplete"]);
    gives(&changed("</body>", "<a href=\"#no\">x</a></body>"), &["link-dead"]);
    gives(&changed("</body>", "<a href=\"README.txt\">x</a></body>"), &[]);
    gives(&Sample::good().file("README.txt", b"Print it.\n"), &["guide-off"]);
}

#[test]
fn a_signature_must_be_that_of_the_key() {
    // Keys and signature made by the crate minisign; read here by the crate minisign-verify.
    let pair = minisign::KeyPair::generate_unencrypted_keypair().unwrap();
    let key = pair.pk.to_box().unwrap().to_string();
    let mut files = Sample::good().entries();
    let judged = |files: &_| codes(&package("p.zip", &zip(files), Some(&key)));
    assert_eq!(judged(&files), ["signature-missing"]);
    let signature = minisign::sign(None, &pair.sk, files["SHA256SUMS"].as_slice(), Some("sample"), None).unwrap();
    files.insert("SHA256SUMS.minisig".into(), signature.to_string().into_bytes());
    assert_eq!(judged(&files), Vec::<&str>::new());
    // Without a key nobody can tell, and nothing is wrong.
    assert_eq!(codes(&package("p.zip", &zip(&files), None)), Vec::<&str>::new());
    let other = minisign::KeyPair::generate_unencrypted_keypair().unwrap().pk.to_box().unwrap().to_string();
    assert_eq!(codes(&package("p.zip", &zip(&files), Some(&other))), ["signature-off"]);
    assert_eq!(codes(&package("p.zip", &zip(&files), Some("no key"))), ["key-unusable"]);
    // A whole package whose sums were made anew after a change.
    let mut altered = Sample::good().file("README.txt", b"Edition 1.0.0. Print at 97 %.\n").entries();
    altered.insert("SHA256SUMS.minisig".into(), files["SHA256SUMS.minisig"].clone());
    assert_eq!(judged(&altered), ["signature-off"]);
}

#[test]
fn the_report_shows_what_is_off() {
    let moved = Sample::good().swap(HOME, "1 0 0 1 -70 10 cm", "1 0 0 1 -69.9 10 cm").verdict();
    let page = super::super::report(&moved).unwrap();
    for part in ["not fine", "ink-moved", "control-off", "<svg viewBox=", "is 0.1 mm from where", "too far off"] {
        assert!(page.contains(part), "{part} is not in the report");
    }
    let fine = super::super::report(&Sample::good().verdict()).unwrap();
    assert!(fine.contains("</span> fine, ") && !fine.contains("<svg") && !fine.contains("Findings"), "{fine}");
}

#[test]
fn a_translators_bundle_holds_no_drawing() {
    let files = |more: &[(&str, &str)]| -> BTreeMap<String, Vec<u8>> {
        let own = [
            ("README.txt", "How to go about it."),
            ("tote/bundle.json", "{\"language\": \"fr\"}"),
            ("tote/kit.yaml", "drawing: {file: tote.svg}"),
            ("tote/languages/fr.po", "msgid \"\"\n"),
        ];
        let all = own.iter().chain(more).filter(|(_, text)| !text.is_empty());
        let mut files: BTreeMap<String, Vec<u8>> = all.map(|(name, text)| ((*name).into(), text.as_bytes().into())).collect();
        let sums: String = files.iter().map(|(name, bytes)| format!("{}  {name}\n", sums::hex(bytes))).collect();
        files.insert("SHA256SUMS".into(), sums.into_bytes());
        files
    };
    let judged = |more: &[(&str, &str)]| codes(&package("b.zip", &zip(&files(more)), None));
    assert_eq!(judged(&[]), Vec::<&str>::new());
    assert_eq!(judged(&[("tote/tote.svg", "<svg/>")]), ["bundle-off"]);
    assert_eq!(judged(&[("tote/home.pdf", "%PDF")]), ["bundle-off"]);
    assert_eq!(judged(&[("tote/bundle.json", "{\"language\": \"de\"}")]), ["bundle-off"]);
    assert_eq!(judged(&[("tote/bundle.json", "{")]), ["bundle-off"]);
    let mut changed = files(&[]);
    changed.insert("tote/languages/fr.po".into(), b"msgid \"x\"\n".to_vec());
    assert_eq!(codes(&package("b.zip", &zip(&changed), None)), ["checksum-off"]);
}

/// What a changed sample changes of the good one.
fn changed(new: &Sample) -> Changes {
    let open = |sample: &Sample| Opened::zip("it.zip", &zip(&sample.entries())).unwrap();
    Changes::between(&open(&Sample::good()), &open(new))
}

/// Its first paper.
fn paper(new: &Sample) -> PaperChange {
    changed(new).papers.both.remove(0)
}

#[test]
fn editions_are_compared_sheet_by_sheet() {
    let good = Sample::good();
    assert!(changed(&good).is_none() && paper(&good).same_grid);
    // The drawing of the sample has one line of each kind: x doubled, so that 280 is 140 mm.
    let longer = paper(&good.clone().swap(HOME, "280 60 l", "280.2 60 l"));
    assert_eq!(longer.changed(), ["A2"], "the first sheet shows the same part of the line as before");
    let sheet = &longer.sheets[1];
    // Lengths are told to about a millimetre, distances exactly.
    assert!((sheet.farthest.to_mm() - 0.1).abs() < 1e-3 && sheet.added.to_mm() < 1.0, "{sheet:?}");
    assert!(sheet.removed.to_mm() < 1e-9);
    // A new point on the same line is no change; a hundredth is the budget.
    assert!(paper(&good.clone().swap(HOME, "280 60 l", "180 60 l 280 60 l")).changed().is_empty());
    assert!(paper(&good.clone().swap(HOME, "280 60 l", "280.018 60 l")).changed().is_empty());
    // A line that moved is told on each sheet with a part of it, with its distance, the old and the new length.
    let moved = paper(&good.clone().swap(HOME, "40 60 m 280 60 l", "40 65 m 280 65 l"));
    assert_eq!(moved.changed(), ["A1", "A2"]);
    assert!(moved.sheets.iter().all(|sheet| (sheet.farthest.to_mm() - 2.5).abs() < 1e-3), "{:?}", moved.sheets);
    let whole: f64 = moved.sheets.iter().map(|sheet| sheet.added.to_mm()).sum();
    // Both sheets show the half of the pen that reaches over their join.
    assert!((whole - 120.2).abs() < 1e-3, "{whole}");
    // What lies on the first sheet alone changes that sheet alone.
    assert_eq!(paper(&good.clone().swap(HOME, "120 160 l", "120 161 l")).changed(), ["A1"]);
    let fewer = paper(&good.clone().swap(HOME, "90 160 m 120 160 l S", ""));
    assert_eq!(fewer.changed(), ["A1"]);
    assert!((fewer.sheets[0].removed.to_mm() - 15.0).abs() < 1e-3 && fewer.sheets[0].farthest.to_mm() < 20.0);
    let bold = paper(&good.clone().swap(HOME, "0.4 w", "0.8 w"));
    assert!(bold.sheets[0].restyled > 0 && bold.sheets[0].farthest.to_mm() < 1e-9, "pens count");
    let elsewhere = paper(&good.promise("/papers/0/origin_mm", json!([-1, 0])));
    assert!(!elsewhere.same_grid && elsewhere.changed() == ["A1", "A2"]);
}

#[test]
fn words_sizes_measurements_and_guides_are_compared() {
    let good = Sample::good();
    let edition = |sample: Sample, number: &str| sample.promise("/edition", json!(number));
    // Another edition's number is on every sheet, and nothing to print a sheet anew for.
    let next = edition(good.clone().swap(HOME, "(1.0.0) Tj", "(1.0.1) Tj"), "1.0.1");
    assert!(changed(&next).papers.both[0].reworded().is_empty());
    let said = paper(&good.clone().swap(HOME, "(1.0.0) Tj", "(1.0.A) Tj"));
    assert!(said.changed().is_empty() && said.reworded() == ["A1", "A2"], "{:?}", said.sheets);
    let control = changed(&good.clone().promise("/controls/0/promised_mm", json!(121.0)));
    assert!(control.controls.both[0].is.to_mm() == 121.0 && !control.is_none());
    assert!(control.text().contains("promised otherwise"));
    let guide = good.files[GUIDE].clone();
    let text = String::from_utf8(guide).unwrap().replace("</body>", "<p>Cut <b>twice</b> &amp; once.</p></body>");
    let guides = changed(&good.clone().file(GUIDE, text.as_bytes())).guides;
    assert_eq!(guides.both[0].added, ["Cut twice & once."]);
    assert!(guides.both[0].removed.is_empty());
    let sizes = changed(&good.promise("/sizes", json!(["S", "M"])));
    assert_eq!((sizes.sizes.come, sizes.sizes.gone), (vec!["S".into(), "M".into()], vec!["one".into()]));
    assert_eq!(Opened::zip("old.zip", b"no zip").err().unwrap().code, "package-unreadable");
}
