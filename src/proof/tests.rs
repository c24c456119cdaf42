//! Tests of whole proofs, made from a small drawing on three sheets.

use super::concern::{Concern, concerns};
use super::*;
use crate::catalogue::Messages;
use crate::diagnostic::{Place, Severity};
use crate::drawing::Drawing;
use crate::manifest::{Control, ControlTarget, Extent, Kit, Side};
use crate::plan::tests::sample::{Drawn, Sample, home};
use crate::plan::tests::shapes::Mark;
use crate::plan::{Layout, layouts};
use crate::press::{Faces, Forms, Job, ProofPictures, proof_pictures};
use crate::units::Length;
use crate::verify::{Changes, Check, Figure, Lines, Listed, PaperChange, SheetChange, Verdict};
use kurbo::Vec2;
use std::collections::BTreeMap;

/// Everything that a proof of three sheets in a row is made from; the first control is measured, the second is off in a file.
struct Bench {
    kit: Kit,
    drawing: Drawing,
    layouts: Vec<Layout>,
    findings: Findings,
    verdict: Verdict,
    changes: Option<Changes>,
    files: Vec<ProofFile>,
}

impl Bench {
    fn new() -> Self {
        let line = |from: (f64, f64), to: (f64, f64)| Mark::Bar(from.into(), to.into(), 0.5, None);
        let drawn = |mark, layer| Drawn { mark, clip: None, layer };
        let lines = vec![drawn(line((0.0, 60.0), (399.0, 60.0)), 0), drawn(line((390.0, 20.0), (390.0, 100.0)), 2)];
        let sample = Sample { drawn: lines, sizes: 2, setup: home(150.0, 200.0, [5.0; 4], 2.0) };
        let (mut kit, drawing) = (sample.kit(), sample.drawing(Vec2::ZERO));
        let layouts = layouts(&kit, &drawing).0;
        kit.title = "<b>Tote</b>".into();
        let control = |name: &str| Control {
            name: name.into(),
            target: ControlTarget::Side(Side { element: "nothing".into(), extent: Extent::Width, between: None }),
            size: None,
            entry: "control-measurements[0]".into(),
            length: Length::mm(80.0),
            tolerance: Length::mm(0.05),
        };
        kit.controls = vec![control("upright")];
        let paper = layouts[0].setup.paper.id.clone();
        let files = vec![ProofFile { name: "home.pdf".into(), bytes: 1234, paper: Some(paper), main: true }];
        let (findings, tallies) = (Findings::new(), BTreeMap::new());
        let verdict = Verdict {
            package: "tote.zip".into(),
            findings: Findings::new(),
            figures: Vec::new(),
            pictures: Vec::new(),
            unprinted: Vec::new(),
            tallies,
        };
        Self { kit, drawing, layouts, findings, verdict, changes: None, files }
    }

    fn pictures(&self) -> ProofPictures {
        let (forms, messages, faces) = (Forms::none(), Messages::builtin("en").unwrap(), Faces::built_in());
        let (kit, drawing) = (&self.kit, &self.drawing);
        let job =
            Job { kit, drawing, ground: drawing, forms: &forms, messages: &messages, others: &[], faces: &faces, logo: None };
        proof_pictures(&job, &self.layouts).unwrap()
    }

    fn with<T>(&self, use_it: impl FnOnce(&Source) -> T) -> T {
        let pictures = self.pictures();
        let Self { kit, drawing, layouts, findings, verdict, changes, files } = self;
        use_it(&Source { kit, drawing, layouts, pictures: &pictures, findings, verdict, changes: changes.as_ref(), files })
    }

    fn page(&self) -> Page {
        self.with(Page::new)
    }

    fn concern(&self, finding: Diagnostic) -> Concern {
        self.with(|source| concerns(&finding, source))
    }
}

/// A finding of a known code, with words of the test.
fn finding(severity: Severity, code: &'static str, message: &str) -> Diagnostic {
    Diagnostic { severity, code, message: message.into(), place: None, hints: Vec::new() }
}

fn on(sheets: &[usize]) -> Concern {
    Concern { sheets: sheets.iter().map(|sheet| (0, *sheet)).collect(), papers: Vec::new() }
}

#[test]
fn the_verdict_is_said_in_words_and_counts_what_was_found_anywhere() {
    let mut bench = Bench::new();
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("Ready to go out") && html.contains("No findings."));
    bench.findings.push(finding(Severity::Warning, "ink-thin", "thin").at(Place::at("tote.svg", 3, 1)));
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("May go out") && html.contains(">1 warning</a>"));
    bench.verdict.findings.push(finding(Severity::Error, "control-off", "off").at(Place::file("tote.zip/home.pdf")));
    bench.verdict.findings.push(finding(Severity::Error, "control-off", "off").at(Place::file("tote.zip/home.pdf")));
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("Not ready to go out") && html.contains(">2 errors and 1 warning</a>"));
    let (first, second) = (html.find("<h3><code>tote.zip/home.pdf"), html.find("<h3><code>tote.svg"));
    assert!(first.unwrap() < second.unwrap(), "errors come first");
}

#[test]
fn what_a_kit_says_is_never_markup() {
    let mut bench = Bench::new();
    let nasty = "`<script>alert(1)</script>` & \"more\"";
    bench.findings.push(finding(Severity::Warning, "ink-thin", nasty).at(Place::file("<i>.svg")).hint(nasty));
    bench.kit.publisher = nasty.into();
    bench.kit.sizes[0].name = nasty.into();
    bench.kit.controls[0].name = nasty.into();
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("<h1>&lt;b&gt;Tote&lt;") && !html.contains("<script>alert") && !html.contains("<i>"));
    assert!(html.contains("<code>&lt;script&gt;alert(1)&lt;/script&gt;</code> &amp; "), "{html}");
    assert_eq!(html.matches("<script>").count(), 1);
}

#[test]
fn a_page_that_nobody_serves_asks_for_nothing() {
    let page = Bench::new().page();
    let (still, live) = (page.html(false).unwrap(), page.html(true).unwrap());
    assert!(!still.contains("connect-src") && still.contains("default-src 'none'") && !still.contains("id=\"follow\""));
    assert!(live.contains("connect-src 'self'") && live.contains("id=\"follow\""));
    assert_eq!(page.version(), Bench::new().page().version());
}

#[test]
fn remarks_of_the_plan_stand_at_the_sheets_that_they_are_about() {
    let mut bench = Bench::new();
    let place = bench.kit.places.of_path("papers[0]");
    bench.layouts[0].sheets[1].plate.over_ink = true;
    let remark = |code| finding(Severity::Warning, code, "…").at(place.clone());
    assert_eq!(bench.concern(remark("plate-over-ink")), on(&[1]));
    bench.layouts[0].joins[1].marks[0].over_ink = true;
    let (first, second) = (bench.layouts[0].joins[1].first, bench.layouts[0].joins[1].second);
    assert_eq!(bench.concern(remark("mark-over-ink")), on(&[first, second]));
    assert_eq!(bench.concern(remark("placement-stale")), Concern { sheets: Vec::new(), papers: vec![0] });
    assert_eq!(bench.concern(finding(Severity::Warning, "sheet-sliver", "nowhere")), Concern::default());
}

#[test]
fn findings_about_the_drawing_stand_at_the_sheets_that_show_it() {
    let mut bench = Bench::new();
    bench.kit.drawing.file = "tote.svg".into();
    for (piece, line) in [(0, 7), (1, 9)] {
        bench.drawing.pieces[piece].items[0].origin = Place::at("tote.svg", line, 1).element(format!("line-{line}"));
    }
    let last = bench.layouts[0].sheets.len() - 1;
    let at = |place: Place| bench.concern(finding(Severity::Warning, "ink-thin", "…").at(place));
    assert_eq!(at(Place::at("tote.svg", 7, 1)), on(&(0..=last).collect::<Vec<_>>()));
    assert_eq!(at(Place::at("tote.svg", 9, 1)), on(&[last]));
    assert_eq!(at(Place::file("tote.svg").element("line-9")), on(&[last]));
    assert_eq!(at(Place::at("other.svg", 9, 1)), Concern::default());
}

#[test]
fn what_is_measured_wrong_in_a_file_stands_at_its_page() {
    let mut bench = Bench::new();
    let figure = |page: usize, fine| Figure {
        check: Check::Control,
        file: "home.pdf".into(),
        page: Some(page),
        what: "upright".into(),
        promised: Length::mm(80.0),
        measured: Length::mm(if fine { 80.0 } else { 79.5 }),
        tolerance: Length::mm(0.05),
        fine,
    };
    bench.verdict.figures = vec![figure(2, true), figure(3, false)];
    let off = finding(Severity::Error, "control-off", "`upright` on page 3 measures …").at(Place::file("tote.zip/home.pdf"));
    assert_eq!(bench.concern(off.clone()), on(&[1]), "page 1 is the check page");
    let whole = finding(Severity::Error, "pdf-unreadable", "…").at(Place::file("tote.zip/home.pdf"));
    assert_eq!(bench.concern(whole), Concern { sheets: Vec::new(), papers: vec![0] });
    bench.verdict.findings.push(off);
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("79.5 mm<span class=\"more\">the furthest off of 2 files") && html.contains("✕</span> off"));
    let button = html.split("-A2\" style=").nth(1).unwrap().split("</button>").next().unwrap();
    assert!(button.contains("1 finding"), "{button}");
}

#[test]
fn an_outdated_page_keeps_its_pictures_and_says_so() {
    let mut bench = Bench::new();
    let place = bench.kit.places.of_path("papers[0]");
    bench.layouts[0].sheets[1].plate.over_ink = true;
    bench.findings.push(finding(Severity::Warning, "plate-over-ink", "…").at(place));
    let good = bench.page();
    assert!(good.html(true).unwrap().contains("class=\"flag\""));
    let fault = finding(Severity::Error, "yaml-syntax", "broken").at(Place::at("kit.yaml", 3, 1));
    let page = good.outdated(&fault.clone().into());
    let html = page.html(true).unwrap();
    assert!(html.contains("are older") && html.contains("Not ready") && html.contains("broken"));
    assert!(!html.contains("class=\"flag\"") && !html.contains("plate-over-ink"), "old findings are gone");
    assert!(html.contains("class=\"sheet\"") && page.version() != good.version());
    let html = Page::unreadable(&fault.into()).html(true).unwrap();
    assert!(html.contains("cannot be read") && html.contains("broken") && !html.contains("class=\"sheet\""));
}

#[test]
fn sizes_can_be_switched_and_know_their_sheets() {
    let bench = Bench::new();
    let html = bench.page().html(false).unwrap();
    assert!(html.contains(".s1 { display: var(--s1, inline); }") && html.contains(" class=\"s1\""));
    for (index, sheet) in bench.layouts[0].sheets.iter().enumerate() {
        let needs: Vec<String> =
            (0..2).filter(|size| bench.layouts[0].sizes[*size].sheets.contains(&index)).map(|size| size.to_string()).collect();
        let button = html.split(&format!("-{}\" style=", sheet.label)).nth(1).unwrap().split('>').next().unwrap();
        assert!(button.contains(&format!("data-needs=\"{}\"", needs.join(" "))), "{button}");
    }
}

#[test]
fn sheets_that_changed_since_an_edition_are_named_and_lead_to_their_pictures() {
    let mut bench = Bench::new();
    let (paper, label) = (bench.layouts[0].setup.paper.id.clone(), bench.layouts[0].sheets[1].label.clone());
    let sheet = SheetChange {
        label: label.clone(),
        page: 2,
        new: true,
        added: Length::ZERO,
        removed: Length::ZERO,
        farthest: Length::ZERO,
        restyled: 0,
        sizes: Vec::new(),
        words_added: Vec::new(),
        words_removed: Vec::new(),
        area: kurbo::Rect::ZERO,
        at: None,
    };
    let change = PaperChange {
        paper,
        title: "A4".into(),
        file: "home.pdf".into(),
        main: true,
        same_grid: true,
        sheets: vec![sheet],
        gone: vec!["Z9".into()],
        lines: Lines::default(),
    };
    let since = |change: &PaperChange| Changes {
        old: ("Pouch".into(), "0.9.0".into()),
        papers: Listed { both: vec![change.clone()], ..Listed::default() },
        ..Changes::default()
    };
    assert!(!bench.page().html(false).unwrap().contains("Since edition"));
    bench.changes = Some(since(&change));
    let html = bench.page().html(false).unwrap();
    assert!(html.contains("Since edition 0.9.0") && html.contains(&format!("<b>{label}</b></a> anew")), "{html}");
    assert!(html.contains("No longer needed: Z9."));
    bench.changes = Some(since(&PaperChange { same_grid: false, ..change }));
    assert!(bench.page().html(false).unwrap().contains("prints all of them anew"));
}
