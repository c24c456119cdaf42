//! One thing broken at a time, each with the finding that it must give and no other.

use super::sample::{GUIDE, HOME, Sample, WIDE, codes, gives, guide, stream};
use serde_json::json;

#[test]
fn lengths_that_are_off() {
    let good = Sample::good();
    gives(&good.clone().swap(HOME, "80 30 l", "80.05 30 l"), &["scale-off"]);
    // Half of the tolerance is no fault.
    gives(&good.clone().swap(HOME, "80 30 l", "80.005 30 l"), &[]);
    gives(&good.clone().swap(HOME, "20 60 40 40 re", "20 60 40 40.02 re"), &["scale-off"]);
    gives(&good.clone().swap(HOME, "280 60 l", "280.2 60 l"), &["control-off", "ink-moved"]);
    // A bow of which one handle is 0.0167 mm lower: only the turning point of the curve tells, it has no end there.
    gives(&good.clone().swap(HOME, "106.6666667 160", "106.7 160"), &["control-off", "ink-moved"]);
    gives(&good.clone().swap(WIDE, "280 60 l", "280.2 60 l"), &["control-off", "ink-moved"]);
    gives(
        &good.clone().swap(WIDE, "/UserUnit 2", "/UserUnit 1"),
        &["control-missing", "ink-extra", "ink-missing", "page-box", "scale-mark-missing"],
    );
    // A second sheet that stands 0.1 mm too far to the right makes lines across both too long, and what it alone shows is moved.
    let shifted = good.swap(HOME, "1 0 0 1 -70 10 cm", "1 0 0 1 -69.9 10 cm");
    gives(&shifted, &["control-moved", "control-off", "ink-moved"]);
}

#[test]
fn a_page_printed_smaller_is_found_whatever_was_scaled() {
    let scaled = "0.97 0 0 0.97 0 0 cm 2.834645669291339 0 0 -2.834645669291339";
    let content = Sample::good().swap(HOME, "2.834645669291339 0 0 -2.834645669291339", scaled);
    gives(&content, &["control-missing", "ink-extra", "ink-missing", "ink-moved", "join-off", "scale-mark-missing"]);
    // The paper itself made smaller, as a viewer's "print to PDF" would.
    let boxes = Sample::good().swap(HOME, "283.464567", "274.96063").swap(HOME, "340.157480", "329.952756");
    let verdict = boxes.verdict();
    assert!(codes(&verdict).contains(&"page-box"), "{:?}", codes(&verdict));
}

#[test]
fn lines_that_are_gone_or_elsewhere() {
    let good = Sample::good();
    gives(&good.clone().swap(HOME, "20 30 m 80 30 l S", ""), &["scale-mark-missing"]);
    // A path that is never painted, and one in white.
    gives(&good.clone().swap(HOME, "20 30 m 80 30 l S", "20 30 m 80 30 l n"), &["scale-mark-missing"]);
    gives(&good.clone().swap(HOME, "20 30 m 80 30 l S", "1 G 20 30 m 80 30 l S 0 G"), &["scale-mark-missing"]);
    gives(&good.clone().swap(HOME, "20 30 m 80 30 l S", "20.5 30 m 80.5 30 l S"), &["scale-mark-moved"]);
    gives(&good.clone().swap(HOME, "40 60 m 280 60 l S", ""), &["control-missing", "ink-missing"]);
    gives(&good.clone().swap(HOME, "40 60 m 280 60 l S", "40 60.4 m 280 60.4 l S"), &["control-moved", "ink-moved"]);
    // Clipped away, outside its form, and on a layer that is not printed.
    gives(
        &good.clone().swap(HOME, "10 10 80 100 re W n", "10 10 1 1 re W n"),
        &["control-missing", "ink-missing", "size-pages"],
    );
    gives(&good.clone().swap(HOME, "/BBox [0 0 320 200]", "/BBox [0 0 320 50]"), &["control-missing", "ink-missing"]);
    gives(&good.swap(HOME, "/Order [9 0 R]", "/OFF [9 0 R]"), &["control-missing", "ink-missing", "size-pages"]);
}

#[test]
fn pages_that_are_off() {
    let good = Sample::good();
    let trim = "/TrimBox [0 0 283.464567 340.157480]";
    gives(&good.clone().swap(HOME, trim, "/TrimBox [0 0 283 340.157480]"), &["page-box"]);
    gives(&good.clone().swap(HOME, trim, ""), &["page-box"]);
    gives(&good.clone().swap(HOME, trim, &format!("{trim} /Rotate 90")), &["page-box"]);
    gives(&good.clone().swap(HOME, "/Count 3", "/Count 3 /Rotate 90"), &["page-box"]);
    let lost = [
        "control-missing",
        "ink-missing",
        "join-off",
        "label-missing",
        "map-off",
        "page-box",
        "scale-mark-missing",
        "size-pages",
    ];
    gives(&good.clone().swap(HOME, "/MediaBox [0 0 283.464567 340.157480]", ""), &lost);
    gives(
        &good.clone().swap(HOME, "[3 0 R 4 0 R 5 0 R]", "[3 0 R 4 0 R]"),
        &["control-missing", "ink-missing", "page-count", "size-pages"],
    );
    // A reference to nothing is null, and null is no page (ISO 32000-1, 7.3.10).
    gives(&good.clone().swap(HOME, "[3 0 R 4 0 R 5 0 R]", "[3 0 R 4 0 R 5 0 R 13 0 R]"), &[]);
    gives(&good.clone().swap(HOME, "(A2) Tj", "(A1) Tj"), &["join-off", "label-missing"]);
    gives(&good.clone().swap(HOME, "(A2) Tj", "(A22) Tj"), &["join-off", "label-missing"]);
    // Rendering mode 3 is invisible text (ISO 32000-1, table 106).
    gives(&good.clone().swap(HOME, "(A2) Tj", "3 Tr (A2) Tj 0 Tr"), &["join-off", "label-missing"]);
    gives(&good.swap(HOME, "(1.0.0) Tj", "(1.0.1) Tj"), &["label-missing"]);
}

#[test]
fn pdfs_that_act_or_lack_something() {
    let good = Sample::good();
    let catalog = "/Type /Catalog";
    let script = "/Type /Catalog /OpenAction << /S /JavaScript /JS (app.alert(1)) >>";
    gives(&good.clone().swap(HOME, catalog, script), &["pdf-active"]);
    gives(&good.clone().swap(HOME, catalog, "/Type /Catalog /AA << >>"), &["pdf-active"]);
    // Deep inside an object that no page uses.
    let link = "/Type /OCG /Deep [[<< /A << /S /URI /URI (https://example.org/) >> >>]]";
    gives(&good.clone().swap(HOME, "/Type /OCG", link), &["pdf-active"]);
    gives(&good.clone().swap(HOME, "/PrintScaling /None", "/PrintScaling /AppDefault"), &["print-scaling"]);
    // One of the fonts that viewers were once bound to have (ISO 32000-1, 9.6.2.2): a print shop's may differ.
    let helvetica = "/Type /OCG /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>";
    gives(&good.clone().swap(WIDE, "/Type /OCG", helvetica), &["font-missing"]);
    gives(&good.clone().swap(WIDE, "/Type /OCG", "/Type /OCG /D << /Type /FontDescriptor /FontName /X >>"), &["font-missing"]);
    gives(&good.clone().swap(WIDE, "/Type /OCG", "/Type /OCG /E << /Filter /Standard /V 1 >>"), &["pdf-unreadable"]);
    gives(&good.clone().swap(WIDE, "/Type /OCG", "/Type /OCG /Encrypt 9 0 R"), &["pdf-unreadable"]);
    let mut twice = good.clone();
    twice.pdfs.get_mut(WIDE).unwrap()[4] = stream("/Filter [/FlateDecode /FlateDecode]", "x");
    gives(&twice, &["pdf-unreadable"]);
    let mut torn = good;
    torn.pdfs.get_mut(WIDE).unwrap()[4] = stream("/Filter /FlateDecode", "this is not packed");
    gives(&torn, &["pdf-unreadable"]);
}

#[test]
fn files_that_are_not_what_was_promised() {
    let good = Sample::good();
    gives(&good.clone().late("README.txt", Some(b"Print at 97 %.\n")), &["checksum-off", "guide-off"]);
    gives(&good.clone().late("README.txt", None), &["file-missing"]);
    gives(&good.clone().late("extra.txt", Some(b"?")), &["file-unlisted"]);
    gives(&good.clone().late("SHA256SUMS", None), &["checksum-missing"]);
    gives(&good.clone().late("SHA256SUMS", Some(b"no sums\n")), &["checksum-off", "file-unlisted"]);
    gives(&good.clone().late(HOME, None), &["file-missing"]);
    gives(&good.clone().late(GUIDE, None), &["file-missing"]);
    gives(&good.clone().late("promises.json", None), &["file-missing", "promises-missing"]);
    gives(&good.clone().file(WIDE, b"no PDF at all").with_wide_gone(), &["pdf-unreadable"]);
    gives(&good.file("more.pdf", b"%PDF-1.7"), &["file-unmeasured", "package-name"]);
}

impl Sample {
    fn with_wide_gone(mut self) -> Self {
        self.pdfs.remove(WIDE);
        self
    }
}

#[test]
fn promises_that_make_no_sense() {
    let good = Sample::good();
    let bad = |pointer: &str, value| gives(&good.clone().promise(pointer, value), &["promises-bad"]);
    bad("/format", json!(2));
    bad("/papers", json!("none"));
    gives(&good.clone().promise("/papers", json!([])), &["file-unmeasured", "promises-bad"]);
    let pages = good.clone().promise("/papers/0/sizes/0/pages", json!([1, 2]));
    gives(&pages, &["guide-off", "promises-bad", "size-pages"]);
    bad("/papers/0/sizes/0/size", json!("two"));
    bad("/papers/1/press", json!("space"));
    let aside = good.clone().promise("/papers/0/tile_mm", json!([30, 10, 80, 100]));
    gives(&aside, &["control-missing", "ink-extra", "ink-missing", "join-off", "promises-bad"]);
    gives(
        &good.clone().promise("/papers/0/sheets/1/page", json!(4)),
        &["control-missing", "guide-off", "ink-missing", "promises-bad"],
    );
    gives(&good.clone().promise("/papers/0/sheets/1/area_mm", json!([80, 0, 82, 100])), &["promises-bad"]);
    gives(&good.clone().late("promises.json", Some(b"{\"format\": 1e999}")), &["checksum-off", "promises-bad"]);
    gives(&good.promise("/papers/1/scale_marks", json!([])), &["scale-mark-missing"]);
}

#[test]
fn web_pages_that_run_or_load_something() {
    let page = |body: &str| Sample::good().file(GUIDE, guide(body).as_bytes());
    // Spellings that the HTML Standard, 13.2.5, lets browsers accept.
    let refused = [
        "<script>1</script>",
        "<SCRIPT src=x>",
        "<p onclick=x>",
        "<p title='>' OnClick=\"x\">",
        "<img/src=https://example.org/a.png>",
        "<img src=//example.org/a.png>",
        "<img srcset='a.png, http://example.org/a.png 2x'>",
        "<link rel=stylesheet href='https://example.org/a.css'>",
        "<style>@import 'a.css'</style>",
        "<p style=\"background:url( 'http://example.org/a.png')\">",
        "<a href='java&#115;cript:1'>",
        "<a href=' jAvascript&colon;1'>",
        "<iframe src=a.html>",
        "<!--><img src=x onerror=1>-->",
        "<!-- --!><img src=x onerror=1>",
        "<meta http-equiv=Refresh content='0; x'>",
        "<svg><image xlink:href='https://example.org/a.png'/></svg>",
    ];
    for body in refused {
        gives(&page(body), &["html-active"]);
    }
    // Left alone: links, data, plain words, comments, and tags that end with the file.
    let fine = [
        "<a href=\"https://example.org/\">more</a>",
        "<img src='data:image/png;base64,iVBORw0KGgo='>",
        "<p>2 < 3, on = 4, url(#x)</p>",
        "<!-- <p onclick=x> -->",
        "<p data-on='x' title='on=1'>",
        "<",
        "<p",
        "<p a='",
    ];
    for body in fine {
        gives(&page(body), &[]);
    }
    gives(&Sample::good().file("sample-1.0.0-wide-big.svg", b"<svg onload='x'/>"), &["html-active", "svg-unreadable"]);
}
